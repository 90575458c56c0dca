"""What no gate asks and people still want to know: broken bookings, overlaps, work done too soon.

Invariant: a finding never changes a verdict.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from readiness.gates.hot_work import hot_work_near_bare_foam
from readiness.job.instants import EARLIER, is_dated
from readiness.schedule.forward import imposed
from readiness.schedule.readings_of_days import due_at
from readiness.site.task import TaskKind

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readiness.schedule.outlook import Outlook


class Finding(NamedTuple):
    """One thing worth a line."""

    code: str
    subject: str
    """Id of the task, stay or trip."""
    task: int | None
    at: int
    """When it is or should be."""
    instead: int
    """What it was meant to be, or what it collides with."""
    other: int | None
    """The other task, if two are concerned."""


def findings_of(outlook: Outlook) -> tuple[Finding, ...]:
    """Return all findings, by date and then by subject."""
    found = [
        *_broken_bookings(outlook),
        *_missed_limits(outlook),
        *_unreported(outlook),
        *_too_soon(outlook),
        *_refused_slots(outlook),
        *_overlaps(outlook),
        *_hot_work(outlook),
    ]
    return tuple(sorted(found, key=lambda finding: (finding.at, finding.code, finding.subject)))


def _broken_bookings(outlook: Outlook) -> Iterator[Finding]:
    """Yield bookings that the network can't keep."""
    known, site = outlook.known, outlook.site
    for name, commitment in known.commitments.items():
        for chain in site.stay_tasks[name].chains:
            head = chain[0] if chain else None
            if head is None or head not in known.state.bookings:
                continue
            start = outlook.forecast.start[head]
            calendar = site.tasks[head].calendar
            timer = outlook.frame.calendars[calendar] if calendar is not None else None
            wanted = commitment.late
            if timer is not None:
                wanted = timer.earliest(wanted, wanted, max(1, site.tasks[head].minutes))[0]
            if start > max(wanted, outlook.seen.as_of):
                yield Finding("booking-broken", name, head, start, commitment.late, None)
    for trip in site.trips.values():
        arrival = known.arrivals.get(trip.id)
        if arrival is None or trip.id in known.arrived:
            continue
        opens = [
            imposed(link, outlook.network, outlook.calendars, outlook.forecast)
            for surface, spray in trip.sprays.items()
            for number in outlook.network.numbered[outlook.network.rank[spray]].numbers()
            if (link := outlook.network.links[number]).source not in trip.tasks
            and surface not in known.shown_on.get(link.source, {})
        ]
        latest = max(opens, default=arrival)
        if latest > arrival:
            yield Finding("trip-booking-broken", trip.id, trip.arrival, latest, arrival, None)


def _missed_limits(outlook: Outlook) -> Iterator[Finding]:
    """Yield work that is forecast to start after its written `not after`."""
    site = outlook.site
    for name, day in outlook.seen.not_after.items():
        parts = site.stay_tasks[name].parts if name in site.stay_tasks else ()
        if not parts:
            continue
        limit = due_at(day, site.calendars[site.trade_calendar[site.stays[name].trade]])
        start = min(outlook.forecast.start[part] for part in parts)
        if start > limit:
            yield Finding("limit-missed", name, parts[0], start, limit, None)


def _unreported(outlook: Outlook) -> Iterator[Finding]:
    """Yield work past its booked end of which nobody has said a word."""
    for part in outlook.known.unreported:
        stay = outlook.site.tasks[part].stay
        late = outlook.known.commitments[stay].late
        yield Finding("not-reported", stay, part, outlook.forecast.finish[part], late, None)


def _too_soon(outlook: Outlook) -> Iterator[Finding]:
    """Yield work done or begun before something it waits for was seen finished."""
    state, site = outlook.known.state, outlook.site
    seen_done = state.finished.keys() | state.begun.keys()
    for task in sorted(seen_done):
        if site.tasks[task].kind is not TaskKind.WORK or site.tasks[task].stay not in site.stays:
            continue
        for number in outlook.network.numbered[outlook.network.rank[task]].numbers():
            source = outlook.network.links[number].source
            if (
                site.tasks[source].kind is TaskKind.WORK
                and site.tasks[source].stay != site.tasks[task].stay
                and source not in state.finished
                and source not in state.begun
            ):
                finish = outlook.forecast.finish[source]
                yield Finding(
                    "done-too-soon", site.tasks[task].id, task, outlook.seen.as_of, finish, source
                )


def _refused_slots(outlook: Outlook) -> Iterator[Finding]:
    """Yield looks whose confirmed slot lies in a keep-out, so that nobody may come."""
    for task, slot in outlook.known.slots.items():
        before, after = outlook.network.base_calendar[task], outlook.network.calendar[task]
        if before is None or after is None or before == after:
            continue
        wanted = outlook.calendars[before].earliest(slot, EARLIER, 1)[0]
        if outlook.calendars[after].earliest(slot, EARLIER, 1)[0] > wanted:
            start = outlook.forecast.start[task]
            yield Finding("slot-refused", outlook.site.tasks[task].id, task, start, slot, None)


def _overlaps(outlook: Outlook) -> Iterator[Finding]:
    """Yield trades that are forecast in more places at once than they have crews."""
    site, forecast, state = outlook.site, outlook.forecast, outlook.known.state
    by_trade: dict[str, list[int]] = {}
    for task in site.tasks:
        dated = is_dated(forecast.start[task.index]) and is_dated(forecast.finish[task.index])
        open_work = task.kind is TaskKind.WORK and task.index not in state.finished
        # What dries by the clock keeps no crew busy
        if open_work and dated and task.minutes and task.trade and task.calendar is not None:
            by_trade.setdefault(task.trade, []).append(task.index)
    for trade, indexes in by_trade.items():
        row = site.job.trades.get(trade)
        crews = row.crews if row else 1
        indexes.sort(key=lambda index: (forecast.start[index], site.tasks[index].id))
        working: list[int] = []
        for index in indexes:
            start = forecast.start[index]
            working = [other for other in working if forecast.finish[other] > start]
            stays = {site.tasks[other].stay for other in (*working, index)}
            if len(working) >= crews and len(stays) > 1 and _matters(outlook, index, working[0]):
                yield Finding("crew-overlap", trade, index, start, crews, working[0])
                break
            working.append(index)


def _hot_work(outlook: Outlook) -> Iterator[Finding]:
    """Yield the first part of each hot work that falls near foam with nothing over it."""
    told: set[str] = set()
    for hot in hot_work_near_bare_foam(outlook):
        stay = outlook.site.tasks[hot.task].stay
        if stay not in told:
            told.add(stay)
            yield Finding("hot-work-on-bare-foam", stay, hot.task, hot.at, hot.bare_until, None)


def _matters(outlook: Outlook, task: int, other: int) -> bool:
    """Say whether an overlap moves something: one of the two is booked, begun, or before a trip.

    Work after the foam that nobody has booked falls together only because it all waits for it.
    """
    known, site = outlook.known, outlook.site
    ahead = frozenset[int]().union(
        *(outlook.frame.upstream[trip] for trip in site.trips if trip not in known.arrived)
    )
    return any(
        site.tasks[each].stay in known.commitments or each in known.state.begun or each in ahead
        for each in (task, other)
    )
