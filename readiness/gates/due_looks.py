"""Approvals to ask an office for, and those whose result is still to be heard.

Invariant: nobody is asked for a result before its slot is over, and no office is asked twice.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from readiness.facts.loader import load_questions
from readiness.facts.vocabulary import Role, Rung
from readiness.gates.due import ASKED_DAYS, CallKind, DueCall, is_near
from readiness.gates.evidence import Evidence
from readiness.job.dates import clock_of_text
from readiness.job.instants import NEVER, instant_of_local, moment_of, shifted
from readiness.schedule.known import RANK
from readiness.schedule.notice import asking_of, slot_of
from readiness.schedule.readings_of_days import instant_of_moment
from readiness.site.calendars import zone_days

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.diary.seen import Look
    from readiness.schedule.calendar import Calendar
    from readiness.schedule.outlook import Outlook
    from readiness.site.site import ApprovalTasks

RESULT_ASKED_DAYS = 2
"""How many days before the arrival a result is asked for that no slot tells the time of."""
_LATEST_SEARCH_DAYS = 60


def looks_due(outlook: Outlook, trip: str, arrival: int) -> Iterable[DueCall]:
    """Yield the looks to ask for, and the results to hear, before one trip."""
    for approval in outlook.site.approvals:
        if approval.trip != trip or not approval.before_foam:
            continue
        missing = [
            surface
            for surface, look in approval.looks.items()
            if look not in outlook.known.state.finished or look in outlook.known.contested
        ]
        unasked = [each for each in missing if not _asked_for(outlook, approval, each)]
        if unasked:
            yield from _request(outlook, approval, unasked, arrival)
        asked = [each for each in missing if each not in unasked]
        yield from _results(outlook, approval, asked, arrival)
        yield from _proofs(outlook, approval, arrival)


def looks_after(
    outlook: Outlook, approval: str, surfaces: tuple[str, ...], board: int
) -> Iterable[DueCall]:
    """Yield the call about one look at the foam: to ask for it, or to hear its result.

    Args:
        outlook: The job at one moment.
        approval: Id of the approval.
        surfaces: The surfaces whose look holds the board up.
        board: When board is to start; `NEVER` without an agreed day.
    """
    for one in outlook.site.approvals:
        mine = (
            [surface for surface in surfaces if surface in one.looks] if one.id == approval else []
        )
        unasked = [each for each in mine if not _asked_for(outlook, one, each)]
        if unasked:
            office = outlook.site.office_of[approval]
            yield _call(outlook, one, unasked, kind=CallKind.REQUEST, whom=office, until=board)
        asked = [each for each in mine if each not in unasked]
        if any(_is_due(outlook, one, each, board) for each in asked):
            whom = _asked_about(approval)
            yield _call(outlook, one, asked, kind=CallKind.LOOK, whom=whom, until=board)


def _request(
    outlook: Outlook, approval: ApprovalTasks, surfaces: list[str], arrival: int
) -> Iterable[DueCall]:
    """Yield the call that asks an office to come, once its last moment is a week off or less."""
    until = _last_request(outlook, approval, _wanted_by(outlook, approval, arrival))
    if outlook.seen.as_of >= shifted(until, -ASKED_DAYS[0] * 1440):
        yield _call(
            outlook,
            approval,
            surfaces,
            kind=CallKind.REQUEST,
            whom=outlook.site.office_of[approval.id],
            until=until,
        )


def _results(
    outlook: Outlook, approval: ApprovalTasks, surfaces: list[str], arrival: int
) -> Iterable[DueCall]:
    """Yield the call for a result that is due: its slot is over, or the arrival is near."""
    due = [surface for surface in surfaces if _is_due(outlook, approval, surface, arrival)]
    if due:
        contested = outlook.known.contested.get(approval.looks[due[0]])
        said = None
        if contested is not None:
            origins = contested.origins
            said = Evidence(
                None, outlook.seen.as_of, Rung.SAID, "", contested.told, origins[-1], origins[:-1]
            )
        yield _call(
            outlook,
            approval,
            due,
            kind=CallKind.LOOK,
            whom=_asked_about(approval.id),
            until=arrival,
            said=said,
        )


def _is_due(outlook: Outlook, approval: ApprovalTasks, surface: str, arrival: int) -> bool:
    """Say whether a result can be asked for: what is contested always can."""
    look = approval.looks[surface]
    if look in outlook.known.contested:
        return True
    last = _last_look(outlook, approval, surface)
    if last is None or last.slot is None:
        return is_near(outlook, arrival, RESULT_ASKED_DAYS)
    calendar = outlook.site.calendars[outlook.site.tasks[look].calendar or 0]
    _, end = slot_of(instant_of_moment(last.slot, outlook.site.zone), calendar)
    return end <= outlook.seen.as_of


def _proofs(outlook: Outlook, approval: ApprovalTasks, arrival: int) -> Iterable[DueCall]:
    """Yield the call for what shows a result that somebody has only said."""
    known = outlook.known
    least = outlook.site.approval_kinds[approval.id].least.roll
    weak = [
        surface
        for surface, look in approval.looks.items()
        if look in known.state.finished
        and look not in known.contested
        and look in known.shown
        and RANK[known.shown[look].how] < RANK[least]
    ]
    if weak and is_near(outlook, arrival, RESULT_ASKED_DAYS):
        shown = known.shown[approval.looks[weak[0]]]
        at = known.state.finished[approval.looks[weak[0]]].finish
        said = Evidence(True, at, shown.how, "", shown.told, shown.origin)  # noqa: FBT003  a yes
        yield _call(
            outlook,
            approval,
            weak,
            kind=CallKind.LOOK,
            whom=_asked_about(approval.id),
            until=arrival,
            said=said,
            wants=least,
        )


def _call(  # noqa: PLR0913  a call is nothing but its fields
    outlook: Outlook,
    approval: ApprovalTasks,
    surfaces: list[str],
    *,
    kind: CallKind,
    whom: str,
    until: int,
    said: Evidence | None = None,
    wants: Rung | None = None,
) -> DueCall:
    facts = outlook.site.approval_kinds[approval.id]
    return DueCall(
        kind=kind,
        code=approval.id,
        whom=whom,
        about=facts.title,
        places=(),
        surfaces=tuple(surfaces),
        until=until,
        overdue=until < outlook.seen.as_of,
        decides=facts.effect,
        trip=approval.trip,
        task=approval.looks[surfaces[0]],
        said=said,
        wants=wants,
    )


def _asked_about(approval: str) -> str:
    """Return who knows the result of an approval, by the question that asks for it."""
    for kind in load_questions().values():
        if approval in kind.approvals:
            return kind.whom
    return Role.CONTRACTOR.value


def _last_look(outlook: Outlook, approval: ApprovalTasks, surface: str) -> Look | None:
    """Return what was said last of an approval on a surface."""
    names = outlook.site.job.place_names
    about = [
        look
        for look in outlook.seen.looks.get(approval.id, ())
        if surface in names.surfaces(look.surfaces)
    ]
    return about[-1] if about else None


def _asked_for(outlook: Outlook, approval: ApprovalTasks, surface: str) -> bool:
    """Say whether the office has been asked since the last result, or the last change, there."""
    if approval.looks[surface] in outlook.known.contested:
        return True
    last = _last_look(outlook, approval, surface)
    if last is None or last.result is not None:
        return False
    return last.requested is not None or last.slot is not None


def _wanted_by(outlook: Outlook, approval: ApprovalTasks, arrival: int) -> int:
    """Return when a look must be over: by the arrival, and before the looks that come after it."""
    wanted = arrival
    for other in outlook.site.approvals:
        follows = approval.id in outlook.site.approval_kinds[other.id].after
        if other.trip == approval.trip and other.before_foam and follows:
            slots = _slots(outlook, other)
            wanted = min(wanted, slots.latest(NEVER, _wanted_by(outlook, other, arrival), 1)[0])
    return wanted


def _slots(outlook: Outlook, approval: ApprovalTasks) -> Calendar:
    look = next(iter(approval.looks.values()))
    return outlook.frame.calendars[outlook.site.tasks[look].calendar or 0]


def _last_request(outlook: Outlook, approval: ApprovalTasks, wanted: int) -> int:
    """Return the last moment to ask the office so that it can have looked in time."""
    asking = asking_of(outlook.site, approval.id)
    office, cut_off = asking.office, asking.cut_off
    slots = _slots(outlook, approval)
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
        earliest = asking.earliest(asked)
        if slots.earliest(earliest, earliest, 1)[1] > wanted:
            break
        found = asked
    return found
