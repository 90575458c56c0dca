"""Temperatures and differences of temperatures, which convert differently.

Invariant: 5 F of difference are 2.8 C of difference, while 5 F on a thermometer are -15 C; the two
are types of their own and never compared.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from fractions import Fraction
from typing import ClassVar, Self

from readiness.job.quantity import QuantityError, Units, check_length_of, refusal
from readiness.job.written import NUMBER, FromText, decimal_text

COLDEST_FAHRENHEIT = Fraction(-45967, 100)
"""Absolute zero."""

HOTTEST_FAHRENHEIT = 1000

_DEGREES = re.compile(rf"([+-]? ?{NUMBER}) ?(?:°|deg\.?|degrees?)? ?(f|fahrenheit|c|celsius)")


@dataclass(frozen=True, slots=True, order=True)
class Temperature(FromText):
    """A temperature, exact in degrees Fahrenheit."""

    fahrenheit: Fraction
    written: str = field(compare=False)

    wanted: ClassVar[str] = "a temperature in F or C"
    examples: ClassVar[tuple[str, ...]] = ("62 F", "7 C", "45 °F")

    @classmethod
    def parse(cls, text: str) -> Self:
        """Return the temperature a text says.

        Raises:
            QuantityError: No F or C, or no temperature at all.
        """
        degrees, is_celsius = _degrees(text, cls)
        fahrenheit = degrees * 9 / 5 + 32 if is_celsius else degrees
        if not COLDEST_FAHRENHEIT <= fahrenheit <= HOTTEST_FAHRENHEIT:
            raise QuantityError(text, "a temperature that occurs on a site", "is the unit right?")
        return cls(fahrenheit, text.strip())

    @property
    def celsius(self) -> Fraction:
        """Return the exact temperature in degrees Celsius."""
        return (self.fahrenheit - 32) * 5 / 9

    def in_units(self, units: Units) -> str:
        """Return the temperature as text in C or F."""
        if units == "metric":
            return f"{decimal_text(self.celsius, 1)} C"
        return f"{decimal_text(self.fahrenheit, 1)} F"

    def __str__(self) -> str:
        return self.written


@dataclass(frozen=True, slots=True, order=True)
class TemperatureDifference(FromText):
    """A difference of two temperatures: 5 F of difference are 2.8 C, not -15 C."""

    fahrenheit_degrees: Fraction
    written: str = field(compare=False)

    wanted: ClassVar[str] = "a difference of temperatures in F or C"
    examples: ClassVar[tuple[str, ...]] = ("5 F", "3 C")

    @classmethod
    def parse(cls, text: str) -> Self:
        """Return the difference a text says.

        Raises:
            QuantityError: No F or C, or no difference at all.
        """
        degrees, is_celsius = _degrees(text, cls)
        fahrenheit_degrees = degrees * 9 / 5 if is_celsius else degrees
        if abs(fahrenheit_degrees) > HOTTEST_FAHRENHEIT:
            raise QuantityError(text, "a difference that occurs on a site", "is the unit right?")
        return cls(fahrenheit_degrees, text.strip())

    @property
    def celsius_degrees(self) -> Fraction:
        """Return the exact difference in degrees Celsius."""
        return self.fahrenheit_degrees * 5 / 9

    def in_units(self, units: Units) -> str:
        """Return the difference as text in C or F."""
        if units == "metric":
            return f"{decimal_text(self.celsius_degrees, 1)} C"
        return f"{decimal_text(self.fahrenheit_degrees, 1)} F"

    def __str__(self) -> str:
        return self.written


def _degrees(text: str, kind: type[FromText]) -> tuple[Fraction, bool]:
    """Return the number of degrees and whether they are Celsius."""
    said = check_length_of(text, kind.wanted)
    match = _DEGREES.fullmatch(said)
    if match is None:
        raise refusal(text, said, kind)
    return Fraction(match[1].replace(" ", "")), match[2].startswith("c")
