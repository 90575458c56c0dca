"""Board feet, drum sets, passes, waits and hours of a trip."""

from __future__ import annotations

import pytest

from readiness.foam.day import Sprayed, known_minutes, steps_of, waits_minutes
from readiness.foam.quantity import allowances_of, fills_its_cavity, need_of
from readiness.job.foam_rows import RatesRow
from readiness.job.quantities import Share
from tests.foam.spots import CLOSED, OPEN, TABLES, spot

NOTHING = RatesRow.model_validate({"waste": "0 %", "reserve": "0 %", "overfill": "0 in"})


def test_a_plain_wall_is_its_area_times_its_depth_without_wood() -> None:
    allow = allowances_of(TABLES, NOTHING)
    need = need_of(spot(foam=CLOSED, square_feet=100.0), 3.0, allow, Share.parse("10 %"))
    assert need.plain == 300
    assert [need.on_the_wall, need.sprayed] == pytest.approx([270, 270])


def test_wood_counts_only_where_foam_lies_in_a_cavity() -> None:
    allow = allowances_of(TABLES, NOTHING)
    for cavity, framed, wood in ((5.5, True, True), (None, True, False), (None, False, False)):
        wall = spot(cavity_inches=cavity, framed=framed, square_feet=100.0)
        assert (need_of(wall, 3.0, allow).on_the_wall < 300) is wood


def test_open_cell_that_fills_its_cavity_is_sprayed_over_and_cut() -> None:
    rates = RatesRow.model_validate({"waste": "10 %", "overfill": "1 in"})
    allow = allowances_of(TABLES, rates)
    full = spot(foam=OPEN, cavity_inches=5.5, square_feet=100.0, framed=False)
    assert fills_its_cavity(full, 5.0, allow)
    assert not fills_its_cavity(full, 4.9, allow)
    need = need_of(full, 5.0, allow)
    assert need.on_the_wall == pytest.approx(650)
    assert need.sprayed == pytest.approx(715)
    assert not fills_its_cavity(spot(foam=CLOSED, cavity_inches=5.5), 5.5, allow)


def test_the_companys_own_figures_go_before_the_usual_ones_and_are_marked() -> None:
    usual, own = allowances_of(TABLES, RatesRow()), allowances_of(TABLES, NOTHING)
    assert usual.reserve.mark.status == "common practice"
    assert usual.waste.mark.status == "secondary"
    assert {own.waste.mark.status, own.overfill.mark.status} == {"company rate"}


def passing(board_feet: float, inches: float, **sheet: float | None) -> Sprayed:
    return Sprayed(
        surface="wall",
        board_feet=board_feet,
        per_hour=600,
        access=1,
        inches=inches,
        lift_inches=sheet.get("lift"),
        wait_minutes=sheet.get("wait"),
    )


def test_without_a_sheet_passes_and_waits_are_not_computed() -> None:
    assert passing(600, 3).passes is None
    assert waits_minutes([passing(600, 3)]) is None
    assert waits_minutes([passing(600, 3, lift=2)]) is None
    assert waits_minutes([passing(600, 2, lift=2)]) == 0


@pytest.mark.parametrize(("inches", "passes"), [(2, 1), (2.01, 2), (4, 2), (6, 3)])
def test_passes_are_no_deeper_than_the_sheet_allows(inches: float, passes: int) -> None:
    assert passing(100, inches, lift=2).passes == passes


def test_only_what_a_round_does_not_take_stands_idle() -> None:
    """100 bd ft take ten minutes, in two passes five each; the sheet wants fifteen."""
    small = passing(100, 4, lift=2, wait=15)
    assert waits_minutes([small]) == pytest.approx(10)
    assert waits_minutes([small, passing(100, 4, lift=2, wait=15)]) == pytest.approx(5)
    assert waits_minutes([small, passing(600, 2, lift=2, wait=15)]) == 0


def test_one_missing_sheet_leaves_the_waits_of_the_trip_open() -> None:
    assert waits_minutes([passing(100, 4, lift=2, wait=15), passing(600, 3)]) is None


def test_access_makes_it_longer() -> None:
    slow = Sprayed("roof", 600, 600, 1.5, 3, 2, 15)
    assert slow.minutes == pytest.approx(90)


def test_steps_are_rounded_up_to_five_minutes_and_what_is_open_counts_nothing() -> None:
    steps = steps_of((("spray", 61.0), ("waits", None), ("trim", 0)))
    assert [step.minutes for step in steps] == [65, None, 0]
    assert known_minutes(steps) == 65
