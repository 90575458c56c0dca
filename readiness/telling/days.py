"""The days on which somebody comes: a booked start and some working time, day by day.

A trade reads its calendar by the day, so a stay of three days is three entries in its hours and
not one that runs through two nights and a weekend.

Invariant: the first day begins at what people set, even where nobody works then; the days ascend
and do not overlap.
"""

from __future__ import annotations

from datetime import timedelta
from itertools import groupby
from typing import TYPE_CHECKING

from readiness.job.instants import is_dated, moment_of, shifted
from readiness.site.calendars import zone_days

if TYPE_CHECKING:
    from datetime import date

    from readiness.schedule.worktime import Worktime
    from readiness.site.calendars import Calendar

ROUNDED_TO_MINUTES = 15
"""Ends are told to the next quarter of an hour: nobody plans to leave at 08:42."""

Span = tuple[int, int]


def days_from(
    starts: int, minutes: int, hours: Calendar, timer: Worktime, *, at_latest: int | None = None
) -> tuple[Span, ...]:
    """Return the days of a stay from its booked start to its end in working time.

    Args:
        starts: The booked start; with several possible ones the earliest.
        minutes: Working minutes.
        hours: Whose hours they are, to see whether somebody works on the booked day.
        timer: The same hours, without the stretches in which the place is closed.
        at_latest: The last possible start, from which the end is counted.
    """
    zone = zone_days(hours.zone).zone
    first_day = moment_of(starts, zone).date()
    end = timer.finish(starts if at_latest is None else at_latest, minutes)
    if not is_dated(end):
        return _outside_hours(starts, min(minutes, hours.day_minutes), hours, timer)
    by_day: list[Span] = []
    for _, spans in groupby(
        timer.spans(starts, end), key=lambda span: moment_of(span[0], zone).date()
    ):
        worked = list(spans)
        by_day.append((worked[0][0], worked[-1][1]))
    if not by_day or moment_of(by_day[0][0], zone).date() != first_day:
        return _outside_hours(starts, minutes, hours, timer)
    by_day[0] = (starts, by_day[0][1])
    last_start, last_end = by_day[-1]
    by_day[-1] = (last_start, _rounded(last_end, hours, moment_of(last_start, zone).date()))
    return tuple(by_day)


def _outside_hours(starts: int, minutes: int, hours: Calendar, timer: Worktime) -> tuple[Span, ...]:
    """Return the days of a stay that was agreed for a time when its trade does not work.

    The first day lasts as long as a usual one; what is left goes on in working time.
    """
    zone = zone_days(hours.zone).zone
    opens = moment_of(starts, zone)
    if (opens.hour, opens.minute) == (0, 0):
        usual = next(spans[0][0] for spans in hours.hours.week if spans)
        starts = shifted(starts, usual.hour * 60 + usual.minute)
    first = min(minutes, hours.day_minutes)
    end = shifted(starts, max(first, ROUNDED_TO_MINUTES))
    if minutes <= first:
        return ((starts, end),)
    resumes = timer.next_minute(end)
    return ((starts, end), *days_from(resumes, minutes - first, hours, timer))


def _rounded(end: int, hours: Calendar, day: date) -> int:
    """Return the next quarter of an hour, but not beyond the end of the shift."""
    up = -(-end // ROUNDED_TO_MINUTES) * ROUNDED_TO_MINUTES
    shift = hours.shift_on(day)
    return max(end, min(up, shift[1])) if shift else up


def nearest_shifts(calendar: Calendar, day: date, first: date) -> str:
    """Return the working days before and after a day in words, none before the first one."""
    earlier = (day - timedelta(days=n) for n in range(1, 60))
    later = (day + timedelta(days=n) for n in range(1, 400))
    found = (
        next((d for d in earlier if d >= first and calendar.shift_on(d)), None),
        next((d for d in later if calendar.shift_on(d)), None),
    )
    near = " and ".join(f"{d:%a} {d.day} {d:%b}" for d in found if d is not None)
    return f"next to it are {near}" if all(found) else f"next to it is {near or 'no day'}"
