"""What must be asked or told before an arrival, of whom, and until when.

Invariant: a question that better evidence has answered is not asked again.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from typing import TYPE_CHECKING

from readiness.facts.loader import load_questions
from readiness.facts.vocabulary import Effect, Gate
from readiness.gates.standings import StandingState
from readiness.job.dates import clock_of_text
from readiness.job.durations import Duration
from readiness.job.instants import NEVER, instant_of_local, is_dated, moment_of, shifted
from readiness.schedule.known import PASSED
from readiness.schedule.notice import earliest_slot
from readiness.site.calendars import zone_days
from readiness.site.task import TaskKind

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.facts.rows import QuestionKind
    from readiness.gates.verdict import Judge, Verdicts
    from readiness.schedule.outlook import Outlook
    from readiness.site.site import ApprovalTasks, Requirement


class CallKind(StrEnum):
    """Why somebody is called."""

    QUESTION = "question"
    NOT_REPORTED = "not reported"
    REQUEST = "ask for a look"
    WORK = "will it be done"
    CONFIRM = "confirm"


DECIDING = {effect: rank for rank, effect in enumerate(Effect)}
"""Effects by weight: what stops the trip comes first."""

WORK_ASKED_AHEAD_DAYS = 7
CONFIRMED_AHEAD_HOURS = 48
_LATEST_SEARCH_DAYS = 60


@dataclass(frozen=True, slots=True)
class DueCall:
    """One thing to ask somebody."""

    kind: CallKind
    code: str
    whom: str
    """Id of a trade, an office or a role."""
    about: str
    """The question, or what is asked for."""
    places: tuple[str, ...]
    surfaces: tuple[str, ...]
    until: int
    """Cut-off; `NEVER` if there is none."""
    overdue: bool
    decides: Effect
    trip: str
    task: int | None


def calls_due(outlook: Outlook, judge: Judge, trip: str) -> tuple[DueCall, ...]:
    """Return what must be asked now for one trip, by cut-off."""
    found = [
        *_questions(outlook, judge, trip),
        *_not_reported(outlook, trip),
        *_requests(outlook, trip),
        *_works(outlook, trip),
        *_confirmation(outlook, trip),
    ]
    return tuple(
        sorted(found, key=lambda call: (call.until, DECIDING[call.decides], call.code, call.places))
    )


def _arrival(outlook: Outlook, trip: str) -> int:
    """Return the arrival that everything is asked for: booked, else as forecast."""
    booked = outlook.known.arrivals.get(trip)
    if booked is not None:
        return booked
    tasks = outlook.site.trips[trip]
    return outlook.forecast.start[tasks.set_up]


def _questions(outlook: Outlook, judge: Judge, trip: str) -> Iterable[DueCall]:
    """Yield the questions whose time has come and that nothing has answered."""
    arrival = _arrival(outlook, trip)
    if not is_dated(arrival):
        return
    verdicts = judge.verdicts(Gate.ROLL, arrival, trip)
    for name, kind in load_questions().items():
        if outlook.seen.as_of < shifted(arrival, -_longest(kind)):
            continue
        open_ones = [
            requirement
            for requirement in _asked(outlook, kind, trip)
            if not _answered(verdicts, requirement)
        ]
        if open_ones:
            yield _question(outlook, name, kind, open_ones, arrival, trip)


def _longest(kind: QuestionKind) -> int:
    return max(Duration.parse(text).minutes(1440) for text in kind.ask)


def _asked(outlook: Outlook, kind: QuestionKind, trip: str) -> list[Requirement]:
    """Return the requirements of a trip that a question speaks for."""
    codes = {*kind.requirements, *kind.approvals, *kind.works}
    things = {
        name
        for name, thing in outlook.site.things.items()
        if outlook.site.job.obstructions[name].is_ in kind.obstructions and thing.blocks
    }
    surfaces = set(outlook.site.trips[trip].surfaces)
    return [
        requirement
        for requirement in outlook.site.requirements
        if (requirement.code in codes or requirement.code in things)
        and not surfaces.isdisjoint(requirement.surfaces)
    ]


def _answered(verdicts: Verdicts, requirement: Requirement) -> bool:
    """Say whether a requirement is met, or waived, so that nobody need be asked."""
    standing = verdicts.standings[requirement.index]
    return standing.state in (
        StandingState.MET,
        StandingState.WAIVED,
        StandingState.NOT_APPLICABLE,
    )


def _question(  # noqa: PLR0913, PLR0917  a call is nothing but its fields
    outlook: Outlook,
    name: str,
    kind: QuestionKind,
    open_ones: list[Requirement],
    arrival: int,
    trip: str,
) -> DueCall:
    until = min(_wanted(outlook, requirement, arrival) for requirement in open_ones)
    return DueCall(
        kind=CallKind.QUESTION,
        code=name,
        whom=kind.whom,
        about=kind.title,
        places=tuple(dict.fromkeys(requirement.place for requirement in open_ones)),
        surfaces=tuple(dict.fromkeys(s for r in open_ones for s in r.surfaces)),
        until=until,
        overdue=until < outlook.seen.as_of,
        decides=kind.decides,
        trip=trip,
        task=None,
    )


def _wanted(outlook: Outlook, requirement: Requirement, arrival: int) -> int:
    """Return when the answer is wanted at the latest."""
    span = requirement.demands.wanted_before
    if span is None:
        return arrival
    calendar = outlook.site.calendars[outlook.site.job_calendar]
    minutes = span.minutes(calendar.day_minutes)
    if span.clock:
        return shifted(arrival, -minutes)
    timer = outlook.frame.calendars[outlook.site.job_calendar]
    return timer.latest(NEVER, arrival, minutes)[0] if minutes else arrival


def _not_reported(outlook: Outlook, trip: str) -> Iterable[DueCall]:
    """Yield the work past its booked end of which nobody has said a word."""
    for part in outlook.known.unreported:
        task = outlook.site.tasks[part]
        if part not in outlook.frame.upstream[trip]:
            continue
        yield DueCall(
            kind=CallKind.NOT_REPORTED,
            code=task.stay,
            whom=task.trade or "contractor",
            about=task.title,
            places=(task.place,),
            surfaces=tuple(sorted(task.surfaces)),
            until=outlook.seen.as_of,
            overdue=True,
            decides=Effect.STOPS_SURFACE,
            trip=trip,
            task=part,
        )


def _requests(outlook: Outlook, trip: str) -> Iterable[DueCall]:
    """Yield the looks that must be asked for, with the last moment that still does."""
    arrival = _arrival(outlook, trip)
    if not is_dated(arrival):
        return
    for approval in outlook.site.approvals:
        if approval.trip != trip or not approval.before_foam:
            continue
        waiting = [
            surface
            for surface, look in approval.looks.items()
            if look not in outlook.known.state.finished
            and not _asked_for(outlook, approval, surface)
        ]
        if not waiting:
            continue
        until = _last_request(outlook, approval, arrival)
        kind = outlook.site.approval_kinds[approval.id]
        yield DueCall(
            kind=CallKind.REQUEST,
            code=approval.id,
            whom=outlook.site.office_of[approval.id],
            about=kind.title,
            places=(),
            surfaces=tuple(waiting),
            until=until,
            overdue=until < outlook.seen.as_of,
            decides=kind.effect,
            trip=trip,
            task=approval.looks[waiting[0]],
        )


def _asked_for(outlook: Outlook, approval: ApprovalTasks, surface: str) -> bool:
    """Say whether the office has been asked since the last result for a surface."""
    names = outlook.site.job.place_names
    about = [
        look
        for look in outlook.seen.looks.get(approval.id, ())
        if surface in names.surfaces(look.surfaces)
    ]
    if not about:
        return False
    last = about[-1]
    return last.requested is not None or last.slot is not None or last.result in PASSED


def _last_request(outlook: Outlook, approval: ApprovalTasks, arrival: int) -> int:
    """Return the last moment to ask the office so that it can have looked before the arrival."""
    site = outlook.site
    name = site.office_of[approval.id]
    row = site.job.offices.get(name)
    office = site.calendars[site.office_calendar[name]]
    cut_off = row.cut_off if row else ""
    kind = site.approval_kinds[approval.id]
    notice = (row.notice if row else None) or Duration.parse(kind.notice)
    look = next(iter(approval.looks.values()))
    slots = outlook.frame.calendars[site.tasks[look].calendar or 0]
    zone = zone_days(office.zone).zone
    found = -NEVER
    day = moment_of(outlook.seen.as_of, zone).date() - timedelta(days=_LATEST_SEARCH_DAYS)
    for step in range(2 * _LATEST_SEARCH_DAYS):
        spans = office.spans_on(day + timedelta(days=step))
        if not spans:
            continue
        asked = spans[-1][1]
        if cut_off:
            clock = datetime.combine(day + timedelta(days=step), clock_of_text(cut_off))
            asked = min(asked, instant_of_local(clock, zone))
        earliest = earliest_slot(asked, notice, cut_off, office)
        if slots.earliest(earliest, earliest, 1)[1] > arrival:
            break
        found = asked
    return found


def _works(outlook: Outlook, trip: str) -> Iterable[DueCall]:
    """Yield work that must still be done before the arrival, once it is near."""
    arrival = _arrival(outlook, trip)
    ahead = WORK_ASKED_AHEAD_DAYS * 1440
    if not is_dated(arrival) or outlook.seen.as_of < arrival - ahead:
        return
    site, state = outlook.site, outlook.known.state
    unreported = {site.tasks[part].stay for part in outlook.known.unreported}
    by_stay: dict[str, list[int]] = {}
    for task in sorted(outlook.frame.upstream[trip]):
        row = site.tasks[task]
        if row.kind is TaskKind.WORK and row.stay in site.stays and task not in state.finished:
            by_stay.setdefault(row.stay, []).append(task)
    for stay, tasks in by_stay.items():
        if stay in unreported:
            continue
        last = max(tasks, key=lambda task: outlook.forecast.finish[task])
        yield DueCall(
            kind=CallKind.WORK,
            code=stay,
            whom=site.stays[stay].trade,
            about=site.stays[stay].title,
            places=tuple(site.tasks[task].place for task in tasks),
            surfaces=tuple(
                dict.fromkeys(s for task in tasks for s in sorted(site.tasks[task].surfaces))
            ),
            until=min(outlook.forecast.finish[last], arrival),
            overdue=False,
            decides=site.stays[stay].demands.effect,
            trip=trip,
            task=last,
        )


def _confirmation(outlook: Outlook, trip: str) -> Iterable[DueCall]:
    """Yield the dispatcher's word, wanted two days ahead of a booked arrival."""
    arrival = outlook.known.arrivals.get(trip)
    if arrival is None or trip in outlook.known.arrived:
        return
    until = arrival - CONFIRMED_AHEAD_HOURS * 60
    told = any(word.trip == trip for word in outlook.seen.confirmations)
    if told or outlook.seen.as_of < until - 1440:
        return
    yield DueCall(
        kind=CallKind.CONFIRM,
        code="confirmation",
        whom="dispatcher",
        about="Will the rig come as agreed?",
        places=(),
        surfaces=outlook.site.trips[trip].surfaces,
        until=until,
        overdue=until < outlook.seen.as_of,
        decides=Effect.STOPS_TRIP,
        trip=trip,
        task=None,
    )
