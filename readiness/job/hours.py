"""Weekly hours of a site, a trade or an office.

Invariant: the spans of a day are ascending, do not touch or overlap and never run past midnight;
at least one day of the week has one.
"""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass, field
from datetime import date, time
from functools import lru_cache
from typing import ClassVar, Self

from readiness.job.dates import clock_of_text
from readiness.job.days_off import DaysOff
from readiness.job.weekdays import WEEKDAYS, weekday_of
from readiness.job.written import FromText, MisreadError, plain

__all__ = ["DaysOff", "Hours"]

LONGEST_HOURS_TEXT = 400
MINUTES_A_DAY = 1440

Spans = tuple[tuple[time, time], ...]

_SPAN = re.compile(r"([0-9:]+) ?- ?([0-9:]+)")
_DAYS = re.compile(r"([a-z]+)(?: ?- ?([a-z]+))?")


@dataclass(frozen=True, slots=True)
class Hours(FromText):
    """Which spans of which weekday are open."""

    week: tuple[Spans, Spans, Spans, Spans, Spans, Spans, Spans]
    """Monday first; a span that ends at 00:00 ends at midnight."""
    written: str = field(compare=False)

    wanted: ClassVar[str] = "weekly hours"
    examples: ClassVar[tuple[str, ...]] = (
        "Mon-Fri 07:00-15:30",
        "Mon-Thu 07:00-12:00 12:30-16:00, Fri 07:00-12:00",
        "Tue,Thu 09:00-12:00",
    )

    @classmethod
    def parse(cls, text: str) -> Self:
        """Return the hours a text says.

        Raises:
            MisreadError: A day or a time is unknown, spans overlap, or one runs past midnight.
        """
        if len(text) > LONGEST_HOURS_TEXT:
            raise MisreadError(f"{text[:40]}...", cls.wanted)
        return cls(_week(text), text.strip())

    def spans_on(self, day: date) -> Spans:
        """Return the open spans of a day, whatever is closed on it."""
        return self.week[day.weekday()]

    def day_minutes(self) -> int:
        """Return the commonest length of a day in minutes; of two equally common the longer."""
        lengths = Counter(_minutes(spans) for spans in self.week if spans)
        return max(lengths, key=lambda length: (lengths[length], length))

    def usual_spans(self) -> Spans:
        """Return the spans of the first weekday of the commonest length."""
        usual = self.day_minutes()
        return next(spans for spans in self.week if spans and _minutes(spans) == usual)

    def __str__(self) -> str:
        return self.written


@lru_cache(maxsize=256)
def _week(text: str) -> tuple[Spans, Spans, Spans, Spans, Spans, Spans, Spans]:
    """Return the spans of each weekday, remembered because most trades write the same hours."""
    week: dict[int, Spans] = {}
    waiting: list[int] = []
    for piece in plain(text).split(","):
        spans = _spans(text, piece)
        days_text = _SPAN.sub("", piece).strip()
        if not days_text:
            raise _refusal(text, "say the days first, e.g. Mon-Fri 07:00-15:30")
        waiting += _days(text, days_text)
        if not spans:
            continue
        for day in waiting:
            if day in week:
                raise _refusal(text, f"{WEEKDAYS[day]} stands in it twice")
            week[day] = spans
        waiting = []
    if waiting or not week:
        raise _refusal(text, "say the hours after the days, e.g. Mon-Fri 07:00-15:30")
    mon, tue, wed, thu, fri, sat, sun = (week.get(day, ()) for day in range(7))
    return mon, tue, wed, thu, fri, sat, sun


def _days(text: str, said: str) -> list[int]:
    """Return the weekdays of `mon`, `mon-fri` or `sat-mon`."""
    match = _DAYS.fullmatch(said)
    if match is None:
        if re.search(r"[0-9]", said):
            raise _refusal(text, "times are written 07:00-15:30, hours counted to 24")
        raise _refusal(text, "days are written Mon-Fri or Tue,Thu")
    first = _weekday(text, match[1])
    last = _weekday(text, match[2]) if match[2] else first
    return [(first + step) % 7 for step in range((last - first) % 7 + 1)]


def _weekday(text: str, said: str) -> int:
    """Return the number of a weekday, Monday 0."""
    number = weekday_of(said)
    if number is None:
        raise _refusal(text, f"'{said}' is no weekday; days are Mon Tue Wed Thu Fri Sat Sun")
    return number


def _spans(text: str, piece: str) -> Spans:
    """Return the spans of one piece, ascending."""
    spans: list[tuple[time, time]] = []
    for opens_said, shuts_said in _SPAN.findall(piece):
        opens = clock_of_text(opens_said)
        shuts = time() if shuts_said == "24:00" else clock_of_text(shuts_said)
        if _end_minute(shuts) <= _minute(opens):
            raise _refusal(
                text, "hours end on the day they begin; a night shift is two days' spans"
            )
        if spans and _minute(opens) <= _end_minute(spans[-1][1]):
            raise _refusal(text, "spans of a day follow one another with a break between them")
        spans.append((opens, shuts))
    return tuple(spans)


def _minute(clock: time) -> int:
    return clock.hour * 60 + clock.minute


def _end_minute(clock: time) -> int:
    return _minute(clock) or MINUTES_A_DAY


def _minutes(spans: Spans) -> int:
    return sum(_end_minute(shuts) - _minute(opens) for opens, shuts in spans)


def _refusal(text: str, hint: str) -> MisreadError:
    return MisreadError(text, Hours.wanted, hint)
