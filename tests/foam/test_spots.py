"""Which spots are read, and for which surfaces a reading speaks.

Invariant: a reading never speaks for a surface that may be colder or wetter than where it was read.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import pytest

from readiness.facts.limit_rows import Exposure, Material
from readiness.facts.loader import load_exposures
from readiness.facts.vocabulary import ReadingKind
from readiness.foam.groups import Group, groups_of
from readiness.foam.spots import SIDES, spoken_for, spots_of
from tests.builders import laid_out

GROUPS = (("deck",), ("rim", "wall"), ("gable",))
HOUSE = """
storeys = ["lower", "upper"]
[rooms]
cellar = { is = "basement", storey = "lower" }
bath = { is = "bath", storey = "upper" }
[surfaces]
cellar.south-rim = { is = "rim joist", area = "10 sq ft" }
cellar.north-rim = { is = "rim joist", area = "10 sq ft" }
cellar.wall = { is = "wall below grade", area = "100 sq ft" }
bath.outer = { is = "wall above grade", area = "100 sq ft" }
bath.deck = { is = "roof deck", area = "100 sq ft" }
bath.sound = { is = "sound wall", area = "100 sq ft" }
"""


@dataclass(frozen=True, slots=True)
class At:
    """Something read."""

    figure: float
    at: int = 0


def coldest(found: Iterable[At]) -> At:
    return min(found, key=lambda one: one.figure)


def groups(text: str = HOUSE) -> tuple[Group, ...]:
    job = laid_out(text).job
    return groups_of(job, job.surfaces, load_exposures())


def test_the_coldest_under_each_sky_and_the_wettest_wood_are_read() -> None:
    cold = spots_of(groups(), ReadingKind.SUBSTRATE_TEMPERATURE)
    assert [spot.surface for spot in cold] == ["bath.deck", "cellar.north-rim", "cellar.wall"]
    wet = spots_of(groups(), ReadingKind.WOOD_MOISTURE)
    assert [spot.surface for spot in wet] == ["cellar.north-rim"]


def test_every_surface_belongs_to_one_spot() -> None:
    spots = spots_of(groups(), ReadingKind.SUBSTRATE_TEMPERATURE)
    told = [surface for spot in spots for group in spot.surfaces for surface in group]
    assert sorted(told) == sorted(laid_out(HOUSE).job.surfaces)


def test_masonry_and_metal_have_no_moisture_of_wood() -> None:
    wet = spots_of(groups(), ReadingKind.WOOD_MOISTURE)
    assert all(group.material is Material.WOOD for spot in wet for group in spot.groups)


def test_every_exposure_lies_on_a_side() -> None:
    assert set(SIDES) == set(Exposure)


@pytest.mark.parametrize(
    ("own", "told"),
    [
        ({}, {}),
        ({"deck": At(45)}, {"deck": 45, "rim": 45, "wall": 45, "gable": 45}),
        ({"gable": At(45)}, {"gable": 45}),
        ({"rim": At(41)}, {"rim": 41, "wall": 41, "gable": 41}),
        ({"rim": At(41), "wall": At(50)}, {"rim": 41, "wall": 50, "gable": 41}),
        ({"deck": At(45), "gable": At(38)}, {"deck": 45, "rim": 45, "wall": 45, "gable": 38}),
        ({"deck": At(45), "rim": At(41)}, {"deck": 45, "rim": 41, "wall": 41, "gable": 41}),
    ],
)
def test_a_reading_speaks_for_its_group_and_for_what_is_less_cold(
    own: dict[str, At], told: dict[str, float]
) -> None:
    found = spoken_for(GROUPS, own, coldest)
    assert {surface: one.figure for surface, one in found.items() if one is not None} == told


@pytest.mark.parametrize(("at", "gable"), [(100, 38), (59, 45), (60, 38)])
def test_a_reading_is_outlived_by_a_newer_one_that_speaks_for_it(at: int, gable: float) -> None:
    own = {"deck": At(45, 300), "gable": At(38, at)}
    found = spoken_for(GROUPS, own, coldest, fresh_minutes=240)["gable"]
    assert found is not None
    assert found.figure == gable
