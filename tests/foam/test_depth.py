"""Readings of depth against what was agreed: accept, fill, trim, cut out, or read more."""

from __future__ import annotations

from fractions import Fraction

import pytest

from readiness.facts.vocabulary import DepthMeans
from readiness.foam.depth import Agreed, Trimmed, judged
from readiness.foam.outcome import Outcome
from readiness.job.quantities import Length

AVERAGE, TOLERANCE, MINIMUM = DepthMeans.AVERAGE, DepthMeans.TOLERANCE, DepthMeans.MINIMUM


def inches(text: str) -> list[Fraction]:
    """Return depths in inches from a text such as `3, 3-1/4 in`."""
    *values, last = text.split(", ")
    unit = last.split(" ", 1)[1]
    return [Length.parse(f"{value} {unit}").inches for value in (*values, last.split(" ")[0])]


def agreed(means: DepthMeans, depth: str, tolerance: str = "0 in", **more: object) -> Agreed:
    """Return an agreement from texts."""
    wide = Length.parse(tolerance).inches
    return Agreed(means, Length.parse(depth).inches, wide, **more)  # type: ignore[arg-type]


def outcome(readings: str, what: Agreed, perimeter: str = "") -> str:
    """Return the word for readings in the field, and at the perimeter."""
    edge = inches(perimeter) if perimeter else []
    return judged(inches(readings), edge, what).outcome.value


QUARTER = "2.75, 3.25, 3, 2.75, 3.25 in"


def test_a_quarter_inch_to_either_side_is_accepted_under_an_average_with_tolerance() -> None:
    """Common practice, no source: average with tolerance of 1/4 in."""
    assert outcome(QUARTER, agreed(TOLERANCE, "3 in", "1/4 in")) == "accept"


def test_the_same_readings_are_refused_under_a_minimum() -> None:
    """Common practice, no source."""
    found = judged(inches(QUARTER), [], agreed(MINIMUM, "3 in"))
    assert found.outcome is Outcome.FILL
    assert found.field.low_inches == (Fraction(11, 4), Fraction(11, 4))


def test_a_hair_beyond_the_tolerance_is_not_accepted() -> None:
    assert outcome("2.74, 3.26, 3 in", agreed(TOLERANCE, "3 in", "1/4 in")) == "fill these spots"
    assert outcome("3, 3.26, 3 in", agreed(TOLERANCE, "3 in", "1/4 in")) == "trim these spots"


def test_a_mean_of_76_does_not_save_readings_from_30_to_125() -> None:
    """Common practice, no source: agreed average 75 mm with 10 mm to either side."""
    found = judged(inches("30, 125, 76, 60, 89 mm"), [], agreed(TOLERANCE, "75 mm", "10 mm"))
    assert found.field.spread is not None
    assert found.field.spread.mean_inches * 25.4 == pytest.approx(76)
    assert found.outcome is Outcome.RESPRAY


def test_a_wide_spread_fails_a_plain_average_too() -> None:
    found = judged(inches("30, 125, 76, 60, 89 mm"), [], agreed(AVERAGE, "75 mm"))
    assert found.outcome is Outcome.RESPRAY
    assert found.field.uneven


def test_a_plain_average_bears_unevenness_within_its_bound() -> None:
    assert outcome("2.6, 3.4, 3.1, 2.9, 3 in", agreed(AVERAGE, "3 in")) == "accept"


def test_one_spot_far_under_an_average_is_filled_although_the_mean_passes() -> None:
    """Under three quarters of the agreed depth, whatever the others make of the mean."""
    deep = "3.1, 3.1, 3.1, 3.1, 3.1, 3.1, 3.1, 3.1, 3.1, 2.2 in"
    assert outcome(deep, agreed(AVERAGE, "3 in")) == "fill these spots"


def test_an_even_surface_that_is_thin_everywhere_is_filled_everywhere() -> None:
    """4.5 in were paid and 2.5 in are there: no spot stands out, all have to be filled."""
    found = judged(inches("2.5, 2.4, 2.6 in"), [], agreed(AVERAGE, "2.9 in"))
    assert found.outcome is Outcome.FILL
    assert len(found.field.low_inches) == 3


def test_thin_edges_do_not_hide_behind_a_deep_middle() -> None:
    """All readings together have a mean of 3.1 in; the edge alone has 2.2 in."""
    what = agreed(AVERAGE, "3 in")
    assert outcome("3.4, 3.5, 3.4, 3.5 in", what, "2.2, 2.1, 2.3 in") == "fill these spots"


def test_the_number_of_readings_is_asked_for_only_where_somebody_set_it() -> None:
    """No standard gives a number."""
    assert outcome("3.1 in", agreed(MINIMUM, "3 in")) == "accept"
    assert outcome("3.1 in", agreed(MINIMUM, "3 in", least_field=2)) == "read more spots"
    wants_edge = agreed(MINIMUM, "3 in", least_perimeter=2)
    assert outcome("3.1 in", wants_edge) == "read more spots"
    assert outcome("3.1 in", wants_edge, "3, 3 in") == "accept"


def test_too_few_readings_do_not_hide_a_low_one() -> None:
    assert outcome("2.1 in", agreed(MINIMUM, "3 in", least_field=9)) == "fill these spots"


def test_no_reading_in_the_field_is_no_proof() -> None:
    assert judged([], inches("3, 3 in"), agreed(MINIMUM, "3 in")).outcome is Outcome.MORE


CAVITY = Length.parse("2x6").inches


def trimmed(wanted: int) -> Trimmed:
    """Return trimmed open-cell in a 2x6 cavity at R-3.7 per inch."""
    return Trimmed(CAVITY, Fraction(1, 2), lambda inches: inches * Fraction(37, 10) >= wanted)


def test_trimmed_open_cell_half_an_inch_under_its_cavity_is_accepted_if_r_still_meets() -> None:
    """Common practice, no source: 5 in of a 5-1/2 in cavity, R-18.5 there."""
    what = agreed(AVERAGE, "2x6", trimmed=trimmed(18))
    assert outcome("5, 5, 5 in", what) == "accept"


def test_it_is_not_if_r_there_does_not_meet_what_is_wanted() -> None:
    what = agreed(AVERAGE, "2x6", trimmed=trimmed(20))
    assert outcome("5, 5, 5 in", what) == "fill these spots"


def test_nor_if_it_lies_lower_than_trimming_explains() -> None:
    what = agreed(AVERAGE, "2x6", trimmed=trimmed(10))
    assert outcome("4.9, 5, 5 in", what) == "fill these spots"


def test_nothing_is_said_of_a_spread_of_one_reading() -> None:
    found = judged(inches("3.1 in"), [], agreed(AVERAGE, "3 in")).field.spread
    assert found is not None
    assert (found.spread_inches, found.interval_inches) == (None, None)
