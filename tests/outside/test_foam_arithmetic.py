"""Board feet, density and yield of foam against arithmetic and usual figures of the trade."""

from __future__ import annotations

import pytest

from readiness.foam.quantity import (
    allowances_of,
    board_feet_of_mass,
    drums_for,
    fills_its_cavity,
)
from readiness.foam.resistance import resistance_said
from readiness.foam.said import State
from readiness.job.foam_quantities import BoardFeet, Density, Resistance
from readiness.job.foam_rows import RatesRow
from readiness.job.quantities import Area, Length
from tests.foam.spots import TABLES, one, product, ruled, spot


@pytest.mark.parametrize(
    ("lb_ft3", "board_feet"), [(0.5, 24_000), (2.0, 6_000), (2.2, 5_455), (3.0, 4_000)]
)
def test_a_set_of_a_thousand_pounds_by_density(lb_ft3: float, board_feet: float) -> None:
    """Twelve board feet are a cubic foot.

    Source: arithmetic; the mass of a set, 1,000 lb, from memory.
    """
    assert board_feet_of_mass(1000, lb_ft3) == pytest.approx(board_feet, abs=1)


@pytest.mark.parametrize(
    ("area", "depth", "board_feet"),
    [("1 sq ft", "1 in", 1), ("100 sq ft", "3.5 in", 350), ("640 sq ft", "5.5 in", 3520)],
)
def test_a_board_foot_is_a_square_foot_one_inch_deep(
    area: str, depth: str, board_feet: float
) -> None:
    """Source: calculators' pages of the trade. Secondary."""
    assert Area.parse(area).square_feet * Length.parse(depth).inches == board_feet


@pytest.mark.parametrize(
    ("row", "density"),
    [("closed-cell-density-usual", "2 lb/ft3"), ("open-cell-density-usual", "0.5 lb/ft3")],
)
def test_usual_densities_of_the_classes(row: str, density: str) -> None:
    """Common practice, no source."""
    assert TABLES.figures[row].used == density


@pytest.mark.parametrize(
    ("kg_m3", "lb_ft3"),
    [("32 kg/m3", 2.0), ("8 kg/m3", 0.5), ("28 kg/m3", 1.75), ("48 kg/m3", 3.0)],
)
def test_densities_in_both_units(kg_m3: str, lb_ft3: float) -> None:
    """Sources: IRC R316.5.11 (0.5-2.0 lb/ft3 = 8-32 kg/m3) and US federal guide specification 07570
    (3.0 lb/ft3 = 48 kg/m3), both seen; 28 kg/m3 of CAN/ULC-S705.1, secondary."""
    assert float(Density.parse(kg_m3).lb_ft3) == pytest.approx(lb_ft3, abs=0.01)


@pytest.mark.parametrize(("r", "inches", "each"), [(28, 7.5, 3.7), (19, 3, 6.3)])
def test_resistance_for_each_inch_of_two_examples(r: float, inches: float, each: float) -> None:
    """Source: US DOE Building America Solution Center, guide to unvented attics. Seen."""
    assert r / inches == pytest.approx(each, abs=0.05)
    figures = TABLES.figures
    row = figures["open-cell-r"] if each < 5 else figures["closed-cell-r"]
    low, high = float(Resistance.parse(row.low).r), float(Resistance.parse(row.high).r)
    assert low <= round(each, 1) <= high


@pytest.mark.parametrize("row", ["closed-cell-drum-set", "open-cell-drum-set"])
def test_a_drum_set_is_planned_within_what_is_told_and_below_its_mass(row: str) -> None:
    """The yield of practice stays below that of the mass alone."""
    figure = TABLES.figures[row]
    used = float(BoardFeet.parse(figure.used).board_feet)
    low, high = (float(BoardFeet.parse(text).board_feet) for text in (figure.low, figure.high))
    density = float(
        Density.parse(TABLES.figures[row.replace("drum-set", "density-usual")].used).lb_ft3
    )
    assert low <= used <= high <= board_feet_of_mass(1000, density)


@pytest.mark.parametrize(
    ("need", "reserve", "sets", "to_load"),
    [(4000, 0.0, 1.0, 1), (4000, 0.1, 1.0, 2), (3600, 0.1, 0.9, 1), (8100, 0.0, 2.0, 3)],
)
def test_drum_sets_are_never_rounded_down(
    need: float, reserve: float, sets: float, to_load: int
) -> None:
    """Common practice, no source: running out costs a trip."""
    found = drums_for(need, 4000, reserve)
    assert (found.sets, found.to_load) == (sets, to_load)


def test_trimmed_open_cell_half_an_inch_short_is_usual() -> None:
    """Common practice, no source."""
    assert Length.parse(TABLES.figures["trim-short"].used) == Length.parse("1/2 in")


@pytest.mark.parametrize(("r_each", "is_reached"), [(4.1, True), (3.9, False)])
def test_half_an_inch_short_is_taken_if_the_resistance_there_is_enough(
    r_each: float, *, is_reached: bool
) -> None:
    """Trimmed open-cell 5 in deep in a cavity of 5-1/2 in, R-20 with R-5 outside wanted.

    Common practice, no source.
    """
    foam = product("open cell", r={"1 in": f"R-{r_each}"})
    wall = spot(foam=foam, depth_inches=5.0, cavity_inches=5.5, outside_r=5.0)
    said = one(list(resistance_said(wall, ruled("5A"))))
    assert said.state is (State.REACHED if is_reached else State.SHORT)
    assert fills_its_cavity(wall, 5.0, allowances_of(TABLES, RatesRow()))
