"""Units of weather and limits, each against its exact definition.

Sources: NIST Special Publication 811 (degrees, miles per hour, metres per second).
"""

from __future__ import annotations

import pytest

from readiness.facts.limit_rows import Measure
from readiness.foam.conditions import MPH_PER_KMH, MPH_PER_M_S, figure_of
from readiness.foam.group_hours import fahrenheit
from readiness.telling.quantity_words import margin_told, value_told


@pytest.mark.parametrize(
    ("celsius", "expected"),
    [(-40, -40), (-20, -4), (-10, 14), (0, 32), (4, 39.2), (10, 50), (21, 69.8), (37, 98.6)],
)
def test_a_temperature_in_fahrenheit(celsius: float, expected: float) -> None:
    assert fahrenheit(celsius) == pytest.approx(expected)


@pytest.mark.parametrize(("text", "expected"), [("3 C", 5.4), ("5 F", 5), ("1 C", 1.8)])
def test_a_spread_is_a_difference_and_not_a_temperature(text: str, expected: float) -> None:
    """3 C of difference are 5.4 F of difference, while 3 C on a thermometer are 37.4 F."""
    assert figure_of(text, Measure.SPREAD) == pytest.approx(expected)


@pytest.mark.parametrize(("text", "expected"), [("3 C", 37.4), ("45 F", 45), ("-5 C", 23)])
def test_a_temperature_is_no_difference(text: str, expected: float) -> None:
    assert figure_of(text, Measure.SUBSTRATE_TEMPERATURE) == pytest.approx(expected)


@pytest.mark.parametrize(
    ("text", "expected"), [("10 mph", 10), ("20 km/h", 12.427), ("16.09344 km/h", 10)]
)
def test_a_wind_in_miles_per_hour(text: str, expected: float) -> None:
    assert figure_of(text, Measure.WIND) == pytest.approx(expected, abs=0.001)


def test_the_factors_of_wind() -> None:
    assert pytest.approx(0.621371, abs=1e-6) == MPH_PER_KMH
    assert pytest.approx(2.236936, abs=1e-6) == MPH_PER_M_S


@pytest.mark.parametrize(
    ("value", "measure", "units", "told"),
    [
        (62, Measure.SUBSTRATE_TEMPERATURE, "US", "62 F"),
        (62, Measure.SUBSTRATE_TEMPERATURE, "metric", "16.7 C"),
        (5, Measure.SPREAD, "US", "5 F"),
        (5, Measure.SPREAD, "metric", "2.8 C"),
        (18.04, Measure.WOOD_MOISTURE, "metric", "18 %"),
        (10, Measure.WIND, "metric", "16 km/h"),
        (10, Measure.WIND, "US", "10 mph"),
        (31.999, Measure.AIR_TEMPERATURE, "metric", "0 C"),
    ],
)
def test_a_value_is_told_in_the_units_of_the_job(
    value: float, measure: Measure, units: str, told: str
) -> None:
    assert value_told(value, measure, units) == told


def test_five_degrees_to_spare_are_not_told_as_minus_fifteen() -> None:
    assert margin_told(5, Measure.SUBSTRATE_TEMPERATURE, "metric") == "2.8 C"
