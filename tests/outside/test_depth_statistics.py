"""Depth statistics and Student's t against scipy.stats, over whole ranges.

Source of every expected value: scipy.stats (t.ppf, t.cdf, t.interval, describe), computed here.
Agreement: 1e-9 relative, but for t at 1 degree of freedom near 1 where both lose a digit.
"""

from __future__ import annotations

import random
from fractions import Fraction

import pytest
from scipy import stats

from readiness.foam.depth import CONFIDENCE, spread_of
from readiness.foam.student import quantile_both_sides, within

DEGREES = (1, 2, 3, 4, 5, 7, 8, 11, 15, 19, 24, 29, 39, 49)
CONFIDENCES = (0.5, 0.8, 0.9, 0.95, 0.99)


@pytest.mark.parametrize("confidence", CONFIDENCES)
@pytest.mark.parametrize("degrees", DEGREES)
def test_quantile_agrees_with_scipy(confidence: float, degrees: int) -> None:
    expected = stats.t.ppf((1 + confidence) / 2, degrees)
    assert quantile_both_sides(confidence, degrees) == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("t", [0.0, 0.1, 0.7, 1.0, 2.0, 3.5, 12.0])
@pytest.mark.parametrize("degrees", [1, 2, 5, 6, 30])
def test_probability_agrees_with_scipy(t: float, degrees: int) -> None:
    expected = 2 * stats.t.cdf(t, degrees) - 1
    assert within(t, degrees) == pytest.approx(expected, rel=1e-9, abs=1e-12)


@pytest.mark.parametrize("seed", range(40))
def test_what_readings_say_agrees_with_scipy(seed: int) -> None:
    """Mean, spread, smallest, largest, and the interval of the mean, of 2 to 40 readings."""
    chance = random.Random(seed)
    readings = [Fraction(chance.randint(40, 240), 40) for _ in range(chance.randint(2, 40))]
    values = [float(reading) for reading in readings]
    found = spread_of(readings, Fraction(3))
    assert found is not None
    described = stats.describe(values)
    assert found.mean_inches == pytest.approx(described.mean, rel=1e-12)
    assert found.spread_inches == pytest.approx(described.variance**0.5, rel=1e-9)
    assert (found.smallest_inches, found.largest_inches) == described.minmax
    expected = stats.t.interval(
        CONFIDENCE, len(values) - 1, loc=described.mean, scale=stats.sem(values)
    )
    assert found.interval_inches == pytest.approx(expected, rel=1e-9, abs=1e-12)
    assert found.share_under == pytest.approx(sum(v < 3 for v in values) / len(values))
