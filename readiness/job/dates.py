"""Days and moments as a job file holds them: dates, wall-clock times at the site, their text.

Invariant: a day lies in the years 1990 to 2200 and a moment has no time zone of its own, because
the site's zone is the only one a job has.
"""

from __future__ import annotations

import re
from datetime import date, datetime, time

from readiness.job.written import MisreadError, plain, shown

FIRST_YEAR = 1990
LAST_YEAR = 2200

WANTED_DAY = "a day"
WANTED_MOMENT = "a day with its time"
DAY_EXAMPLE = "2026-05-07"
MOMENT_EXAMPLE = "2026-05-07T09:00:00"

_CLOCK = re.compile(r"([0-9]{1,2}):([0-9]{2})(?::00)?")
_MOMENT = re.compile(r"([0-9]{4}-[0-9]{2}-[0-9]{2})(?:[ t]([0-9:]+))?")
_SLASHES = re.compile(r"[0-9]{1,4}[/.][0-9]{1,2}[/.][0-9]{1,4}")


def day_of_text(text: str) -> date:
    """Return the day a text like `2026-05-07` says.

    Raises:
        MisreadError: It says no day, or one with two readings.
    """
    said = plain(text)
    if _SLASHES.search(said):
        hint = f"it has two readings; write year, month, day: {DAY_EXAMPLE}"
        raise MisreadError(text, WANTED_DAY, hint)
    try:
        return checked_day(
            date.fromisoformat(said) if len(said) == len(DAY_EXAMPLE) else None, said
        )
    except ValueError as error:
        if isinstance(error, MisreadError):
            raise
        raise MisreadError(text, WANTED_DAY, f"write it like {DAY_EXAMPLE}") from None


def clock_of_text(text: str) -> time:
    """Return the time of day a text like `07:00` says.

    Raises:
        MisreadError: It says no time, or one of the twelve-hour clock.
    """
    said = plain(text)
    match = _CLOCK.fullmatch(said)
    if match is None:
        twelve = re.search(r"[0-9] ?[ap]\.?m", said) is not None
        hint = "count hours to 24: 3:30 pm is 15:30" if twelve else "write it like 07:00"
        raise MisreadError(text, "a time of day", hint)
    try:
        return time(int(match[1]), int(match[2]))
    except ValueError:
        raise MisreadError(text, "a time of day", "hours go to 23, minutes to 59") from None


def day_or_moment_of_text(text: str) -> date | datetime:
    """Return the day, or the moment if a time stands beside it.

    Raises:
        MisreadError: It says neither.
    """
    match = _MOMENT.fullmatch(plain(text))
    if match is None or match[2] is None:
        return day_of_text(text)
    return datetime.combine(day_of_text(match[1]), clock_of_text(match[2]))


def checked_day(value: date | None, read: object) -> date:
    """Return the day if its year can be one of a job.

    Raises:
        MisreadError: There is no day, or its year is no year of a job.
    """
    if value is None:
        raise MisreadError(read, WANTED_DAY, f"write it like {DAY_EXAMPLE}")
    if not FIRST_YEAR <= value.year <= LAST_YEAR:
        hint = f"years go from {FIRST_YEAR} to {LAST_YEAR}"
        raise MisreadError(shown(value), WANTED_DAY, hint)
    return value


def checked_moment(value: datetime) -> datetime:
    """Return the moment if it is a wall-clock time at the site.

    Raises:
        MisreadError: It has a time zone of its own, or its year is no year of a job.
    """
    if value.tzinfo is not None:
        hint = "write the time on the wall at the site, without Z or an offset"
        raise MisreadError(shown(value), WANTED_MOMENT, hint)
    checked_day(value, value)
    return value


def read_day(value: object) -> date | datetime:
    """Return the day or moment that stands in a file.

    Raises:
        MisreadError: It is none.
    """
    if isinstance(value, datetime):
        return checked_moment(value)
    if isinstance(value, date):
        return checked_day(value, value)
    if isinstance(value, str):
        return day_or_moment_of_text(value)
    raise MisreadError(shown(value), WANTED_DAY, f"write it like {DAY_EXAMPLE}")


def read_plain_day(value: object) -> date:
    """Return the day without a time that stands in a file.

    Raises:
        MisreadError: It is none, or has a time.
    """
    day = read_day(value)
    if isinstance(day, datetime):
        raise MisreadError(shown(value), "a day without a time", f"write it like {DAY_EXAMPLE}")
    return day


def read_moment(value: object) -> datetime:
    """Return the moment that stands in a file.

    Raises:
        MisreadError: It is none, or has no time.
    """
    day = read_day(value)
    if isinstance(day, datetime):
        return day
    raise MisreadError(shown(value), WANTED_MOMENT, f"write it like {MOMENT_EXAMPLE}")
