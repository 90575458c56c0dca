"""What an agreed depth means has to be said whole."""

from __future__ import annotations

import pytest

from tests.builders import HEAD, ROOMS, TRIP, problems

SURFACE = ROOMS.replace('bath.outer = { is = "wall above grade",', "bath.outer = { DEPTH,")


def told(depth: str, surface: str = "") -> list[str]:
    """Return what is wrong with a job whose depth is said so."""
    line = f'is = "wall above grade"{", " if surface else ""}{surface}'
    return problems(f"{HEAD}depth = {{ {depth} }}\n{SURFACE.replace('DEPTH', line)}{TRIP}")


def test_each_meaning_stands() -> None:
    assert told('means = "average"', 'depth = "3 in"') == []
    assert told('means = "average with tolerance", tolerance = "0.25 in"') == []
    assert told('means = "minimum", readings = 8, perimeter = 4', 'depth = "75 mm"') == []


def test_a_surface_may_mean_something_else() -> None:
    assert told('means = "average"', 'depth = "3 in", depth_means = "minimum"') == []


@pytest.mark.parametrize(
    ("depth", "surface", "wanted"),
    [
        ('means = "average with tolerance"', "", "needs its tolerance"),
        ('means = "minimum", tolerance = "1 in"', "", "means nothing with minimum"),
        ('tolerance = "1 in"', "", "means nothing with nothing said"),
        ("", 'tolerance = "1 in"', "means nothing with nothing said"),
        ("", 'depth_means = "average with tolerance"', "needs its tolerance"),
        (
            'means = "average with tolerance", tolerance = "3 in"',
            'depth = "3 in"',
            "leaves nothing of 3 in",
        ),
    ],
)
def test_half_a_meaning_is_told(depth: str, surface: str, wanted: str) -> None:
    assert any(wanted in what for what in told(depth, surface)), told(depth, surface)


@pytest.mark.parametrize("written", ['"-3 in"', '"3"', "-3", '"0 in"'])
def test_a_depth_that_is_none_is_told(written: str) -> None:
    assert told('means = "minimum"', f"depth = {written}") != []


@pytest.mark.parametrize("written", ["0", "-1", "2.5", '"8"'])
def test_a_number_of_readings_is_a_whole_number_above_none(written: str) -> None:
    assert told(f'means = "minimum", readings = {written}') != []
