"""Quantities as people write them, with their unit: lengths, areas, temperatures, shares.

Invariant: a value is exact (a fraction of its unit), compares by what it is worth and shows itself
as it was written; a number without a unit is refused.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from fractions import Fraction
from typing import ClassVar, Literal, Self

from readiness.job.durations import Duration
from readiness.job.quantity import QuantityError, Units, check_length_of, refusal
from readiness.job.temperatures import Temperature, TemperatureDifference
from readiness.job.written import MIXED, NUMBER, FromText, decimal_text, number, plain

__all__ = [
    "Area",
    "Duration",
    "Length",
    "QuantityError",
    "Share",
    "Temperature",
    "TemperatureDifference",
]

MILLIMETRES_PER_INCH = Fraction(254, 10)
"""Exact. Source: NIST Handbook 44, appendix C, section 4, units of length."""

INCHES_PER_FOOT = 12
SQUARE_METRES_PER_SQUARE_FOOT = (MILLIMETRES_PER_INCH * INCHES_PER_FOOT / 1000) ** 2

REAL_DEPTH_INCHES = {
    2: Fraction(3, 2),
    3: Fraction(5, 2),
    4: Fraction(7, 2),
    6: Fraction(11, 2),
    8: Fraction(29, 4),
    10: Fraction(37, 4),
    12: Fraction(45, 4),
}
"""Dry dressed depth of a board by its nominal width.

Source: American Softwood Lumber Standard (NIST Voluntary Product Standard PS 20), dressed sizes,
read in a secondary table."""

LONGEST_INCHES = 12_000
LARGEST_SQUARE_FEET = 10_000_000

_INCHES = rf"({MIXED}) ?(?:\"|in\.?|inch|inches)"
_IMPERIAL = re.compile(rf"({MIXED}) ?(?:'|ft\.?|feet|foot)(?: ?-? ?{_INCHES})?")
_INCHES_ALONE = re.compile(_INCHES)
_METRIC = re.compile(
    rf"({NUMBER}) ?(mm|cm|m|millimet(?:re|er)s?|centimet(?:re|er)s?|met(?:re|er)s?)"
)
_BOARD = re.compile(r"([1-6]) ?x ?([0-9]{1,2})")
_AREA = re.compile(
    rf"({NUMBER}) ?(sq\.? ?ft\.?|sf|square f(?:ee|oo)t|ft2|m2|sq\.? ?m|square met(?:re|er)s?)"
    r"(?: ?(net|gross))?"
)
_SHARE = re.compile(rf"({NUMBER}) ?(?:%|percent|per cent)")


@dataclass(frozen=True, slots=True, order=True)
class Length(FromText):
    """A length, exact in inches."""

    inches: Fraction
    written: str = field(compare=False)

    wanted: ClassVar[str] = "a length with its unit"
    examples: ClassVar[tuple[str, ...]] = ("5.5 in", "140 mm", "2x6", "8 ft 6 in")

    @classmethod
    def parse(cls, text: str) -> Self:
        """Return the length a text says; `2x6` is the real depth of such a board.

        Raises:
            QuantityError: No unit, an unknown one, or no length at all.
        """
        said = check_length_of(text, cls.wanted)
        inches = _board_inches(text, said)
        if inches is None:
            inches = _imperial_inches(text, said)
        if inches is None and (metric := _METRIC.fullmatch(said)):
            inches = number(metric[1]) * _millimetres_per(metric[2]) / MILLIMETRES_PER_INCH
        if inches is None:
            raise refusal(text, said, cls)
        if inches > LONGEST_INCHES:
            raise QuantityError(text, "a length that fits a site", "is the unit right?")
        return cls(inches, text.strip())

    @property
    def millimetres(self) -> Fraction:
        """Return the exact length in millimetres."""
        return self.inches * MILLIMETRES_PER_INCH

    @property
    def is_board(self) -> bool:
        """Say whether it was written as a nominal board, whose real depth is smaller."""
        return _BOARD.fullmatch(plain(self.written)) is not None

    def in_units(self, units: Units) -> str:
        """Return the length as text in inches or millimetres."""
        if units == "metric":
            return f"{decimal_text(self.millimetres, 0)} mm"
        return f"{decimal_text(self.inches)} in"

    def __str__(self) -> str:
        return f"{self.written} ({self.in_units('US')})" if self.is_board else self.written


@dataclass(frozen=True, slots=True, order=True)
class Area(FromText):
    """An area, exact in square feet, and whether openings are in it."""

    square_feet: Fraction
    basis: Literal["net", "gross", ""] = ""
    """Net is without openings, gross with them; empty if it was not said."""
    written: str = field(default="", compare=False)

    wanted: ClassVar[str] = "an area with its unit"
    examples: ClassVar[tuple[str, ...]] = ("120 sq ft net", "64 sq ft gross", "12 m2 net")

    @classmethod
    def parse(cls, text: str) -> Self:
        """Return the area a text says.

        Raises:
            QuantityError: No unit, an unknown one, or no area at all.
        """
        said = check_length_of(text, cls.wanted)
        match = _AREA.fullmatch(said)
        if match is None:
            raise refusal(text, said, cls)
        square_feet = number(match[1])
        if "m" in match[2]:
            square_feet /= SQUARE_METRES_PER_SQUARE_FOOT
        if square_feet > LARGEST_SQUARE_FEET:
            raise QuantityError(text, "an area that fits a site", "is the unit right?")
        basis: Literal["net", "gross", ""] = ""
        if match[3] == "net":
            basis = "net"
        elif match[3] == "gross":
            basis = "gross"
        return cls(square_feet, basis, text.strip())

    @property
    def square_metres(self) -> Fraction:
        """Return the exact area in square metres."""
        return self.square_feet * SQUARE_METRES_PER_SQUARE_FOOT

    def in_units(self, units: Units) -> str:
        """Return the area as text in square feet or square metres, with net or gross."""
        if units == "metric":
            told = f"{decimal_text(self.square_metres, 1)} m2"
        else:
            told = f"{decimal_text(self.square_feet, 0)} sq ft"
        return f"{told} {self.basis}".rstrip()

    def __str__(self) -> str:
        return self.written or self.in_units("US")


@dataclass(frozen=True, slots=True, order=True)
class Share(FromText):
    """A share in percent: done so far, moisture, relative humidity."""

    fraction: Fraction
    """1 is all of it."""
    written: str = field(compare=False)

    wanted: ClassVar[str] = "a share in percent"
    examples: ClassVar[tuple[str, ...]] = ("60 %", "18 %")

    @classmethod
    def parse(cls, text: str) -> Self:
        """Return the share a text says.

        Raises:
            QuantityError: No percent sign, or more than 100 %.
        """
        said = check_length_of(text, cls.wanted)
        match = _SHARE.fullmatch(said)
        if match is None:
            raise refusal(text, said, cls)
        fraction = number(match[1]) / 100
        if fraction > 1:
            raise QuantityError(text, "a share from 0 % to 100 %")
        return cls(fraction, text.strip())

    @property
    def percent(self) -> Fraction:
        """Return the exact share in percent."""
        return self.fraction * 100

    def __str__(self) -> str:
        return self.written


def _board_inches(text: str, said: str) -> Fraction | None:
    """Return the real depth of a nominal board, or None if the text names no board."""
    match = _BOARD.fullmatch(said)
    if match is None:
        return None
    depth = REAL_DEPTH_INCHES.get(int(match[2]))
    if depth is None:
        hint = "boards are 2x2, 2x3, 2x4, 2x6, 2x8, 2x10 or 2x12; else write the depth in inches"
        raise QuantityError(text, "a usual board", hint)
    return depth


def _imperial_inches(text: str, said: str) -> Fraction | None:
    """Return feet and inches as inches, or None if the text is something else."""
    alone, with_feet = _INCHES_ALONE.fullmatch(said), _IMPERIAL.fullmatch(said)
    try:
        if alone:
            return number(alone[1])
        if with_feet:
            return number(with_feet[1]) * INCHES_PER_FOOT + number(with_feet[2] or "0")
    except ZeroDivisionError:
        raise QuantityError(text, Length.wanted, "nothing is divided by 0") from None
    return None


def _millimetres_per(unit: str) -> Fraction:
    """Return how many millimetres a metric unit has."""
    if unit.startswith(("mm", "mil")):
        return Fraction(1)
    return Fraction(10) if unit.startswith("c") else Fraction(1000)
