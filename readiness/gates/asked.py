"""Which trip, which arrival and which gate a question means when it does not say so.

Invariant: `on` is the arrival asked about, and all surfaces of a trip are judged at it.
"""

from __future__ import annotations

from datetime import date, datetime
from typing import TYPE_CHECKING

from readiness.facts.vocabulary import Gate
from readiness.job.instants import instant_of_local, moment_of
from readiness.schedule.readings_of_days import started_at
from readiness.site.calendars import zone_days

if TYPE_CHECKING:
    from readiness.schedule.outlook import Outlook


def local_date(outlook: Outlook, instant: int) -> date:
    """Return the date of an instant at the site."""
    return moment_of(instant, zone_days(outlook.site.zone).zone).date()


def asked_trip(outlook: Outlook, on: date | datetime | None, gate: Gate | None = None) -> str:
    """Return the trip a question is about.

    Before board the one that came last. Else the trip whose booked arrival lies on the asked day;
    without a day the one that has arrived and is not released, else the first booked one that has
    not arrived with its day today or later, else the first.
    """
    known, seen = outlook.known, outlook.seen
    booked = sorted(known.arrivals, key=lambda trip: (known.arrivals[trip], trip))
    arrived = [trip for trip in booked if trip in known.arrived]
    if gate is Gate.BOARD and arrived:
        return arrived[-1]
    if on is not None:
        day = on.date() if isinstance(on, datetime) else on
        for trip in booked:
            if local_date(outlook, known.arrivals[trip]) == day:
                return trip
    today = local_date(outlook, seen.as_of)
    for trip in booked:
        if trip in known.arrived and seen.trips[trip].released is None:
            return trip
    for trip in booked:
        if trip not in known.arrived and local_date(outlook, known.arrivals[trip]) >= today:
            return trip
    open_trips = [trip for trip in outlook.site.trips if trip not in known.arrived]
    return open_trips[0] if open_trips else next(iter(outlook.site.trips))


def asked_instant(
    outlook: Outlook, on: date | datetime | None, trip: str, gate: Gate | None = None
) -> int:
    """Return the arrival asked about, or before board the moment at which it may start.

    Before board a day means the start of the job's shift; without a day it is now once the trip
    has come, else the agreed board start, else now. Before that a day means the booked arrival
    that day, else the start of the sprayer's shift; without a day it is now while the trip is
    arrived and not released, else its booked arrival, else now.
    """
    known, seen = outlook.known, outlook.seen
    if isinstance(on, datetime):
        return instant_of_local(on.replace(tzinfo=None), zone_days(outlook.site.zone).zone)
    arrival = known.arrivals.get(trip)
    today = local_date(outlook, seen.as_of)
    if gate is Gate.BOARD and on not in (None, today):
        assert on is not None  # noqa: S101  told apart above
        return started_at(on, outlook.site.calendars[outlook.site.job_calendar])
    if gate is Gate.BOARD:
        agreed = outlook.agreed_board
        waits = trip not in known.arrived and on is None and agreed is not None
        return max(agreed, seen.as_of) if waits and agreed is not None else seen.as_of
    if trip in known.arrived and on in (None, today):
        return seen.as_of
    if on is not None:
        if arrival is not None and local_date(outlook, arrival) == on:
            return arrival
        return started_at(on, outlook.site.calendars[outlook.site.spray_calendar])
    if arrival is not None and local_date(outlook, arrival) >= today:
        return arrival
    return seen.as_of


def asked_gate(outlook: Outlook, on: int, trip: str) -> Gate:
    """Return the gate that answers for an arrival, seen from the moment of the question."""
    if all_sprayed(outlook, trip):
        return Gate.BOARD
    known, seen = outlook.known, outlook.seen
    arrival = known.arrivals.get(trip)
    today, day = local_date(outlook, seen.as_of), local_date(outlook, on)
    if day > today or arrival is None:
        return Gate.PROMISE
    if day == today and seen.as_of < arrival and trip not in known.arrived:
        return Gate.ROLL
    return Gate.GUN


def all_sprayed(outlook: Outlook, trip: str) -> bool:
    """Say whether every surface of a trip is sprayed, so that the board is what is left to ask."""
    finished = outlook.known.state.finished
    news = outlook.seen.trips.get(trip)
    return (
        news is not None
        and news.arrived is not None
        and all(spray in finished for spray in outlook.site.trips[trip].sprays.values())
    )
