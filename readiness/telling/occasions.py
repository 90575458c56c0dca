"""The occasions of a job: what has a date that people set, and when that is, day by day.

Invariant: no forecast decides whether or when an occasion begins; what nobody has dated is no
occasion.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, time, timedelta
from enum import StrEnum
from typing import TYPE_CHECKING

from readiness.diary.seen import Look
from readiness.facts.vocabulary import Order
from readiness.job.bookings import Booking
from readiness.job.instants import instant_of_local, is_dated, moment_of, shifted
from readiness.job.places import surfaces_of
from readiness.schedule.outlook import late_end
from readiness.schedule.readings_of_days import instant_of_moment, started_at
from readiness.schedule.slots import Slots
from readiness.schedule.worktime import Worktime
from readiness.site.calendars import MINUTES_A_DAY, zone_days
from readiness.telling.days import Span, days_from

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from readiness.diary.seen import Day
    from readiness.site.site import ApprovalTasks, Thing, TripTasks
    from readiness.telling.case import Case

USUAL_LOOK_MINUTES = 60
"""Length of a look at a time that is none of the office's slots."""


class OccasionKind(StrEnum):
    """What happens."""

    WORK = "work"
    SPRAY = "spray"
    KEEP_OUT = "keep-out"
    LOOK = "look"
    PULL = "pull"
    BACK = "set again"
    BOARD = "board"
    CONFIRM_RIG = "confirm the rig"
    CONFIRM_WORK = "confirm work"
    OFFER = "answer an offer"


@dataclass(frozen=True, slots=True)
class Occasion:
    """One thing with a date."""

    item: str
    """Name in the job that stays the same when dates move."""
    kind: OccasionKind
    about: str
    """Id of the stay, trip, approval or thing."""
    doer: str
    """Trade or office that comes."""
    days: tuple[Span, ...]
    agreed: bool
    booking: Booking | None = None
    tasks: tuple[int, ...] = ()
    """Open tasks it is made of."""
    look: Look | None = None
    surfaces: tuple[str, ...] = ()


def occasions_of(case: Case) -> tuple[Occasion, ...]:
    """Return the occasions of a job by date, then by name."""
    found = [
        *_stays(case),
        *_trips(case),
        *_looks(case),
        *_things(case),
        *_board(case),
    ]
    return tuple(sorted(found, key=lambda occasion: (occasion.days[0], occasion.item)))


def _stays(case: Case) -> Iterator[Occasion]:
    site, known, seen = case.site, case.outlook.known, case.outlook.seen
    for name, commitment in known.commitments.items():
        booked = seen.booked.get(name) or seen.board
        starts = commitment.early if is_dated(commitment.early) else commitment.late
        minutes = max(
            sum(_minutes(case, part) for part in chain if not _done_before(case, part, starts))
            for chain in site.stay_tasks[name].chains
        )
        if minutes == 0 or booked is None:
            continue
        parts = site.stay_tasks[name].parts
        calendar = site.tasks[parts[0]].calendar
        timer = _timer(case, parts[0])
        if calendar is None or timer is None:
            continue
        yield Occasion(
            item=name,
            kind=OccasionKind.WORK,
            about=name,
            doer=site.stays[name].trade,
            days=days_from(
                starts, minutes, site.calendars[calendar], timer, at_latest=commitment.late
            ),
            agreed=commitment.agreed,
            booking=booked.booking,
            tasks=tuple(part for part in parts if part not in known.state.finished),
        )


def _minutes(case: Case, task: int) -> int:
    return max(1, case.site.tasks[task].minutes)


def _done_before(case: Case, part: int, starts: int) -> bool:
    """Say whether a part was finished before the booked start, so that nobody comes for it.

    One that is done without a date counts as done before while the start still lies ahead;
    afterwards it counts as part of the stay, so that a stay does not shrink while it is worked.
    """
    finished = case.outlook.known.state.finished.get(part)
    if finished is None:
        return False
    if is_dated(finished.finish):
        return finished.finish <= starts
    return case.outlook.seen.as_of <= starts


def _timer(case: Case, task: int) -> Worktime | None:
    """Return the hours of a task without the keep-outs that shut it out."""
    index = case.outlook.network.calendar[task]
    timer = case.outlook.calendars[index] if index is not None else None
    return timer if isinstance(timer, Worktime) else None


def _trips(case: Case) -> Iterator[Occasion]:
    site, outlook = case.site, case.outlook
    hours = site.calendars[site.spray_calendar]
    timer = outlook.frame.calendars[site.spray_calendar]
    for name, arrival in outlook.known.arrivals.items():
        trip, news = site.trips[name], outlook.seen.trips[name]
        booked = started_at(news.arrival, hours) if news.arrival is not None else arrival
        agreed = news.agreed or name in outlook.known.arrived
        sprays = tuple(trip.sprays.values())
        if isinstance(timer, Worktime):
            yield Occasion(
                item=f"trip:{name}",
                kind=OccasionKind.SPRAY,
                about=name,
                doer=site.tasks[trip.set_up].trade or "spray",
                days=days_from(booked, trip.minutes, hours, timer),
                agreed=agreed,
                tasks=tuple(task for task in sprays if task not in outlook.known.state.finished),
                surfaces=trip.surfaces,
            )
        yield Occasion(
            item=f"trip:{name}:keep-out",
            kind=OccasionKind.KEEP_OUT,
            about=name,
            doer=site.tasks[trip.set_up].trade or "spray",
            days=((arrival, _keep_out_end(case, trip, arrival)),),
            agreed=agreed,
            surfaces=trip.surfaces,
        )


def _keep_out_end(case: Case, trip: TripTasks, arrival: int) -> int:
    """Return the late end; of one that runs past it without a release, the end of tomorrow.

    The end of a day and not an hour from now, or each look at the clock would be a change.
    """
    news, seen = case.outlook.seen.trips[trip.id], case.outlook.seen
    if news.released is not None:
        return max(news.released, arrival + 1)
    end = late_end(trip, case.outlook.frame, arrival, news.last_foam)
    if trip.id in case.outlook.known.arrived and end <= seen.as_of:
        return _end_of_tomorrow(case, seen.as_of)
    return max(end, arrival + 1)


def _end_of_tomorrow(case: Case, as_of: int) -> int:
    zone = zone_days(case.site.zone).zone
    day = moment_of(as_of, zone).date() + timedelta(days=2)
    return instant_of_local(datetime.combine(day, time()), zone)


def _looks(case: Case) -> Iterator[Occasion]:
    """Yield the looks whose slot an office has confirmed, each slot once."""
    for name, looks in case.outlook.seen.looks.items():
        trips = [approval for approval in case.site.approvals if approval.id == name]
        slots: dict[int, list[Look]] = {}
        for look in looks:
            if look.slot is not None:
                slots.setdefault(instant_of_moment(look.slot, case.site.zone), []).append(look)
        for number, (starts, there) in enumerate(slots.items()):
            surfaces = tuple(
                surface
                for approval in trips
                for surface in approval.looks
                if any(surface in surfaces_of(look.surfaces, case.site.job) for look in there)
            )
            if not surfaces:
                continue
            yield Occasion(
                item=f"approval:{name}" if number == 0 else f"approval:{name}:{number + 1}",
                kind=OccasionKind.LOOK,
                about=name,
                doer=case.site.office_of[name],
                days=((starts, _end_of_slot(case, trips[0], starts)),),
                agreed=True,
                tasks=tuple(
                    task
                    for approval in trips
                    for surface, task in approval.looks.items()
                    if surface in surfaces
                ),
                look=there[-1],
                surfaces=surfaces,
            )


def _end_of_slot(case: Case, approval: ApprovalTasks, starts: int) -> int:
    index = case.site.tasks[next(iter(approval.looks.values()))].calendar
    timer = case.outlook.frame.calendars[index] if index is not None else None
    if isinstance(timer, Slots):
        for opens, shuts in timer.slots(shifted(starts, -MINUTES_A_DAY), starts + 1):
            if opens <= starts < shuts and shuts - opens <= MINUTES_A_DAY // 4:
                return shuts
    return shifted(starts, USUAL_LOOK_MINUTES)


def _things(case: Case) -> Iterator[Occasion]:
    """Yield the dated pulls of fixed things, and when they come back."""
    for name, thing in case.site.things.items():
        placed = case.outlook.seen.things[name]
        if placed.pull is not None and placed.pulled is None:
            yield from _thing(case, thing, placed.pull, OccasionKind.PULL)
        if placed.reset is not None:
            yield from _thing(case, thing, placed.reset, OccasionKind.BACK)


def _thing(case: Case, thing: Thing, day: Day, kind: OccasionKind) -> Iterator[Occasion]:
    if thing.pull is None:
        return
    task = case.site.tasks[thing.pull]
    timer = _timer(case, thing.pull)
    if task.calendar is None or timer is None:
        return
    hours = case.site.calendars[task.calendar]
    yield Occasion(
        item=f"thing:{thing.id}:{kind.name.lower()}",
        kind=kind,
        about=thing.id,
        doer=task.trade or thing.kind.pull_trade,
        days=days_from(started_at(day, hours), _minutes(case, thing.pull), hours, timer),
        agreed=False,
        tasks=(thing.pull,),
        surfaces=thing.blocks,
    )


def _board(case: Case) -> Iterator[Occasion]:
    """Yield the agreed board start where no stay of the board crew carries it."""
    board = case.outlook.seen.board
    if board is None or "hang-board" in case.outlook.known.commitments:
        return
    hours = case.site.calendars[case.site.job_calendar]
    shift = hours.shift_on(board.booking.last)
    starts = started_at(board.booking.last, hours)
    yield Occasion(
        item="board",
        kind=OccasionKind.BOARD,
        about="board",
        doer="contractor",
        days=((starts, shift[1] if shift else shifted(starts, MINUTES_A_DAY)),),
        agreed=True,
        booking=board.booking,
    )


def deadline_of(case: Case, tasks: Iterable[int]) -> tuple[int, str] | None:
    """Return the first booked arrival that the tasks belong before, and its trip."""
    site, known = case.site, case.outlook.known
    trips = {
        site.trip_of[surface]
        for task in tasks
        for surface, order in site.orders.get(task, {}).items()
        if order is Order.BEFORE and surface in site.trip_of
    }
    arrivals = [
        (known.arrivals[trip], trip)
        for trip in trips
        if trip in known.arrivals and trip not in known.arrived
    ]
    return min(arrivals, default=None)
