"""Dates in plain words: `thursday`, `in 3 working days`, `thu 7 may 09:00`.

Invariant: words with two readings are refused with both dates; nothing is guessed, and what was
understood is handed back so that it can be shown.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import TYPE_CHECKING

from readiness.job.dates import FIRST_YEAR, LAST_YEAR, clock_of_text
from readiness.job.problems import did_you_mean
from readiness.job.weekdays import day_text, month_of, weekday_of
from readiness.job.written import MisreadError, plain, shown

if TYPE_CHECKING:
    from collections.abc import Callable

WANTED = "a day"
EXAMPLES = "today, thursday, thu 7 may, in 3 working days, 2026-05-07 09:00"
FURTHEST_DAYS = 3650
NEAR_DAYS = 183
"""A day and month without a year means the coming one if that is within half a year."""

_TIME = re.compile(
    r"(?:^|[ t])(?:at )?(?P<clock>[0-9]{1,2}:[0-9]{2}(?::00)?)$"
    r"|(?:^| )(?:at )?(?P<hour>[0-9]{1,2})(?::(?P<minute>[0-9]{2}))? ?(?P<half>[ap])\.?m\.?$"
    r"|(?:^| )(?:at )?(?P<noon>noon)$"
)
_ISO = re.compile(r"([0-9]{4})-([0-9]{1,2})-([0-9]{1,2})")
_SLASHES = re.compile(r"([0-9]{1,2})[/.]([0-9]{1,2})(?:[/.]([0-9]{4}|[0-9]{2})?)?")
_IN = re.compile(r"in (?P<count>[0-9]{1,4}|an?|one) (?P<unit>.+)")
_VAGUE = re.compile(r"(?P<word>next|this|last|coming|following) (?P<day>[a-z]+\.?)")
_FIXED = {"today": 0, "tomorrow": 1, "day after tomorrow": 2, "yesterday": -1}


@dataclass(frozen=True, slots=True)
class UnderstoodDay:
    """What words for a date were understood to mean."""

    day: date
    at: time | None
    """Wall-clock time at the site, if one was said."""
    words: str
    """What was said."""

    def __str__(self) -> str:
        return day_text(self.day) + (f" {self.at:%H:%M}" if self.at else "")


@dataclass(frozen=True, slots=True)
class _Said:
    """The words, the day on which they are said, and the calendar of the job."""

    words: str
    today: date
    working_day: Callable[[date, int], date]

    def refusal(self, hint: str) -> MisreadError:
        return MisreadError(shown(self.words), WANTED, hint)

    def two_readings(self, first: date, second: date) -> MisreadError:
        low, high = sorted((first, second))
        hint = f"{day_text(low)} or {day_text(high)}? write {low} or {high}"
        return MisreadError(shown(self.words), "a day with one reading", hint)

    def day(self, year: int, month: int, day: int) -> date:
        """Return the day of the calendar, if there is one."""
        found = _day_or_none(year, month, day)
        if found is None or not FIRST_YEAR <= year <= LAST_YEAR:
            raise self.refusal(f"there is no such day from {FIRST_YEAR} to {LAST_YEAR}")
        return found


def understand(
    words: str, as_of: datetime, working_day: Callable[[date, int], date]
) -> UnderstoodDay:
    """Return the day, and the time if one is said, that words mean at a moment of the site.

    Args:
        words: What a person typed.
        as_of: Wall-clock time at the site when it was typed.
        working_day: Returns the n-th working day of the job after a day.

    Raises:
        MisreadError: The words name no day, or two.
    """
    said = plain(words).replace(",", " ")
    said = " ".join(said.split())
    if len(said) > 60:  # noqa: PLR2004  longer is no date
        raise MisreadError(shown(words), WANTED, f"write e.g. {EXAMPLES}")
    context = _Said(words, as_of.date(), working_day)
    if said == "now":
        return UnderstoodDay(as_of.date(), as_of.time().replace(second=0, microsecond=0), words)
    match = _TIME.search(said)
    at = _time(context, match) if match else None
    rest = said[: match.start()].strip() if match else said
    if at is not None and not rest:
        return UnderstoodDay(context.today, at, words)
    return UnderstoodDay(_day(context, rest.removeprefix("on ")), at, words)


def _time(said: _Said, match: re.Match[str]) -> time:
    """Return the time that stands at the end of the words."""
    if match["noon"]:
        return time(12)
    if match["clock"]:
        return clock_of_text(match["clock"])
    hour, minute = int(match["hour"]), int(match["minute"] or 0)
    if not 1 <= hour <= 12 or minute > 59:  # noqa: PLR2004  the face of a clock
        raise said.refusal("with am and pm, hours go from 1 to 12")
    return time(hour % 12 + (12 if match["half"] == "p" else 0), minute)


def _day(said: _Said, text: str) -> date:
    """Return the day of words without a time."""
    if text in _FIXED:
        return said.today + timedelta(days=_FIXED[text])
    number = weekday_of(text)
    if number is not None:
        return _coming(said.today, number)
    for pattern, reader in _READERS:
        match = pattern.fullmatch(text)
        if match:
            return reader(said, match)
    return _named_day(said, text)


def _coming(day: date, weekday: int) -> date:
    """Return the first such weekday on or after a day."""
    return day + timedelta(days=(weekday - day.weekday()) % 7)


def _iso(said: _Said, match: re.Match[str]) -> date:
    return said.day(int(match[1]), int(match[2]), int(match[3]))


def _slashes(said: _Said, match: re.Match[str]) -> date:
    """Refuse day and month in either order, unless only one order is a day."""
    first, second = int(match[1]), int(match[2])
    written = match[3]
    year = int(written) if written else said.today.year
    if written and len(written) == len("26"):
        year += 2000
    readings = {_day_or_none(year, first, second), _day_or_none(year, second, first)} - {None}
    days = sorted(day for day in readings if day is not None)
    if not days:
        raise said.refusal(f"write e.g. {EXAMPLES}")
    if len(days) > 1:
        raise said.two_readings(days[0], days[1])
    return days[0] if written else _without_year(said, days[0].month, days[0].day)


def _day_or_none(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None


def _vague(said: _Said, match: re.Match[str]) -> date:
    """Refuse `next thursday`: the coming one, or the one after it?"""
    number = weekday_of(match["day"])
    if number is None:
        raise said.refusal(f"name the day, e.g. {EXAMPLES}")
    week = timedelta(days=7)
    coming = _coming(said.today, number)
    if match["word"] == "last":
        raise said.two_readings(coming - week, coming - 2 * week)
    if match["word"] == "this" and coming != said.today:
        raise said.two_readings(coming, coming - week)
    raise said.two_readings(coming, coming + week)


def _in(said: _Said, match: re.Match[str]) -> date:
    """Return the day some working days, calendar days or weeks from today."""
    count = int(match["count"]) if match["count"].isdigit() else 1
    unit = match["unit"].removesuffix("s")
    if count > FURTHEST_DAYS:
        raise said.refusal(f"at most {FURTHEST_DAYS} days ahead")
    if unit in {"working day", "workday", "wd"}:
        return said.working_day(said.today, count) if count else said.today
    if unit in {"calendar day", "cal day", "cal d"}:
        return said.today + timedelta(days=count)
    if unit == "week":
        return said.today + timedelta(days=7 * min(count, FURTHEST_DAYS // 7))
    if unit in {"day", "d"}:
        working = said.working_day(said.today, count) if count else said.today
        calendar = said.today + timedelta(days=count)
        if working == calendar:
            return calendar
        hint = (
            f"working days ({day_text(working)}) or calendar days ({day_text(calendar)})? "
            f"write in {count} working days or in {count} calendar days"
        )
        raise MisreadError(shown(said.words), "a day with one reading", hint)
    raise said.refusal(f"write e.g. {EXAMPLES}")


def _named_day(said: _Said, text: str) -> date:
    """Return the day of a day and a month's name, with a weekday and year or without."""
    words = text.split()
    weekday = weekday_of(words[0]) if len(words) > 1 else None
    rest = words[1:] if weekday is not None else words
    if weekday is not None and (match := _ISO.fullmatch(" ".join(rest))):
        return _checked_weekday(said, _iso(said, match), weekday)
    day, month, year = _day_month_year(rest)
    if day is None or month is None:
        near = did_you_mean(text, ("today", "tomorrow", *map(str.lower, _WEEKDAY_NAMES)))
        raise said.refusal(near or f"write e.g. {EXAMPLES}")
    if year is not None:
        return _checked_weekday(said, said.day(year, month, day), weekday)
    if weekday is None:
        return _without_year(said, month, day)
    years = range(said.today.year - 1, said.today.year + 2)
    days = [found for one in years if (found := _day_or_none(one, month, day)) is not None]
    close = [found for found in days if abs((found - said.today).days) <= NEAR_DAYS]
    for candidate in close:
        if candidate.weekday() == weekday:
            return candidate
    if not days:
        raise said.refusal("there is no such day in these years")
    raise said.refusal("; ".join(f"that day is {day_text(found)}" for found in close or days))


_WEEKDAY_NAMES = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_ORDINAL = re.compile(r"([0-9]{1,2})(?:st|nd|rd|th|\.)?")
_YEAR = re.compile(r"[0-9]{4}")


def _day_month_year(words: list[str]) -> tuple[int | None, int | None, int | None]:
    """Return the parts of `7 may 2026` or `may 7 2026`; None for what is not said."""
    if len(words) == 3 and _YEAR.fullmatch(words[2]):  # noqa: PLR2004  day, month, year
        day, month, _ = _day_month_year(words[:2])
        return day, month, int(words[2])
    if len(words) != 2:  # noqa: PLR2004  day, month
        return None, None, None
    for day_word, month_word in (words, reversed(words)):
        ordinal, month = _ORDINAL.fullmatch(day_word), month_of(month_word)
        if ordinal and month:
            return int(ordinal[1]), month, None
    return None, None, None


def _checked_weekday(said: _Said, day: date, weekday: int | None) -> date:
    """Return the day if it is the weekday that was said beside it."""
    if weekday is not None and day.weekday() != weekday:
        raise said.refusal(f"that day is {day_text(day)}")
    return day


def _without_year(said: _Said, month: int, day: int) -> date:
    """Return the coming such day; refuse it if the one just past may be meant."""
    years = range(said.today.year - 4, said.today.year + 9)
    days = [found for year in years if (found := _day_or_none(year, month, day)) is not None]
    if not days:
        raise said.refusal("there is no such day")
    coming = next(found for found in days if found >= said.today)
    if (coming - said.today).days <= NEAR_DAYS:
        return coming
    raise said.two_readings(max(found for found in days if found < said.today), coming)


_READERS = ((_ISO, _iso), (_SLASHES, _slashes), (_VAGUE, _vague), (_IN, _in))
