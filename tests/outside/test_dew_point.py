"""Dew and frost points against an independent library, exact tables and a printed chart.

Sources: the library `psychrolib` 2.5 (ASHRAE Handbook Fundamentals 2017, chapter 1); a printed
dew-point chart of coatings practice, read in a secondary copy, which is known to read low.
"""

from __future__ import annotations

import psychrolib
import pytest

from readiness.foam.air import (
    OutOfRangeError,
    condensation_point_c,
    relative_humidity_percent,
    spread_k,
)

psychrolib.SetUnitSystem(psychrolib.SI)

AIR_C = (-20, -10, -5, 0, 5, 10, 20, 30, 45)
HUMIDITY_PERCENT = (5, 20, 40, 60, 80, 100)

CHART_F = (
    (40, 80, 34),
    (50, 50, 31),
    (50, 70, 40),
    (50, 90, 47),
    (60, 40, 35),
    (60, 60, 45),
    (60, 85, 55),
    (70, 50, 50),
    (70, 65, 57),
    (70, 80, 63),
    (80, 50, 59),
    (80, 60, 64),
    (80, 90, 77),
    (90, 50, 67),
    (90, 70, 78),
    (100, 60, 83),
    (30, 70, 22),
    (20, 90, 18),
)
"""Air in F, humidity, condensation point in F as printed; read in a secondary copy."""


def fahrenheit(celsius: float) -> float:
    """Return a temperature in F."""
    return celsius * 1.8 + 32


def celsius(fahrenheit_degrees: float) -> float:
    """Return a temperature in C."""
    return (fahrenheit_degrees - 32) / 1.8


@pytest.mark.parametrize("humidity", HUMIDITY_PERCENT)
@pytest.mark.parametrize("air", AIR_C)
def test_dew_point_equals_the_reference_library(air: float, humidity: float) -> None:
    """Within 0.02 K over -20 to 45 C and 5 to 100 %, ice below freezing included."""
    expected = psychrolib.GetTDewPointFromRelHum(air, humidity / 100)
    assert condensation_point_c(air, humidity) == pytest.approx(expected, abs=0.02)


@pytest.mark.parametrize(("air_f", "humidity", "chart_f"), CHART_F)
def test_the_printed_chart_is_within_two_degrees_and_never_much_above(
    air_f: float, humidity: float, chart_f: float
) -> None:
    """The chart reads up to 1.9 F low, on the unsafe side, and at most 0.3 F high."""
    exact = fahrenheit(condensation_point_c(celsius(air_f), humidity))
    assert -2 <= chart_f - exact <= 0.3


@pytest.mark.parametrize("air", [-15.0, -8.0, -3.0, -0.5])
def test_below_freezing_frost_forms_before_dew_would(air: float) -> None:
    """The point over ice lies above the one over supercooled water (Magnus form, from memory)."""
    humidity = 70.0
    from math import log

    g = log(humidity / 100) + 17.62 * air / (243.12 + air)
    over_water = 243.12 * g / (17.62 - g)
    assert condensation_point_c(air, humidity) > over_water


def test_the_field_case_of_a_cold_deck_has_two_degrees_of_spread() -> None:
    """Substrate 29.2 F at a dew point of 27 F: foam pulled off although the air was 42 F.

    Source: a supplier's field report, read in a secondary copy.
    """
    humidity = relative_humidity_percent(celsius(42), celsius(27))
    assert spread_k(celsius(29.2), celsius(42), humidity) * 1.8 == pytest.approx(2.2, abs=0.05)


@pytest.mark.parametrize("humidity", [0.0, -1.0, 100.1, 140.0])
def test_a_humidity_that_cannot_be_is_refused(humidity: float) -> None:
    with pytest.raises(OutOfRangeError, match="humidity"):
        condensation_point_c(20.0, humidity)


@pytest.mark.parametrize("air", [-61.0, 81.0, 451.0])
def test_air_beyond_the_equations_is_refused(air: float) -> None:
    with pytest.raises(OutOfRangeError, match="temperature"):
        condensation_point_c(air, 50.0)
