"""Reads what was seen of approvals: results, requests, slots, and what voids them.

Invariant: a passed look is evidence that the work it covers was finished by then.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.facts.vocabulary import ApprovalResult
from readiness.job.durations import Duration
from readiness.job.places import surfaces_of
from readiness.schedule.knowing import PASSED, Shown
from readiness.schedule.notice import earliest_slot
from readiness.schedule.readings_of_days import finished_at, instant_of_moment

if TYPE_CHECKING:
    from readiness.diary.seen import Look
    from readiness.schedule.knowing import Reader
    from readiness.site.calendars import Calendar
    from readiness.site.site import ApprovalTasks


def read_approval(reader: Reader, approval: ApprovalTasks) -> None:
    """Read what was said of the looks of one approval."""
    looks = reader.seen.looks.get(approval.id, ())
    office = reader.site.calendars[reader.site.office_calendar[reader.site.office_of[approval.id]]]
    for surface, task in approval.looks.items():
        about = [
            look
            for look in looks
            if _speaks_for(reader, look, surface) and not _void(reader, look, approval, surface)
        ]
        both = reader.seen.contested.get((approval.id, surface))
        if both is not None:
            reader.contested[task] = both
        told = [look for look in about if look.result is not None]
        if not approval.before_foam and surface in _looked_at_before(reader, approval):
            told = told[1:]
        if told:
            reader.looks[task] = told[-1]
        if told and told[-1].result in PASSED and both is None:
            last = told[-1]
            passed = finished_at(last.on, office, reader.seen.as_of)
            shown = Shown(last.how, str(last.result), last.origin)
            reader.finish(task, passed, shown)
            reader.finish(approval.corrections[surface], passed)
            if told[-1].result is not ApprovalResult.NOT_REQUIRED:
                for covered in approval.covers[surface]:
                    reader.finish(covered, passed, shown)
            continue
        if told:
            _wake(reader, approval, surface)
        _notice(reader, approval, task, [look for look in about if look.result is None], office)


def _looked_at_before(reader: Reader, approval: ApprovalTasks) -> set[str]:
    """Return the surfaces whose first result of this kind is for what lies behind the foam."""
    return {
        surface
        for other in reader.site.approvals
        if other.id == approval.id and other.before_foam
        for surface in other.looks
    }


def _speaks_for(reader: Reader, look: Look, surface: str) -> bool:
    return surface in surfaces_of(look.surfaces, reader.site.job)


def _void(reader: Reader, look: Look, approval: ApprovalTasks, surface: str) -> bool:
    """Say whether a change, or damage to the foam that was looked at, came after a look."""
    return any(
        surface in voided.surfaces
        and (look.at is None or look.at <= voided.at)
        and (not voided.foam_only or reader.site.approval_kinds[approval.id].after_spray)
        for voided in reader.seen.voided
    )


def _wake(reader: Reader, approval: ApprovalTasks, surface: str) -> None:
    """Give the sleeping correction of a failed look its minutes."""
    correction = approval.corrections[surface]
    kind = reader.site.approval_kinds[approval.id]
    task = reader.site.tasks[correction]
    day = reader.calendar(correction).day_minutes
    reader.minutes[task.index] = Duration.parse(kind.correction_takes).minutes(day)


def _notice(
    reader: Reader, approval: ApprovalTasks, task: int, requests: list[Look], office: Calendar
) -> None:
    """Limit a look by its confirmed slot, else by its notice from the request or as_of."""
    zone = reader.site.zone
    slots = [look.slot for look in requests if look.slot is not None]
    if slots:
        reader.notices[task] = instant_of_moment(slots[-1], zone)
        return
    asked = [look.requested for look in requests if look.requested is not None]
    since = instant_of_moment(asked[-1], zone) if asked else reader.seen.as_of
    name = reader.site.office_of[approval.id]
    row = reader.site.job.offices.get(name)
    notice = (row.notice if row else None) or Duration.parse(
        reader.site.approval_kinds[approval.id].notice
    )
    reader.notices[task] = earliest_slot(since, notice, row.cut_off if row else "", office)
