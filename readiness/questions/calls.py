"""Whom to call now, and about what: one line per person over one or many jobs.

Invariant: the people come in the order of their first cut-off, and nobody is asked more than seven
things at once, the deciding ones first.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from readiness.facts.vocabulary import Gate
from readiness.gates.due_calls import DECIDING, CallKind, DueCall, calls_due
from readiness.job.instants import EARLIER, is_dated
from readiness.telling.case import Case, Instants
from readiness.telling.teller import Who

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

MOST_QUESTIONS = 7
MOST_PLACES = 4


@dataclass(frozen=True, slots=True)
class CallLine:
    """One thing to ask."""

    job: str
    trip: str
    kind: str
    code: str
    says: str
    """The question as it is asked."""
    places: tuple[str, ...]
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
    overdue: bool
    lines: tuple[CallLine, ...]
    more: int
    """Further questions that are left for the next call."""


@dataclass(frozen=True, slots=True)
class CallsAnswer:
    """The answer to "whom do I call?"."""

    instants: Instants
    jobs: tuple[str, ...]
    people: tuple[PersonCalls, ...]
    overdue: int


def calls(cases: Sequence[Case]) -> CallsAnswer:
    """Return whom to call now over all the jobs, by cut-off."""
    found: dict[tuple[str, str], list[tuple[DueCall, Case]]] = {}
    for case in cases:
        for trip in case.site.trips:
            if trip in case.outlook.known.arrived:
                continue
            for call in calls_due(case.outlook, case.judge, trip):
                who = case.teller.who(call.whom)
                key = (who.phone, who.name) if who.phone else (case.site.job.key, who.name)
                found.setdefault(key, []).append((call, case))
    people = [_person(pairs) for pairs in found.values()]
    people.sort(key=lambda pair: (pair[0], pair[1].who.name))
    told = tuple(person for _, person in people)
    first = cases[0]
    moment = first.teller.moment(first.outlook.seen.as_of)
    assert moment is not None  # noqa: S101  as_of is a real instant
    return CallsAnswer(
        instants=Instants(moment, moment, first.site.zone, Gate.ROLL.value),
        jobs=tuple(case.site.job.name for case in cases),
        people=told,
        overdue=sum(line.overdue for person in told for line in person.lines),
    )


def _person(pairs: list[tuple[DueCall, Case]]) -> tuple[int, PersonCalls]:
    """Return one person's calls with their first cut-off: the deciding ones first."""
    ordered = sorted(pairs, key=lambda pair: (DECIDING[pair[0].decides], pair[0].until))
    shown = ordered[:MOST_QUESTIONS]
    first, case = min(pairs, key=lambda pair: pair[0].until)
    until = first.until
    return until, PersonCalls(
        who=case.teller.who(first.whom),
        until=case.teller.moment(until),
        overdue=any(call.overdue for call, _ in pairs),
        lines=tuple(_line(call, case) for call, case in shown),
        more=len(ordered) - len(shown),
    )


def _line(call: DueCall, case: Case) -> CallLine:
    teller = case.teller
    return CallLine(
        job=case.site.job.name,
        trip=case.site.trips[call.trip].name,
        kind=call.kind.value,
        code=call.code,
        says=_says(call, case),
        places=tuple(_places(call, case)),
        until=teller.moment(call.until),
        until_says=_until(call, case),
        overdue=call.overdue,
        decides=call.decides.value,
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
    if call.kind is CallKind.NOT_REPORTED:
        booked = case.outlook.known.commitments[call.code].late
        return f"{call.about}: booked {case.teller.told(booked)}, done as booked?"
    if call.kind is CallKind.REQUEST:
        return f"Ask for the look: {call.about}"
    if call.kind is CallKind.WORK and call.task is not None:
        finish = case.outlook.forecast.finish[call.task]
        return f"{call.about}: done by {case.teller.told(finish)}?"
    return call.about


def _until(call: DueCall, case: Case) -> str:
    if call.until == EARLIER:
        return "too late to be seen before this arrival"
    if not is_dated(call.until):
        return "any time"
    today = case.teller.moment(case.outlook.seen.as_of)
    moment = case.teller.moment(call.until)
    if moment is not None and today is not None and moment.date() == today.date():
        told = f"{moment:%H:%M} today"
    else:
        told = case.teller.told(call.until)
    return f"since {told}" if call.overdue else f"before {told}"
