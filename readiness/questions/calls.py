"""Whom to call now, and about what: one line per person over one or many jobs.

Invariant: the people come in the order of their first cut-off, and nobody is asked more than seven
things at once, the deciding ones first; what is promised is waited for and stands apart.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from readiness.facts.vocabulary import Gate, Rung
from readiness.gates.due import DECIDING, CallKind, DueCall
from readiness.gates.due_calls import calls_due
from readiness.job.instants import EARLIER, NEVER
from readiness.telling.board_calls import board_calls
from readiness.telling.case import Case, Instants
from readiness.telling.teller import Who

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from readiness.gates.evidence import Evidence

MOST_QUESTIONS = 7
MOST_PLACES = 4

RAISED_BY = {
    Rung.SHOWN: "a picture, mail or number shows it",
    Rung.SEEN: "somebody has to see it",
    Rung.RECORDED: "the office's own record settles it",
}
"""What turns a bare yes into one that counts."""


@dataclass(frozen=True, slots=True)
class CallLine:
    """One thing to ask."""

    job: str
    trip: str
    trip_id: str
    """As the job file calls it."""
    kind: str
    code: str
    says: str
    """The question as it is asked."""
    so_far: str
    """What was said of it and does not settle it; empty if nothing was."""
    places: tuple[str, ...]
    where: tuple[str, ...]
    """Ids of all these places, as `note` takes them."""
    until: datetime | None
    """Cut-off; None if it has passed long ago or there is none."""
    until_says: str
    overdue: bool
    decides: str


@dataclass(frozen=True, slots=True)
class PersonCalls:
    """Everything to ask one person."""

    who: Who
    until: datetime | None
    """Their first cut-off."""
    until_says: str
    overdue: bool
    lines: tuple[CallLine, ...]
    more: int
    """Further questions that are left for the next call."""


@dataclass(frozen=True, slots=True)
class WaitedFor:
    """Something that somebody has promised, so that nobody asks again before its time."""

    job: str
    trip: str
    code: str
    says: str
    places: tuple[str, ...]
    who: Who
    by: datetime | None
    by_says: str


@dataclass(frozen=True, slots=True)
class CallsAnswer:
    """The answer to "whom do I call?"."""

    instants: Instants
    one_moment: bool
    """All jobs are asked about at the same moment; else each at the one its file fixes."""
    jobs: tuple[str, ...]
    people: tuple[PersonCalls, ...]
    waiting: tuple[WaitedFor, ...]
    overdue: int
    """How many things are overdue, those of a later call included."""


def calls(cases: Sequence[Case]) -> CallsAnswer:
    """Return whom to call now over all the jobs, by cut-off."""
    found: dict[tuple[str, str], list[tuple[DueCall, Case]]] = {}
    waiting: list[tuple[DueCall, Case]] = []
    for call, case in _due(cases):
        if call.waits_until is not None:
            waiting.append((call, case))
            continue
        who = case.teller.who(call.whom)
        key = (who.phone, who.name) if who.phone else (case.site.job.key, who.name)
        found.setdefault(key, []).append((call, case))
    people = [_person(pairs) for pairs in found.values()]
    people.sort(key=lambda pair: (pair[0], pair[1].who.name))
    waiting.sort(key=lambda pair: (pair[0].waits_until or 0, pair[0].code))
    first = cases[0]
    moment = first.teller.moment(first.outlook.seen.as_of)
    assert moment is not None  # noqa: S101  as_of is a real instant
    return CallsAnswer(
        instants=Instants(moment, moment, first.site.zone, Gate.ROLL.value),
        one_moment=len({case.outlook.seen.as_of for case in cases}) == 1,
        jobs=tuple(case.site.job.name for case in cases),
        people=tuple(person for _, person in people),
        waiting=tuple(_waited_for(call, case) for call, case in waiting),
        overdue=sum(call.overdue for pairs in found.values() for call, _ in pairs),
    )


def _due(cases: Sequence[Case]) -> Iterable[tuple[DueCall, Case]]:
    for case in cases:
        for trip in case.site.trips:
            if trip not in case.outlook.known.arrived:
                due: Iterable[DueCall] = calls_due(case.outlook, case.judge, trip)
            else:
                due = board_calls(case, trip)
            for call in due:
                yield call, case


def _person(pairs: list[tuple[DueCall, Case]]) -> tuple[int, PersonCalls]:
    """Return one person's calls with their first cut-off: the deciding ones first."""
    ordered = sorted(pairs, key=lambda pair: (DECIDING[pair[0].decides], pair[0].until))
    shown = ordered[:MOST_QUESTIONS]
    first, case = min(pairs, key=lambda pair: pair[0].until)
    until = first.until
    return until, PersonCalls(
        who=case.teller.who(first.whom),
        until=case.teller.moment(until),
        until_says=_until(first, case),
        overdue=any(call.overdue for call, _ in pairs),
        lines=tuple(_line(call, case) for call, case in shown),
        more=len(ordered) - len(shown),
    )


def _line(call: DueCall, case: Case) -> CallLine:
    teller = case.teller
    return CallLine(
        job=case.site.job.name,
        trip=case.site.trips[call.trip].name,
        trip_id=call.trip,
        kind=call.kind.value,
        code=call.code,
        says=_says(call, case),
        so_far=_so_far(call, case),
        places=tuple(_places(call, case)),
        where=call.places or call.surfaces,
        until=teller.moment(call.until),
        until_says=_until(call, case),
        overdue=call.overdue,
        decides=call.decides.value,
    )


def _waited_for(call: DueCall, case: Case) -> WaitedFor:
    assert call.waits_until is not None  # noqa: S101  told by the caller
    return WaitedFor(
        job=case.site.job.name,
        trip=case.site.trips[call.trip].name,
        code=call.code,
        says=_says(call, case),
        places=tuple(_places(call, case)),
        who=case.teller.who(call.whom),
        by=case.teller.moment(call.waits_until),
        by_says=case.teller.told(call.waits_until),
    )


def _places(call: DueCall, case: Case) -> Iterable[str]:
    names = call.places or call.surfaces
    whole = len(call.surfaces) == len(case.site.trips[call.trip].surfaces)
    if whole and (not call.places or len(call.places) > MOST_PLACES):
        return ("everywhere",)
    told = list(dict.fromkeys(case.teller.place(name) for name in names))
    return (
        told
        if len(told) <= MOST_PLACES
        else [*told[:MOST_PLACES], f"{len(told) - MOST_PLACES} more"]
    )


def _says(call: DueCall, case: Case) -> str:
    teller, known = case.teller, case.outlook.known
    if call.kind is CallKind.NOT_REPORTED:
        booked = known.commitments[call.code].late
        return f"{call.about}: booked {teller.told(booked)}, done as booked?"
    if call.kind is CallKind.REQUEST:
        return f"Ask for the look: {call.about}"
    if call.kind is CallKind.LOOK:
        return f"{call.about}: has it passed, with date and number?"
    if call.kind is CallKind.WORK and call.task is not None:
        finish = case.outlook.forecast.finish[call.task]
        return f"{call.about}: done by {teller.told(finish)}?"
    if call.kind is CallKind.CLEAR:
        return _cleared(call, case)
    return call.about


def _cleared(call: DueCall, case: Case) -> str:
    """Return how somebody is asked to take a thing out of the way."""
    thing = case.site.things[call.code]
    if thing.pull is None:
        return f"In the way: {call.about}: gone by the arrival?"
    if thing.pull in case.outlook.known.state.never:
        return f"In the way: {call.about}: when is it pulled?"
    finish = case.outlook.forecast.finish[thing.pull]
    return f"In the way: {call.about}: pulled by {case.teller.told(finish)}?"


def _so_far(call: DueCall, case: Case) -> str:
    """Return what was said of it and does not settle it."""
    said = call.said
    if said is None:
        return ""
    if said.contested:
        return f"two say different things: {said.told}"
    if said.value is True and call.wants is not None:
        return f"{_by(said, case)}: {said.told}; {RAISED_BY[call.wants]}"
    if said.promised_by is not None:
        return f"{_by(said, case)}: {said.told}, not heard since"
    if said.value is True:
        arrived = call.trip in case.outlook.known.arrived
        late = "too long ago" if arrived else "too long before the arrival"
        return f"{_by(said, case)}: {said.told}, {late}"
    return f"{_by(said, case)}: {said.told}"


def _by(said: Evidence, case: Case) -> str:
    return f"{said.by or 'so far'}, {case.teller.told(said.at)}"


def _until(call: DueCall, case: Case) -> str:
    if call.until == EARLIER:
        return "too late to be seen before this arrival"
    if call.until == NEVER and call.trip in case.outlook.known.arrived:
        return "no start of board is agreed"
    if call.until == NEVER:
        return "no day can be named before"
    today = case.teller.moment(case.outlook.seen.as_of)
    moment = case.teller.moment(call.until)
    if moment is not None and today is not None and moment.date() == today.date():
        told = f"{moment:%H:%M} today"
    else:
        told = case.teller.told(call.until)
    return f"since {told}" if call.overdue else f"before {told}"
