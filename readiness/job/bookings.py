"""Bookings as people agree on them: a day, half a day, an hour, some days, or `by` a day.

Invariant: a booking keeps what was agreed and no more; which instants it stands for is decided by
the shift of whoever comes, one floor higher.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from datetime import date, datetime, time
from typing import ClassVar, Literal, Self

from readiness.job.dates import (
    checked_day,
    checked_moment,
    day_of_text,
    day_or_moment_of_text,
)
from readiness.job.written import FromText, MisreadError, plain, shown

LONGEST_SPAN_DAYS = 366

_SPAN = re.compile(r"(.+?) (?:to|until|through|-) (.+)")
_HALF = re.compile(r"(\S+) (?:in the )?(morning|afternoon)")


@dataclass(frozen=True, slots=True)
class Booking(FromText):
    """When somebody is to come, as exactly as it was agreed."""

    first: date | None
    """First day; None with `by`."""
    last: date
    """Last day, the same as the first if only one was named."""
    at: time | None = None
    """Wall-clock time of the start, if one was named."""
    half: Literal["morning", "afternoon"] | None = None
    by: bool = False
    """At any time until the last day."""
    written: str = field(default="", compare=False)

    wanted: ClassVar[str] = "a booking"
    examples: ClassVar[tuple[str, ...]] = (
        "2026-05-07",
        "2026-05-07 morning",
        "2026-05-07 to 2026-05-09",
        "by 2026-05-07",
        "2026-05-07 09:00",
    )

    @classmethod
    def parse(cls, text: str) -> Self:
        """Return the booking a text says.

        Raises:
            MisreadError: It has no reading or two, or it ends before it starts.
        """
        said = plain(text)
        written = text.strip()
        if said.startswith("by "):
            return cls(None, _day(text, said[3:]), by=True, written=written)
        if match := _HALF.fullmatch(said):
            day = _day(text, match[1])
            half: Literal["morning", "afternoon"] = (
                "morning" if match[2] == "morning" else "afternoon"
            )
            return cls(day, day, half=half, written=written)
        if match := _SPAN.fullmatch(said):
            return cls(*_span(text, match[1], match[2]), written=written)
        if " or " in said:
            hint = 'write the days as a span, e.g. "2026-05-05 to 2026-05-06"'
            raise MisreadError(text, "a booking with one reading", hint)
        value = day_or_moment_of_text(text)
        return cls.of(value, written)

    @classmethod
    def of(cls, value: date | datetime, written: str) -> Self:
        """Return the booking of a day or a moment."""
        if isinstance(value, datetime):
            return cls(value.date(), value.date(), at=value.time(), written=written)
        return cls(value, value, written=written)

    @classmethod
    def from_written(cls, value: object) -> Self:
        """Return the booking of a date, a moment or a text in a file.

        Raises:
            MisreadError: It is none of them.
        """
        if isinstance(value, cls):
            return value
        if isinstance(value, datetime):
            return cls.of(checked_moment(value), value.isoformat())
        if isinstance(value, date):
            return cls.of(checked_day(value, value), value.isoformat())
        if isinstance(value, str):
            return cls.parse(value)
        raise MisreadError(shown(value), cls.wanted, f"write it like {cls.examples[0]}")

    def __str__(self) -> str:
        return self.written


def _day(text: str, said: str) -> date:
    """Return one day of a booking; the error shows the whole text."""
    try:
        return day_of_text(said)
    except MisreadError as error:
        raise MisreadError(text, Booking.wanted, error.hint) from None


def _span(text: str, first_said: str, last_said: str) -> tuple[date, date]:
    """Return the first and last day of a span."""
    first, last = _day(text, first_said), _day(text, last_said)
    if last < first:
        raise MisreadError(text, "a span of days", "it ends before it starts")
    if (last - first).days > LONGEST_SPAN_DAYS:
        raise MisreadError(text, f"a span of at most {LONGEST_SPAN_DAYS} days")
    return first, last
