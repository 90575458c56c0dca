"""Reads days without a time to the disadvantage of readiness.

Finished and passed mean the end of that trade's shift, begun and set its start; never later than
the moment of the question, because nobody can have seen it later.

Invariant: the instant of a day depends on the day and the calendar alone.
"""

from __future__ import annotations

from datetime import date, datetime
from typing import TYPE_CHECKING

from readiness.job.instants import EARLIER, instant_of_local
from readiness.site.calendars import Calendar, midnight_after, midnight_of, zone_days

if TYPE_CHECKING:
    from readiness.job.bookings import Booking

Day = date | datetime


def instant_of_moment(moment: datetime, zone: str) -> int:
    """Return the instant of a wall-clock time at the site."""
    return instant_of_local(moment.replace(tzinfo=None), zone_days(zone).zone)


def day_of(day: Day) -> date:
    """Return the day of a statement."""
    return day.date() if isinstance(day, datetime) else day


def finished_at(day: Day | None, calendar: Calendar, as_of: int) -> int:
    """Return when something of that day was over: the end of the shift, 24:00 on a day off.

    Without a day it lies before everything that is dated.
    """
    if day is None:
        return EARLIER
    if isinstance(day, datetime):
        return min(instant_of_moment(day, calendar.zone), as_of)
    shift = calendar.shift_on(day)
    end = shift[1] if shift else midnight_after(day, calendar.zone)
    return min(end, as_of)


def started_at(day: Day, calendar: Calendar) -> int:
    """Return when something of that day began: the start of the shift, 00:00 on a day off."""
    if isinstance(day, datetime):
        return instant_of_moment(day, calendar.zone)
    shift = calendar.shift_on(day)
    return shift[0] if shift else midnight_of(day, calendar.zone)


def due_at(day: Day, calendar: Calendar) -> int:
    """Return the last instant that is still not after a day: the end of the shift."""
    if isinstance(day, datetime):
        return instant_of_moment(day, calendar.zone)
    shift = calendar.shift_on(day)
    return shift[1] if shift else midnight_after(day, calendar.zone)


def booked_from_to(booking: Booking, calendar: Calendar) -> tuple[int, int]:
    """Return the early and the late start that a booking leaves open.

    One day means the start of that trade's shift; a span, a half day and "by" leave more open.
    The early end of "by" is `EARLIER`: it may be any time until then.
    """
    if booking.at is not None and booking.first is not None:
        start = instant_of_moment(datetime.combine(booking.first, booking.at), calendar.zone)
        return start, start
    last = _start_on(booking.last, calendar, booking.half)
    if booking.by or booking.first is None:
        return EARLIER, last
    return _start_on(booking.first, calendar, booking.half), last


def _start_on(day: date, calendar: Calendar, half: str | None) -> int:
    """Return the start of the shift, or of its second half for an afternoon."""
    opens = started_at(day, calendar)
    if half != "afternoon":
        return opens
    spans = calendar.spans_on(day)
    if len(spans) > 1:
        return spans[1][0]
    return (spans[0][0] + spans[0][1] + 1) // 2 if spans else opens + 720
