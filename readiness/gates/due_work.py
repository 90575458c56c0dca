"""Work that must still be done before an arrival, and what stands in the gun's way.

Invariant: work past its booked end without a word is one call, never two; nothing is asked of what
is not yet there.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.facts.vocabulary import Effect, Gate
from readiness.gates.due import (
    CallKind,
    DueCall,
    Heard,
    asked_at,
    broken_promise,
    heard,
    is_near,
    said_of,
)
from readiness.gates.standings import StandingState
from readiness.job.instants import NEVER
from readiness.site.task import TaskKind

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.gates.verdict import Judge
    from readiness.schedule.outlook import Outlook
    from readiness.site.site import Thing

LOOSE_ASKED_DAYS = 2
"""How many days before the arrival a loose thing is asked about: it goes within the morning."""


def work_due(outlook: Outlook, trip: str, arrival: int) -> Iterable[DueCall]:
    """Yield the work past its booked end of which nobody has said a word, and what is left."""
    yield from _not_reported(outlook, trip)
    if is_near(outlook, arrival):
        yield from _works(outlook, trip, arrival)


def _not_reported(outlook: Outlook, trip: str) -> Iterable[DueCall]:
    as_of = outlook.seen.as_of
    for part in outlook.known.unreported:
        task = outlook.site.tasks[part]
        if part not in outlook.frame.upstream[trip]:
            continue
        surfaces = tuple(sorted(task.surfaces))
        said = said_of(outlook, task.stay, surfaces)
        waits = heard(said, (), as_of) is Heard.WAIT
        yield DueCall(
            kind=CallKind.NOT_REPORTED,
            code=task.stay,
            whom=task.trade or "contractor",
            about=task.title,
            places=(task.place,),
            surfaces=surfaces,
            until=as_of,
            overdue=not waits,
            decides=Effect.STOPS_SURFACE,
            trip=trip,
            task=part,
            said=said,
            waits_until=said.promised_by if said is not None and waits else None,
        )


def _works(outlook: Outlook, trip: str, arrival: int) -> Iterable[DueCall]:
    """Yield work that must still be done before the arrival."""
    site, state = outlook.site, outlook.known.state
    unreported = {site.tasks[part].stay for part in outlook.known.unreported}
    by_stay: dict[str, list[int]] = {}
    for task in sorted(outlook.frame.upstream[trip]):
        row = site.tasks[task]
        if row.kind is TaskKind.WORK and row.stay in site.stays and task not in state.finished:
            by_stay.setdefault(row.stay, []).append(task)
    for stay, tasks in by_stay.items():
        if stay not in unreported:
            yield from _work(outlook, trip, stay, tasks, arrival)


def _work(
    outlook: Outlook, trip: str, stay: str, tasks: list[int], arrival: int
) -> Iterable[DueCall]:
    site, as_of = outlook.site, outlook.seen.as_of
    surfaces = tuple(dict.fromkeys(s for task in tasks for s in sorted(site.tasks[task].surfaces)))
    said = said_of(outlook, stay, surfaces)
    how = heard(said, asked_at(arrival), as_of)
    if how is Heard.LEAVE:
        return
    last = max(tasks, key=lambda task: outlook.forecast.finish[task])
    broken = broken_promise(said, as_of)
    until = min(outlook.forecast.finish[last], arrival, NEVER if broken is None else broken)
    yield DueCall(
        kind=CallKind.WORK,
        code=stay,
        whom=site.stays[stay].trade,
        about=site.stays[stay].title,
        places=tuple(site.tasks[task].place for task in tasks),
        surfaces=surfaces,
        until=until,
        overdue=how is Heard.ASK and until < as_of,
        decides=site.stays[stay].demands.effect,
        trip=trip,
        task=last,
        said=said,
        waits_until=said.promised_by if said is not None and how is Heard.WAIT else None,
    )


def things_due(outlook: Outlook, judge: Judge, trip: str, arrival: int) -> Iterable[DueCall]:
    """Yield what stands in the way of the gun: to be dated, or to be gone by the arrival."""
    surfaces = set(outlook.site.trips[trip].surfaces)
    for requirement in outlook.site.requirements:
        thing = outlook.site.things.get(requirement.code)
        if thing is None or surfaces.isdisjoint(requirement.surfaces):
            continue
        if not _is_asked(outlook, thing, arrival):
            continue
        standing = judge.ledger.standing(requirement, Gate.ROLL, arrival)
        if standing.state in (
            StandingState.OPEN,
            StandingState.EXPECTED,
            StandingState.CONTESTED,
        ):
            yield _thing(outlook, thing, arrival, trip)


def _is_asked(outlook: Outlook, thing: Thing, arrival: int) -> bool:
    """Say whether it is time: at once for what nobody has dated, else when the trip is near."""
    if thing.pull is not None and thing.pull in outlook.known.state.never:
        return True
    return is_near(outlook, arrival, LOOSE_ASKED_DAYS)


def _thing(outlook: Outlook, thing: Thing, arrival: int, trip: str) -> DueCall:
    site = outlook.site
    asked = [surface for surface in thing.blocks if site.trip_of.get(surface) == trip]
    until = arrival
    if thing.pull is not None and thing.pull not in outlook.known.state.never:
        until = min(arrival, outlook.forecast.finish[thing.pull])
    return DueCall(
        kind=CallKind.CLEAR,
        code=thing.id,
        whom=thing.kind.pull_trade,
        about=thing.title,
        places=(),
        surfaces=tuple(asked),
        until=until,
        overdue=until < outlook.seen.as_of,
        decides=Effect.STOPS_SURFACE,
        trip=trip,
        task=thing.pull,
    )
