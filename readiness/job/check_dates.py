"""Checks that nothing ends before it starts and nothing was seen after the job's clock.

Invariant: a check compares only what was written; a day and a moment of the same day never
contradict one another.
"""

from __future__ import annotations

from datetime import date, datetime
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo, available_timezones

from readiness.job.problems import did_you_mean

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readiness.job.checking import Checking
    from readiness.job.positions import Path

Day = date | datetime


def check_dates(checking: Checking) -> None:
    """Tell what is wrong with zones, dates and their order."""
    _check_zone(checking)
    for path, earlier, early, later, late in _pairs(checking):
        if early is not None and late is not None and _is_before(late, early):
            what = f"{later} lies before {earlier} ({_told(late)} before {_told(early)})"
            checking.tell((*path, later), what, read=_told(late))
    _check_two_dates(checking)
    _check_clock(checking)
    _check_releases(checking)


def _check_two_dates(checking: Checking) -> None:
    """Tell a thing that is agreed for one date and booked for another."""
    works, trips = checking.written_work.items(), checking.job.trips.items()
    dated = [
        *((("work", name), row.agreed, row.booked) for name, row in works),
        *((("trips", name), row.agreed, row.booked) for name, row in trips),
    ]
    for path, agreed, booked in dated:
        if agreed is not None and booked is not None and agreed != booked:
            what = "agreed for one date and booked for another"
            hint = "keep agreed if the people concerned have said yes, else booked"
            checking.tell((*path, "booked"), what, hint=hint)


def _check_zone(checking: Checking) -> None:
    """Tell a zone that the tables of zones do not have."""
    zone = checking.job.site.time_zone
    try:
        ZoneInfo(zone)
    except (KeyError, ValueError, OSError):
        near = did_you_mean(zone, available_timezones())
        hint = near or "write it like America/New_York"
        checking.tell(("site", "time_zone"), f"{zone} is no time zone", read=zone, hint=hint)


def _is_before(one: Day, other: Day) -> bool:
    """Say whether one surely lies before the other; a day alone holds all its hours."""
    if isinstance(one, datetime) and isinstance(other, datetime):
        return one < other
    return _date(one) < _date(other)


def _date(day: Day) -> date:
    return day.date() if isinstance(day, datetime) else day


def _told(day: Day) -> str:
    return day.isoformat(" ", "minutes") if isinstance(day, datetime) else day.isoformat()


def _pairs(
    checking: Checking,
) -> Iterator[tuple[Path, str, Day | None, str, Day | None]]:
    """Yield what must come first and what must follow: path, key, day, key, day."""
    for name, row in checking.written_work.items():
        path: Path = ("work", name)
        done = None if isinstance(row.done, bool) else row.done
        yield path, "begun", row.begun, "done", done
        yield path, "not_before", row.not_before, "not_after", row.not_after
    for name, looks in checking.job.approvals.items():
        for number, look in enumerate(looks or ()):
            path = ("approvals", name, number)
            yield path, "requested", look.requested, "slot", look.slot
            yield path, "requested", look.requested, "at", look.at
    for name, thing in checking.job.obstructions.items():
        path = ("obstructions", name)
        yield path, "set", thing.set_, "pull", thing.pull
        yield path, "set", thing.set_, "pulled", thing.pulled
        yield path, "pull", thing.pull, "reset", thing.reset
        yield path, "pulled", thing.pulled, "reset", thing.reset
    for name, trip in checking.job.trips.items():
        path = ("trips", name)
        yield path, "arrived", trip.arrived, "last_foam", trip.last_foam
        yield path, "arrived", trip.arrived, "cleaned", trip.cleaned
        yield path, "arrived", trip.arrived, "released", trip.released
        yield path, "last_foam", trip.last_foam, "released", trip.released
        yield path, "cleaned", trip.cleaned, "released", trip.released
    for name, stop in checking.job.stops.items():
        yield ("stops", name), "at", stop.at, "lifted", stop.lifted


def _seen(checking: Checking) -> Iterator[tuple[Path, Day | None]]:
    """Yield every day on which something was seen, said or done."""
    yield from _seen_of_work(checking)
    for name, looks in checking.job.approvals.items():
        for number, look in enumerate(looks or ()):
            yield ("approvals", name, number, "requested"), look.requested
            yield ("approvals", name, number, "at"), look.at if look.result else None
    for name, thing in checking.job.obstructions.items():
        yield ("obstructions", name, "pulled"), thing.pulled
    for name, trip in checking.job.trips.items():
        for key in ("arrived", "last_foam", "cleaned", "released"):
            yield ("trips", name, key), getattr(trip, key)
    for table in ("answers", "readings", "waivers", "stops"):
        for name, row in getattr(checking.job, table).items():
            yield (table, name, "at"), row.at


def _seen_of_work(checking: Checking) -> Iterator[tuple[Path, Day | None]]:
    """Yield the days on which work was begun or done."""
    for name, row in checking.written_work.items():
        yield ("work", name, "begun"), row.begun
        yield ("work", name, "done"), None if isinstance(row.done, bool) else row.done
        if isinstance(row.done_in, dict):
            for place, day in row.done_in.items():
                yield ("work", name, "done_in", place), day


def _check_clock(checking: Checking) -> None:
    """Tell what is said to be seen after the clock of the job."""
    as_of = checking.job.as_of
    if as_of is None:
        return
    for path, day in _seen(checking):
        if day is not None and _is_before(as_of, day):
            what = f"{_told(day)} lies after as_of, {_told(as_of)}"
            hint = "what is still to come is booked, agreed or planned, not seen"
            checking.tell(path, what, read=_told(day), hint=hint)


def _check_releases(checking: Checking) -> None:
    """Tell a release that nobody stands for, and spray details of a trip that never arrived."""
    for name, trip in checking.job.trips.items():
        path = ("trips", name)
        if trip.released and not trip.released_by:
            checking.tell((*path, "released"), "a release has a name", hint="write released_by")
        if not trip.arrived:
            for key in ("last_foam", "cleaned", "released", "sprayed"):
                if getattr(trip, key):
                    what = f"{key} without arrived"
                    checking.tell((*path, key), what, hint="write when the rig arrived")
        _check_lasts(checking, path)


def _check_lasts(checking: Checking, path: Path) -> None:
    """Tell a longest duration that is shorter than the usual one, in the same kind of time."""
    trip = checking.job.trips[str(path[1])]
    usual, longest = trip.lasts, trip.lasts_at_most
    if usual is None or longest is None or usual.clock != longest.clock:
        return
    day_minutes = 480
    if longest.minutes(day_minutes) < usual.minutes(day_minutes):
        what = f"at most {longest} is less than {usual}"
        checking.tell((*path, "lasts_at_most"), what, read=str(longest))
