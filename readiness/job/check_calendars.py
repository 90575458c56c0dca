"""Checks that whoever must come has a minute in which to come.

Invariant: a calendar that passes has a working day in the year after the first day the file names,
so no search for one is endless.
"""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

from readiness.job.hours import Hours

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readiness.job.checking import Checking
    from readiness.job.days_off import DaysOff
    from readiness.job.positions import Path

DAYS_LOOKED_AT = 366


def check_calendars(checking: Checking) -> None:
    """Tell calendars in which no day is left."""
    first = _first_day(checking)
    site = checking.job.site
    for path, hours, off in _calendars(checking):
        last = first + timedelta(days=DAYS_LOOKED_AT)
        closed = {day for one in (*off, *site.closed) for day in one.covers(first, last)}
        closed -= set(site.open)
        days = (first + timedelta(days=step) for step in range(DAYS_LOOKED_AT))
        if not any(hours.spans_on(day) and day not in closed for day in days):
            what = f"no working day is left in the year from {first}"
            checking.tell(path, what, hint="look at hours, off and closed together")


def _calendars(checking: Checking) -> Iterator[tuple[Path, Hours, tuple[DaysOff, ...]]]:
    """Yield every calendar of the file that has days off: path, hours, days off."""
    job = checking.job
    if job.site.closed:
        yield ("site", "closed"), job.site.hours, ()
    for name, trade in job.trades.items():
        usual = checking.facts.trades.get(name)
        hours = trade.hours or (Hours.parse(usual.hours) if usual else job.site.hours)
        if trade.off:
            yield ("trades", name, "off"), hours, trade.off
    for name, office in job.offices.items():
        if office.off:
            yield ("offices", name, "off"), office.visits or office.hours, office.off


def _first_day(checking: Checking) -> date:
    """Return the first day the file names for the job as a whole."""
    job = checking.job
    days: list[date] = [job.as_of.date()] if job.as_of else []
    days += [trip.agreed or trip.booked or date.max for trip in job.trips.values()]
    days += [booking.first or booking.last for booking in _bookings(checking)]
    named = [day.date() if isinstance(day, datetime) else day for day in days if day != date.max]
    return min(named, default=date(2026, 1, 1))


def _bookings(checking: Checking) -> Iterator[Booking]:
    """Yield the bookings of work and of the board start."""
    if checking.job.board:
        yield checking.job.board
    for row in checking.written_work.values():
        yield from (booking for booking in (row.agreed, row.booked) if booking)


if TYPE_CHECKING:
    from readiness.job.bookings import Booking
