"""Days on which somebody does not work: a day, some days, or a rule that comes round.

Invariant: a rule is one of RFC 5545 for whole days, gives the same days whichever range is asked,
and costs no more than the range that is asked.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from functools import lru_cache
from itertools import islice
from typing import TYPE_CHECKING, ClassVar, Self

from readiness.job.bookings import Booking
from readiness.job.dates import FIRST_YEAR, day_of_text, read_plain_day
from readiness.job.written import FromText, MisreadError, shown

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

MOST_OCCURRENCES = 10_000
LONGEST_RULE = 300
CYCLE_YEARS = 400
"""After so many years dates fall on the same weekdays again."""

LAST_SEARCHED_YEAR = 9599
"""From this year there is a whole cycle, and not two, until the library stops searching."""

_ENDS = ("DTSTART", "COUNT", "UNTIL")

_NUMBERS = r"[+-]?[0-9]{1,3}(?:,[+-]?[0-9]{1,3})*"
_WEEKDAY = r"(?:[+-]?[1-9][0-9]?)?(?:MO|TU|WE|TH|FR|SA|SU)"
_PARTS = {
    "FREQ": r"DAILY|WEEKLY|MONTHLY|YEARLY",
    "INTERVAL": r"[1-9][0-9]{0,2}",
    "COUNT": r"[1-9][0-9]{0,4}",
    "UNTIL": r"[0-9]{8}",
    "DTSTART": r"[0-9]{8}",
    "BYDAY": rf"{_WEEKDAY}(?:,{_WEEKDAY})*",
    "BYMONTH": _NUMBERS,
    "BYMONTHDAY": _NUMBERS,
    "BYYEARDAY": _NUMBERS,
    "BYWEEKNO": _NUMBERS,
    "BYSETPOS": _NUMBERS,
    "WKST": r"MO|TU|WE|TH|FR|SA|SU",
}
"""Parts of a rule that can speak of whole days, and how each is written."""

_LIMITS = {"BYMONTH": 12, "BYMONTHDAY": 31, "BYYEARDAY": 366, "BYWEEKNO": 53, "BYSETPOS": 366}
_NEEDS_NO_START = {
    "DAILY": (),
    "WEEKLY": ("BYDAY",),
    "MONTHLY": ("BYDAY", "BYMONTHDAY"),
    "YEARLY": ("BYDAY", "BYMONTHDAY", "BYYEARDAY", "BYWEEKNO"),
}
"""One of these parts says which days a rule means; without any it repeats its start."""


@dataclass(frozen=True, slots=True)
class DaysOff(FromText):
    """A day, a span of days, or a rule."""

    first: date | None
    """First day of a day or span; None for a rule."""
    last: date | None
    rule: str = ""
    """A rule of RFC 5545, with `DTSTART=20260504` among its parts where it needs a start."""
    written: str = field(default="", compare=False)

    wanted: ClassVar[str] = "a day, a span of days or a rule"
    examples: ClassVar[tuple[str, ...]] = (
        "2026-05-07",
        "2026-05-07 to 2026-05-09",
        "FREQ=WEEKLY;BYDAY=FR",
        "FREQ=WEEKLY;INTERVAL=2;BYDAY=FR;DTSTART=20260501",
    )

    @classmethod
    def parse(cls, text: str) -> Self:
        """Return the days off a text says.

        Raises:
            MisreadError: It says neither days nor a rule, or a rule that can't be one of days off.
        """
        written = text.strip()
        rule = written.upper().removeprefix("RRULE:")
        if "=" in rule:
            _check_rule(written, rule)
            return cls(None, None, rule, written)
        booking = Booking.parse(text)
        if booking.by or booking.half or booking.at:
            raise MisreadError(text, cls.wanted, "a day off is a whole day")
        return cls(booking.first, booking.last, "", written)

    @classmethod
    def from_written(cls, value: object) -> Self:
        """Return the days off of a date or a text in a file.

        Raises:
            MisreadError: It is neither.
        """
        if isinstance(value, cls):
            return value
        if isinstance(value, str):
            return cls.parse(value)
        if isinstance(value, date):
            day = read_plain_day(value)
            return cls(day, day, "", day.isoformat())
        raise MisreadError(shown(value), cls.wanted, f"write it like {cls.examples[1]!r}")

    def covers(self, first: date, last: date) -> frozenset[date]:
        """Return the days off from the first to the last day asked, both included."""
        if self.rule:
            return _days_of_rule(self.rule, first, last)
        if self.first is None or self.last is None:
            return frozenset()
        low, high = max(first, self.first), min(last, self.last)
        days = range(max((high - low).days + 1, 0))
        return frozenset(low + timedelta(days=step) for step in days)

    def __str__(self) -> str:
        return self.written


def _check_rule(written: str, rule: str) -> None:
    """Refuse a rule that is wrong, speaks of less than days, or needs a start it does not say."""
    parts = _parts_of(written, rule)
    for name, value in parts.items():
        if name not in _PARTS:
            hint = f"{name} is no part of a rule of whole days; parts are {', '.join(_PARTS)}"
            raise MisreadError(written, DaysOff.wanted, hint)
        _check_part(written, name, value)
    if "FREQ" not in parts:
        raise MisreadError(written, DaysOff.wanted, "a rule begins with FREQ, e.g. FREQ=WEEKLY")
    if "COUNT" in parts and "UNTIL" in parts:
        raise MisreadError(written, DaysOff.wanted, "a rule has COUNT or UNTIL, not both")
    _check_start(written, parts)
    if not _ever_comes(rule):
        raise MisreadError(written, DaysOff.wanted, "no day fits all its parts together")


def _parts_of(written: str, rule: str) -> dict[str, str]:
    """Return the parts of a rule by name."""
    if len(rule) > LONGEST_RULE:
        raise MisreadError(shown(written), DaysOff.wanted)
    parts: dict[str, str] = {}
    for piece in rule.split(";"):
        name, sign, value = piece.strip().partition("=")
        if not sign or name in parts:
            hint = "parts of a rule are NAME=VALUE, each once, with ; between them"
            raise MisreadError(written, DaysOff.wanted, hint)
        parts[name] = value
    return parts


def _check_part(written: str, name: str, value: str) -> None:
    """Refuse a value that its part can't have."""
    if not re.fullmatch(_PARTS[name], value, re.ASCII):
        hint = f"{name}={value} can't be"
        if name == "FREQ":
            hint = "FREQ is DAILY, WEEKLY, MONTHLY or YEARLY; a day off is a whole day"
        elif name == "INTERVAL":
            hint = "INTERVAL counts from 1 to 999"
        elif name in {"UNTIL", "DTSTART"}:
            hint = f"{name} is a day without a time: {name}=20261224"
        raise MisreadError(written, DaysOff.wanted, hint)
    if name == "COUNT" and int(value) > MOST_OCCURRENCES:
        raise MisreadError(written, DaysOff.wanted, f"COUNT goes to {MOST_OCCURRENCES}")
    if name in _LIMITS and not all(1 <= abs(int(one)) <= _LIMITS[name] for one in value.split(",")):
        raise MisreadError(written, DaysOff.wanted, f"{name} goes to {_LIMITS[name]}")
    if name in {"UNTIL", "DTSTART"}:
        _rule_day(written, value)


def _check_start(written: str, parts: dict[str, str]) -> None:
    """Refuse a rule whose days hang on a start that it does not say."""
    if "DTSTART" in parts:
        return
    says_days = _NEEDS_NO_START[parts["FREQ"]]
    counted = int(parts.get("INTERVAL", "1")) > 1 or "COUNT" in parts
    if counted or (says_days and not any(name in parts for name in says_days)):
        hint = "say where it begins: add e.g. ;DTSTART=20260504"
        raise MisreadError(written, DaysOff.wanted, hint)


def _rule_day(written: str, value: str) -> date:
    """Return the day of UNTIL or DTSTART."""
    try:
        return day_of_text(f"{value[:4]}-{value[4:6]}-{value[6:8]}")
    except MisreadError as error:
        raise MisreadError(written, DaysOff.wanted, error.hint) from None


@lru_cache(maxsize=256)
def _ever_comes(rule: str) -> bool:
    """Say whether any day fits a rule.

    The library looks for the next day until the year 9999. The calendar repeats every 400 years, so
    the question is asked near the end of that search, where its answer costs little.
    """
    parts = _parts_of(rule, rule)
    start = _rule_day(rule, parts.get("DTSTART", f"{FIRST_YEAR}0101"))
    shifted = CYCLE_YEARS * ((LAST_SEARCHED_YEAR - start.year) // CYCLE_YEARS)
    late = datetime.combine(start.replace(year=start.year + shifted), time())
    return next(_moments(parts, late), None) is not None


def _moments(
    parts: dict[str, str], start: datetime, until: date | None = None
) -> Iterator[datetime]:
    """Yield the moments of a rule from a start on, however often it is to come."""
    from dateutil.rrule import rrulestr

    kept = [f"{name}={value}" for name, value in parts.items() if name not in _ENDS]
    if until is not None:
        kept.append(f"UNTIL={until:%Y%m%d}")
    found: Iterable[datetime] = rrulestr(";".join(kept), dtstart=start)
    yield from found


def _days_of_rule(rule: str, first: date, last: date) -> frozenset[date]:
    """Return the days of a rule within a range."""
    days: set[date] = set()
    for year in range(first.year, last.year + 1):
        days |= _days_of_rule_in(rule, year)
    return frozenset(day for day in days if first <= day <= last)


@lru_cache(maxsize=1024)
def _days_of_rule_in(rule: str, year: int) -> frozenset[date]:
    """Return the days of a rule in one year.

    The search ends with the year, and a rule of which no day fits has been refused.
    """
    parts = _parts_of(rule, rule)
    until = date(year, 12, 31)
    if "UNTIL" in parts:
        until = min(until, _rule_day(rule, parts["UNTIL"]))
    # Without a written start every period is alike; the year before lets the first one be whole
    start = _rule_day(rule, parts["DTSTART"]) if "DTSTART" in parts else date(year - 1, 1, 1)
    if until < start:
        return frozenset()
    moments = _moments(parts, datetime.combine(start, time()), until)
    count = int(parts["COUNT"]) if "COUNT" in parts else None
    days = (moment.date() for moment in islice(moments, count))
    return frozenset(day for day in days if day.year == year)
