"""The days of a starter: texts such as `spray - 15`, put in as dates of a real calendar.

Invariant: days are counted in working days, so no date falls on a weekend or public holiday unless
the day counted from does.
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from datetime import date, timedelta

from readiness.site.calendars import public_holidays

SATURDAY = 5

_POINT = r"(?:spray|today)(?: [+-] \d+)?(?: \d\d:\d\d)?"
_DATED = re.compile(rf'"({_POINT})(?: to ({_POINT}))?"')
_STEP = re.compile(r"(spray|today)(?: ([+-]) (\d+))?(?: (\d\d:\d\d))?")


@dataclass(frozen=True, slots=True)
class Days:
    """Days counted in working days of a country and state, from today and from the spray day."""

    today: date
    spray: date
    country: str
    state: str

    def put_in(self, text: str) -> str:
        """Return a text with the days of a starter as dates."""
        return _DATED.sub(self._dates, text)

    def _dates(self, match: re.Match[str]) -> str:
        first = self._date(match[1])
        return f'"{first} to {self._date(match[2])}"' if match[2] else first

    def _date(self, said: str) -> str:
        step = _STEP.fullmatch(said)
        assert step is not None  # noqa: S101  the pattern that found it holds this one
        word, sign, count, clock = step.groups()
        day = self.today if word == "today" else self.spray
        day = working_day(day, int(f"{sign}{count}") if sign else 0, self.country, self.state)
        return f"{day.isoformat()}T{clock}:00" if clock else day.isoformat()


def working_day(day: date, count: int, country: str, state: str) -> date:
    """Return the working day so many after a day, or before it: no weekend, no public holiday."""
    step = timedelta(days=1 if count > 0 else -1)
    left = abs(count)
    while left:
        day += step
        closed = day.weekday() >= SATURDAY or day in public_holidays(country, state, day.year)
        left -= not closed
    return day


def place_of(starter: str) -> tuple[str, str, str]:
    """Return country, state and time zone of a starter."""
    site = tomllib.loads(starter)["site"]
    return site["country"], site["state"], site["time_zone"]


def board_days(starter: str) -> int | None:
    """Return how many working days after the spray day board starts; None if nothing covers it."""
    said = tomllib.loads(starter).get("board")
    return int(said.rpartition(" ")[2]) if said else None
