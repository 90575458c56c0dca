"""What spraying short foam again takes: depth, passes by the sheet only, keep-out of its own.

Invariant: every test goes through the depth lines of the board gate.
"""

from __future__ import annotations

import pytest

from readiness.facts.loader import load_facts
from readiness.telling.depth_lines import depth_lines
from tests.diary.builders import after, said

JOB = """\
name = "Cedar Lane 3"
key = "5b0e77a1"
kind = "addition"
site = { time_zone = "UTC", holidays = false, climate = "5A", code = "IRC 2021" }

[depth]
means = "minimum"

[rooms]
hall = { is = "hall", floor_area = "100 sq ft" }

[surfaces]
hall.wall = { is = "wall above grade", area = "100 sq ft net", depth = "4 in", FOAM }

[trips]
main = { booked = 2026-05-11T07:00:00, lasts = "1 d" }
"""
SHEET = """
[products.a]
name = "Product A"
class = "closed cell"
sheet = "sheet 1"
lift = "1.5 in"
wait = "15 min"
"""
KEEP_OUT = "it starts a keep-out of its own, and is probed again"


def refill(*field: float, foam: str = 'product = "a"', more: str = SHEET, means: str = "") -> str:
    text = JOB.replace("FOAM", foam) + more
    if means:
        text = text.replace('means = "minimum"', means)
    entries = (
        said("arrived", "2026-05-11T07:00:00", trip="main"),
        said("sprayed", "2026-05-11T12:00:00", trip="main", surfaces=["all"]),
        said("last-foam", "2026-05-11T12:00:00", trip="main"),
        said(
            "depth",
            "2026-05-12T13:00:00",
            surface="hall.wall",
            field=[f"{one} in" for one in field],
        ),
    )
    found = after(*entries, text=text, as_of="2026-05-12 14:00", tables=load_facts())
    return next(iter(depth_lines(found.case, ["hall.wall"]))).refill


def test_a_short_spot_is_filled_in_the_passes_of_the_sheet() -> None:
    assert refill(4.1, 3.5, 3.0) == (
        "up to 1 in are missing: 1 pass of at most 1.5 in by the sheet of Product A (sheet 1); "
        + KEEP_OUT
    )
    assert "up to 2 in are missing: 2 passes of at most 1.5 in, 15 min between" in refill(4.1, 2.0)


def test_foam_that_is_cut_out_is_sprayed_anew_in_full() -> None:
    told = refill(1, 5, 7, means='means = "average"')
    assert told.startswith("4 in anew after cutting out: 3 passes of at most 1.5 in, 15 min")


def test_without_a_sheet_no_pass_is_computed() -> None:
    told = refill(3.0, foam='foam = "closed cell"', more="")
    assert "passes and waits are not computed, product sheet needed" in told
    assert "(published for ordinary grades: 1.5 in to 2 in [secondary])" in told
    assert told.endswith(KEEP_OUT)


@pytest.mark.parametrize("field", [(4.0, 4.2), (4.1,)])
def test_accepted_foam_needs_no_refill(field: tuple[float, ...]) -> None:
    assert refill(*field) == ""
