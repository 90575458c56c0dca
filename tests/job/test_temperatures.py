"""Temperatures, and differences of temperatures, which are something else."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from readiness.job.quantities import QuantityError, Temperature, TemperatureDifference


@pytest.mark.parametrize(
    ("text", "fahrenheit"),
    [
        ("62 F", "62"),
        ("45 °F", "45"),
        ("45F", "45"),
        ("45℉", "45"),
        ("7 C", "223/5"),
        ("7.5 °C", "91/2"),
        ("−5 °C", "23"),
        ("-40 C", "-40"),
        ("45 deg F", "45"),
        ("45 degrees Fahrenheit", "45"),
    ],
)
def test_a_temperature_is_read_exactly(text: str, fahrenheit: str) -> None:
    assert Temperature.parse(text).fahrenheit == Fraction(fahrenheit)


@pytest.mark.parametrize("text", ["62", "", "F", "62 K", "-500 F", "5000 C", "62 F 3", "6,2 C"])
def test_a_temperature_without_unit_or_sense_is_refused(text: str) -> None:
    with pytest.raises(QuantityError):
        Temperature.parse(text)


def test_a_bare_number_of_degrees_is_refused_with_an_example() -> None:
    with pytest.raises(QuantityError, match=r'a number needs its unit, e\.g\. "62 F"'):
        Temperature.parse("62")


def test_a_difference_converts_without_the_offset() -> None:
    """5 F of difference are 2.8 C of difference; as a temperature 5 F are -15 C."""
    assert TemperatureDifference.parse("5 F").in_units("metric") == "2.8 C"
    assert Temperature.parse("5 F").in_units("metric") == "-15 C"
    assert TemperatureDifference.parse("5 C").fahrenheit_degrees == 9
    assert TemperatureDifference.parse("9 F").celsius_degrees == 5
    assert TemperatureDifference.parse("5 C").in_units("US") == "9 F"
    assert TemperatureDifference.parse("5.28 F").in_units("US") == "5.3 F"
    assert Temperature.parse("62.28 F").in_units("US") == "62.3 F"


def test_a_difference_is_no_temperature() -> None:
    values: set[object] = {TemperatureDifference.parse("5 F"), Temperature.parse("5 F")}
    assert len(values) == 2


@pytest.mark.parametrize("text", ["5", "5000 F", "warm"])
def test_what_is_no_difference_is_refused(text: str) -> None:
    with pytest.raises(QuantityError):
        TemperatureDifference.parse(text)


@given(st.integers(-60, 300))
def test_celsius_and_fahrenheit_tell_the_same_temperature(fahrenheit: int) -> None:
    temperature = Temperature.parse(f"{fahrenheit} F")
    celsius = temperature.celsius
    assert celsius * 9 / 5 + 32 == fahrenheit
    assert Temperature.parse(str(temperature)) == temperature
    assert temperature.in_units("US") == f"{fahrenheit} F"
    assert str(TemperatureDifference.parse(f"{fahrenheit} F")) == f"{fahrenheit} F"
