"""What of a site stays the same whatever was seen: network, calendars, what waits for what.

Invariant: a frame depends on the site alone, so it is made once and used for every question.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

from readiness.schedule.network import Network, compiled
from readiness.schedule.slots import Slots
from readiness.schedule.worktime import Worktime
from readiness.site.calendars import midnight_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from readiness.schedule.calendar import Calendar as Timer
    from readiness.site.calendars import Calendar
    from readiness.site.site import Site

DAYS_BEFORE_FIRST_DATE = 30
DAYS_AFTER_LAST_DATE = 90

Closures = tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Frame:
    """A site, compiled."""

    site: Site
    network: Network
    calendars: tuple[Timer, ...]
    """Parallel to `site.calendars`."""
    upstream: Mapping[str, frozenset[int]]
    """By trip: everything it waits for."""
    downstream: Mapping[str, frozenset[int]]
    """By trip: everything that waits for it, the trip's own tasks included."""
    _variants: dict[tuple[int, Closures], Timer] = field(default_factory=dict, repr=False)

    def closed(self, calendar: int, closures: Closures) -> Timer:
        """Return a calendar without some closed stretches; made once for each set of them."""
        if not closures:
            return self.calendars[calendar]
        timer = self.calendars[calendar]
        key = (id(timer), closures)
        if key not in self._variants:
            assert isinstance(timer, Worktime | Slots)  # noqa: S101  a clock is never closed
            self._variants[key] = timer.without(closures)
        return self._variants[key]


def frame_of(site: Site, like: Frame | None = None) -> Frame:
    """Return the compiled site.

    Args:
        site: The site.
        like: A frame whose calendars are taken over if those of the site are the same.

    Raises:
        CircleError: Tasks wait for each other.
    """
    network = compiled(site.tasks, site.links, site.job_calendar)
    if like is not None and like.site.calendars == site.calendars:
        calendars = like.calendars
    else:
        calendars = _timers(site.calendars, *_horizon(site))
    return Frame(
        site=site,
        network=network,
        calendars=calendars,
        upstream={trip.id: network.upstream(trip.tasks) for trip in site.trips.values()},
        downstream={
            trip.id: network.downstream(trip.tasks).union(trip.tasks)
            for trip in site.trips.values()
        },
    )


def _timers(calendars: tuple[Calendar, ...], low: int, high: int) -> tuple[Timer, ...]:
    """Return the calendars compiled; parties that work alike share one."""
    alike: dict[tuple[object, ...], Timer] = {}
    timers = []
    for calendar in calendars:
        key = (calendar.hours, calendar.closed, calendar.zone, calendar.slots, calendar.late)
        if key not in alike:
            alike[key] = (Slots if calendar.slots else Worktime)(calendar.spans, low, high)
        timers.append(alike[key])
    return tuple(timers)


def _horizon(site: Site) -> tuple[int, int]:
    """Return the stretch the calendars are compiled for at first; they grow on demand."""
    dates = sorted(_dates(site))
    first = dates[0] if dates else date(2026, 1, 1)
    last = dates[-1] if dates else first
    work_days = sum(task.minutes for task in site.tasks if task.calendar is not None) // 480
    return (
        midnight_of(first - timedelta(days=DAYS_BEFORE_FIRST_DATE), site.zone),
        midnight_of(last + timedelta(days=DAYS_AFTER_LAST_DATE + 2 * work_days), site.zone),
    )


def _dates(site: Site) -> Iterator[date]:
    """Yield the dates that the job file knows of its clock, its trips and its bookings."""
    job = site.job
    if job.as_of is not None:
        yield job.as_of.date()
    for trip in job.trips.values():
        for day in (trip.agreed, trip.booked, trip.arrived):
            if day is not None:
                yield day.date() if isinstance(day, datetime) else day
    for row in job.work.values():
        for booking in (row.agreed, row.booked) if row is not False else ():
            if booking is not None:
                yield booking.last
    if job.board is not None:
        yield job.board.last
