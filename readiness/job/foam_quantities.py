"""Quantities that a product data sheet of foam tells: resistance, permeance, density, yield, rate.

Invariant: a value is exact in one unit and shows itself as it was written; inch-pound and metric
names never mix within one number.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from fractions import Fraction
from typing import ClassVar, Self

from readiness.job.quantities import MILLIMETRES_PER_INCH
from readiness.job.quantity import QuantityError, Units, check_length_of, refusal
from readiness.job.written import NUMBER, FromText, decimal_text, number

R_PER_RSI = Fraction(5678263, 1_000_000)
"""Hours, square feet and degrees F per Btu in one m2 K/W.

Source: NIST Special Publication 811, appendix B.8 (0.1761102 m2 K/W); from memory.
"""

NG_PER_PERM = Fraction(572135, 10_000)
"""ng/(Pa s m2) in one perm.

Source: NIST Special Publication 811, appendix B.8 (perm at 0 C, 57.2135 ng); from memory.
"""

KG_M3_PER_LB_FT3 = Fraction("0.45359237") / Fraction("0.3048") ** 3
"""Exact, from the international pound and foot."""

MOST_R = 200
MOST_PERM = 1000
MOST_LB_FT3 = 20
MOST_BOARD_FEET = 1_000_000

# Patterns stay text until they are first used: most jobs start without such a quantity.
_R = rf"(r|rsi) ?-? ?({NUMBER})"
_PERMEANCE = rf"({NUMBER}) ?(perms?|ng(?:/\(?pa s m2\)?)?)"
_DENSITY = rf"({NUMBER}) ?(lbs?/ft3|lbs?/cu ?ft|pcf|kg/m3)"
_BOARD_FEET = rf"({NUMBER}) ?(?:bd\.? ?ft|board f(?:ee|oo)t)"
_RATE = rf"({NUMBER}) ?(?:bd\.? ?ft|board f(?:ee|oo)t) ?(?:/|an?|per) ?(h|hour)"


@dataclass(frozen=True, slots=True)
class Resistance(FromText):
    """A thermal resistance, exact in h ft2 F/Btu."""

    r: Fraction
    written: str = field(compare=False)

    wanted: ClassVar[str] = "a thermal resistance"
    examples: ClassVar[tuple[str, ...]] = ("R-20", "RSI 3.5")

    @classmethod
    def parse(cls, text: str) -> Self:
        """Return the resistance a text says.

        Raises:
            QuantityError: Neither R nor RSI, or more than any wall has.
        """
        said = check_length_of(text, cls.wanted)
        match = re.fullmatch(_R, said)
        if match is None:
            raise refusal(text, said, cls)
        value = number(match[2]) * (R_PER_RSI if match[1] == "rsi" else 1)
        if not 0 < value <= MOST_R:
            raise QuantityError(text, "a resistance that a wall has", "is the unit right?")
        return cls(value, text.strip())

    def in_units(self, units: Units) -> str:
        """Return the resistance as text, R or RSI."""
        return r_told(float(self.r), units)

    def __str__(self) -> str:
        return self.written


@dataclass(frozen=True, slots=True)
class Permeance(FromText):
    """A permeance to water vapor, exact in perm."""

    perm: Fraction
    written: str = field(compare=False)

    wanted: ClassVar[str] = "a permeance"
    examples: ClassVar[tuple[str, ...]] = ("0.9 perm", "50 ng")

    @classmethod
    def parse(cls, text: str) -> Self:
        """Return the permeance a text says.

        Raises:
            QuantityError: Neither perm nor ng, or more than any foam has.
        """
        said = check_length_of(text, cls.wanted)
        match = re.fullmatch(_PERMEANCE, said)
        if match is None:
            raise refusal(text, said, cls)
        value = number(match[1]) / (NG_PER_PERM if match[2].startswith("ng") else 1)
        if not 0 < value <= MOST_PERM:
            raise QuantityError(text, "a permeance that foam has", "is the unit right?")
        return cls(value, text.strip())

    def in_units(self, units: Units) -> str:
        """Return the permeance as text, perm or ng."""
        return perm_told(float(self.perm), units)

    def __str__(self) -> str:
        return self.written


@dataclass(frozen=True, slots=True, order=True)
class Density(FromText):
    """A density, exact in lb/ft3."""

    lb_ft3: Fraction
    written: str = field(compare=False)

    wanted: ClassVar[str] = "a density"
    examples: ClassVar[tuple[str, ...]] = ("2.0 lb/ft3", "32 kg/m3")

    @classmethod
    def parse(cls, text: str) -> Self:
        """Return the density a text says.

        Raises:
            QuantityError: An unknown unit, or more than any foam has.
        """
        said = check_length_of(text, cls.wanted)
        match = re.fullmatch(_DENSITY, said)
        if match is None:
            raise refusal(text, said, cls)
        value = number(match[1])
        if match[2] == "kg/m3":
            value /= KG_M3_PER_LB_FT3
        if not 0 < value <= MOST_LB_FT3:
            raise QuantityError(text, "a density that foam has", "is the unit right?")
        return cls(value, text.strip())

    def in_units(self, units: Units) -> str:
        """Return the density as text in lb/ft3 or kg/m3."""
        if units == "metric":
            return f"{decimal_text(self.lb_ft3 * KG_M3_PER_LB_FT3, 0)} kg/m3"
        return f"{decimal_text(self.lb_ft3)} lb/ft3"

    def __str__(self) -> str:
        return self.written


@dataclass(frozen=True, slots=True)
class BoardFeet(FromText):
    """A quantity of foam: one square foot, one inch deep, is one board foot."""

    board_feet: Fraction
    written: str = field(compare=False)

    wanted: ClassVar[str] = "a quantity of foam in board feet"
    examples: ClassVar[tuple[str, ...]] = ("4200 bd ft",)

    @classmethod
    def parse(cls, text: str) -> Self:
        """Return the quantity a text says.

        Raises:
            QuantityError: No board feet, or none at all.
        """
        said = check_length_of(text, cls.wanted)
        match = re.fullmatch(_BOARD_FEET, said)
        if match is None:
            raise refusal(text, said, cls)
        return cls(_foam(text, number(match[1])), text.strip())

    def __str__(self) -> str:
        return self.written


@dataclass(frozen=True, slots=True)
class SprayRate(FromText):
    """How much a crew sprays in an hour at the gun."""

    board_feet_per_hour: Fraction
    written: str = field(compare=False)

    wanted: ClassVar[str] = "a rate of spraying in an hour at the gun"
    examples: ClassVar[tuple[str, ...]] = ("600 bd ft/h",)

    @classmethod
    def parse(cls, text: str) -> Self:
        """Return the rate a text says.

        Raises:
            QuantityError: No board feet for an hour.
        """
        said = check_length_of(text, cls.wanted)
        match = re.fullmatch(_RATE, said)
        if match is None:
            raise refusal(text, said, cls)
        return cls(_foam(text, number(match[1])), text.strip())

    def __str__(self) -> str:
        return self.written


def _foam(text: str, value: Fraction) -> Fraction:
    if not 0 < value <= MOST_BOARD_FEET:
        raise QuantityError(text, "a quantity of foam that a crew sprays", "is the unit right?")
    return value


def r_told(r: float, units: Units) -> str:
    """Return a resistance in h ft2 F/Btu as text, R or RSI."""
    if units == "metric":
        return f"RSI {decimal_text(Fraction(r) / R_PER_RSI)}"
    return f"R-{decimal_text(Fraction(r), 1)}"


def perm_told(perm: float, units: Units) -> str:
    """Return a permeance in perm as text, perm or ng."""
    if units == "metric":
        return f"{decimal_text(Fraction(perm) * NG_PER_PERM, 0)} ng/(Pa s m2)"
    return f"{decimal_text(Fraction(perm))} perm"


def depth_told(inches: float, units: Units) -> str:
    """Return a depth in inches as text, inches or millimetres."""
    if units == "metric":
        return f"{decimal_text(Fraction(inches) * MILLIMETRES_PER_INCH, 0)} mm"
    return f"{decimal_text(Fraction(inches))} in"
