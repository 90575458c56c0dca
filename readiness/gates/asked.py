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


def asked_trip(outlook: Outlook, on: date | datetime | None) -> str:
    """Return the trip a question is about.

    The trip whose booked arrival lies on the asked day; without a day the one that has arrived and
    is not released, else the first booked one that has not arrived with its day today or later,
    else the first.
    """
    known, seen = outlook.known, outlook.seen
    booked = sorted(known.arrivals, key=lambda trip: (known.arrivals[trip], trip))
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


def asked_instant(outlook: Outlook, on: date | datetime | None, trip: str) -> int:
    """Return the arrival asked about.

    A day means the booked arrival that day, else the start of the sprayer's shift; without a day
    it is now while the trip is arrived and not released, else its booked arrival, else now.
    """
    known, seen = outlook.known, outlook.seen
    if isinstance(on, datetime):
        return instant_of_local(on.replace(tzinfo=None), zone_days(outlook.site.zone).zone)
    arrival = known.arrivals.get(trip)
    today = local_date(outlook, seen.as_of)
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
    known, seen = outlook.known, outlook.seen
    arrival = known.arrivals.get(trip)
    today, day = local_date(outlook, seen.as_of), local_date(outlook, on)
    if day > today or arrival is None:
        return Gate.PROMISE
    if day == today and seen.as_of < arrival and trip not in known.arrived:
        return Gate.ROLL
    return Gate.GUN
