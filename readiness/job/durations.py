"""How long something lasts: in working time, or on the clock where `elapsed` or `cal` says so.

Invariant: a duration is never negative and is either working time or clock time, never both; a
working day has no fixed length until a calendar gives it one.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from fractions import Fraction
from typing import ClassVar, Self

from readiness.job.quantity import QuantityError, check_length_of, refusal
from readiness.job.written import MIXED, FromText, number

MINUTES_PER_HOUR = 60
MINUTES_PER_CALENDAR_DAY = 1440
MOST_DAYS = 1000
"""Nothing on a site lasts longer; a longer one is a slip of the unit."""

_PART = re.compile(
    rf"(?P<number>{MIXED}) ?"
    r"(?P<unit>wd|working days?|cal\.? ?d|cal\.? days?|calendar days?|days?|d|"
    r"hours?|hrs?|h|minutes?|mins?|min|m|weeks?|wks?|w)(?![a-z])[ ,]*"
)


@dataclass(frozen=True, slots=True)
class Duration(FromText):
    """A duration as its days and its minutes."""

    days: Fraction
    """Working days; none in clock time."""
    exact_minutes: Fraction
    """Minutes beside the days, of working time or of the clock."""
    clock: bool
    """Counted on the clock, not in working time."""
    written: str = field(compare=False)

    wanted: ClassVar[str] = "a duration"
    examples: ClassVar[tuple[str, ...]] = ("3 d", "6 h", "1 h 30 min", "24 h elapsed", "3 cal d")

    @classmethod
    def parse(cls, text: str) -> Self:
        """Return the duration a text says; `d` are working days, `cal d` days of the calendar.

        Raises:
            QuantityError: No unit, a negative one, or a word with two readings.
        """
        said = check_length_of(text, cls.wanted)
        if said.startswith("-"):
            hint = "a duration is never negative; instead of a lead write a link with start_of"
            raise QuantityError(text, cls.wanted, hint)
        rest, elapsed = re.subn(r" (?:elapsed|clock)$", "", said)
        parts = _parts(text, rest)
        units = {unit for unit, _ in parts}
        _check_units(text, units, elapsed=bool(elapsed))
        days = sum((amount for unit, amount in parts if unit == "d"), Fraction(0))
        minutes = sum((amount * _MINUTES[unit] for unit, amount in parts), Fraction(0))
        if days + minutes / MINUTES_PER_CALENDAR_DAY > MOST_DAYS:
            raise QuantityError(text, f"a duration of at most {MOST_DAYS} days")
        return cls(days, minutes, bool(elapsed) or "cal d" in units, text.strip())

    def minutes(self, day_minutes: int) -> int:
        """Return whole minutes, rounded up, with a working day of the given length."""
        exact = self.days * day_minutes + self.exact_minutes
        return -(-exact.numerator // exact.denominator)

    def __str__(self) -> str:
        return self.written


_MINUTES = {
    "d": 0,
    "cal d": MINUTES_PER_CALENDAR_DAY,
    "h": MINUTES_PER_HOUR,
    "min": 1,
}
"""Minutes of each unit that has a fixed length; a working day has none."""


def _parts(text: str, said: str) -> list[tuple[str, Fraction]]:
    """Return each number with its unit, in order."""
    parts: list[tuple[str, Fraction]] = []
    at = 0
    while at < len(said):
        match = _PART.match(said, at)
        if match is None:
            raise refusal(text, said, Duration)
        try:
            parts.append((_unit(text, match), number(match["number"])))
        except ZeroDivisionError:
            raise QuantityError(text, Duration.wanted, "nothing is divided by 0") from None
        at = match.end()
    if not parts:
        raise refusal(text, said, Duration)
    return parts


def _unit(text: str, match: re.Match[str]) -> str:
    """Return the one short form of a unit, or refuse one that has two readings."""
    unit, amount = match["unit"], match["number"]
    if unit in {"d", "wd"} or unit.startswith("working"):
        return "d"
    if unit.startswith("cal"):
        return "cal d"
    if unit.startswith("h"):
        return "h"
    if unit.startswith("min"):
        return "min"
    if unit.startswith("day"):
        hint = f'working or calendar days? write "{amount} d" or "{amount} cal d"'
    elif unit.startswith("w"):
        hint = 'count days instead: "5 d" is a week of work, "7 cal d" one of the calendar'
    else:
        hint = f'write "{amount} min"'
    raise QuantityError(text, "a duration with one reading", hint)


def _check_units(text: str, units: set[str], *, elapsed: bool) -> None:
    """Refuse a mixture of working time and clock time."""
    if elapsed and "d" in units:
        hint = 'a working day has no length on the clock; write "cal d" or hours'
        raise QuantityError(text, Duration.wanted, hint)
    if "cal d" in units and not elapsed and len(units) > 1:
        hint = 'days of the calendar go with hours of the clock: end it with "elapsed"'
        raise QuantityError(text, Duration.wanted, hint)
