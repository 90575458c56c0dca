"""Reads what was seen of things in the way and of trips.

Invariant: a fixed thing that stands and that nobody has dated has no date at all.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.facts.vocabulary import Rung
from readiness.job.instants import EARLIER
from readiness.job.places import surfaces_of
from readiness.schedule.knowing import Shown
from readiness.schedule.readings_of_days import finished_at, started_at

if TYPE_CHECKING:
    from readiness.diary.seen import TripNews
    from readiness.schedule.knowing import Reader
    from readiness.site.calendars import Calendar
    from readiness.site.site import TripTasks


def read_pull(reader: Reader, name: str, task: int) -> None:
    """Limit the pull of a fixed thing: gone, dated, or never until somebody dates it."""
    placed = reader.seen.things[name]
    calendar = reader.calendar(task)
    both = reader.seen.contested.get((name, ""))
    if both is not None:
        reader.contested[task] = both
    if placed.pulled is not None:
        shown = Shown(Rung.SEEN, "pulled", placed.origin)
        reader.finish(task, finished_at(placed.pulled, calendar, reader.seen.as_of), shown)
    elif not _stands(reader, name):
        reader.finish(task, EARLIER, Shown(Rung.SEEN, "not there", placed.origin))
    elif placed.pull is not None:
        reader.bookings[task] = started_at(placed.pull, calendar)
    else:
        reader.never.add(task)


def _stands(reader: Reader, name: str) -> bool:
    """Say whether a thing stands at as_of."""
    thing, placed = reader.site.things[name], reader.seen.things[name]
    if placed.since is not None:
        calendar = reader.site.calendars[reader.site.job_calendar]
        return started_at(placed.since, calendar) <= reader.seen.as_of
    if placed.dated_by_work:
        parts = (
            reader.site.stay_tasks[thing.set_by].parts if thing.set_by in reader.site.stays else ()
        )
        return any(part in reader.finished or part in reader.begun for part in parts)
    return True


def read_trip(reader: Reader, trip: TripTasks) -> None:
    """Read what was seen of one trip."""
    news = reader.seen.trips.get(trip.id)
    if news is None:
        return
    calendar = reader.site.calendars[reader.site.spray_calendar]
    _arrival(reader, trip, news, calendar)
    sprayed = {
        surface: day
        for place, day in news.sprayed.items()
        for surface in surfaces_of((place,), reader.site.job)
        if surface in trip.sprays
    }
    for surface, day in sprayed.items():
        reader.finish(trip.set_up, news.arrived or reader.seen.as_of)
        reader.finish(trip.sprays[surface], finished_at(day, calendar, reader.seen.as_of))
    if news.cleaned is not None:
        reader.finish(trip.clean_up, news.cleaned)
    if news.last_foam is not None:
        reader.bookings[trip.keep_out] = news.last_foam
    if news.released is not None:
        for task in trip.tasks:
            reader.finish(task, news.released)


def _arrival(reader: Reader, trip: TripTasks, news: TripNews, calendar: Calendar) -> None:
    if news.arrived is not None:
        reader.arrivals[trip.id] = news.arrived
        reader.arrived.add(trip.id)
        reader.finish(trip.arrival, news.arrived)
    elif news.arrival is not None:
        reader.arrivals[trip.id] = started_at(news.arrival, calendar)
        reader.bookings[trip.arrival] = reader.arrivals[trip.id]
