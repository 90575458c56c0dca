"""Reads what was seen of approvals: results, requests, slots, and what voids them.

Invariant: a passed look is evidence that the work it covers was finished by then in the surfaces
that passed, and nowhere else.
"""

from __future__ import annotations

from datetime import date, datetime
from typing import TYPE_CHECKING

from readiness.facts.vocabulary import ApprovalResult
from readiness.job.instants import moment_of
from readiness.job.places import surfaces_of
from readiness.schedule.knowing import PASSED, Shown, ShownOn
from readiness.schedule.notice import asking_of, correction_minutes, slot_of
from readiness.schedule.readings_of_days import finished_at, instant_of_moment
from readiness.site.calendars import zone_days

if TYPE_CHECKING:
    from readiness.diary.seen import Look
    from readiness.schedule.knowing import Reader
    from readiness.site.site import ApprovalTasks


def read_approval(reader: Reader, approval: ApprovalTasks) -> None:
    """Read what was said of the looks of one approval."""
    looks = reader.seen.looks.get(approval.id, ())
    office = reader.site.calendars[reader.site.office_calendar[reader.site.office_of[approval.id]]]
    for surface, task in approval.looks.items():
        spoken = [look for look in looks if _speaks_for(reader, look, surface)]
        void = _void_since(reader, approval.id, surface)
        about = [look for look in spoken if not _is_void(look, void)]
        both = reader.seen.contested.get((approval.id, surface))
        if both is not None:
            reader.contested[task] = both
        told = _told(reader, about, approval)
        if told:
            reader.looks[task] = told[-1]
        if told and told[-1].result in PASSED and both is None:
            last = told[-1]
            passed = finished_at(last.on, office, reader.seen.as_of)
            shown = Shown(last.how, str(last.result), last.origin)
            reader.finish(task, passed, shown)
            reader.finish(approval.corrections[surface], passed)
            _show_covered(reader, last, approval.id, surface, approval.covers[surface])
            continue
        if told or any(look.result is not None and look not in about for look in spoken):
            _wake(reader, approval, surface)
        requests = [look for look in about if look.result is None]
        if told:
            requests = _asked_since(told[-1], about)
        _notice(reader, approval, task, requests)


def read_left_out(reader: Reader) -> None:
    """Read what passed on surfaces that get no foam: the work there is done all the same."""
    for name, covers in reader.site.left_out_covers.items():
        for surface, tasks in covers.items():
            looks = reader.seen.looks.get(name, ())
            void = _void_since(reader, name, surface)
            told = sorted(
                (
                    look
                    for look in looks
                    if look.result is not None
                    and _speaks_for(reader, look, surface)
                    and not _is_void(look, void)
                ),
                key=_day_of,
            )
            is_contested = (name, surface) in reader.seen.contested
            if told and told[-1].result in PASSED and not is_contested:
                _show_covered(reader, told[-1], name, surface, tasks)


def _show_covered(
    reader: Reader, look: Look, name: str, surface: str, tasks: tuple[int, ...]
) -> None:
    """Take a passed look for evidence of the work that it covers, unless none was required."""
    if look.result is ApprovalResult.NOT_REQUIRED:
        return
    office = reader.site.calendars[reader.site.office_calendar[reader.site.office_of[name]]]
    passed = finished_at(look.on, office, reader.seen.as_of)
    shown = Shown(look.how, str(look.result), look.origin)
    for covered in tasks:
        reader.shown_on.setdefault(covered, {})[surface] = ShownOn(passed, shown)


def read_covered(reader: Reader) -> None:
    """Take work for finished once every surface that it is looked at in has passed."""
    looked_at: dict[int, set[str]] = {}
    for approval in reader.site.approvals:
        for surface, tasks in approval.covers.items():
            for task in tasks:
                looked_at.setdefault(task, set()).add(surface)
    seen = reader.shown_on.items()
    for task in [task for task, on in seen if looked_at.get(task, set()) <= on.keys()]:
        last = max(reader.shown_on.pop(task).values(), key=lambda found: found.at)
        reader.finish(task, last.at, last.shown)


def _told(reader: Reader, about: list[Look], approval: ApprovalTasks) -> list[Look]:
    """Return the results that speak of one look, in the order in which they were seen.

    A look at what runs in front of the foam has results only from its release on.
    """
    told = sorted((look for look in about if look.result is not None), key=_day_of)
    if approval.before_foam or reader.site.approval_kinds[approval.id].after_spray:
        return told
    news = reader.seen.trips.get(approval.trip)
    if news is None or news.released is None:
        return []
    since = moment_of(news.released, zone_days(reader.site.zone).zone).date()
    return [look for look in told if _day_of(look) >= since]


def _day_of(look: Look) -> date:
    """Return the day of a result; one without a date is older than all others."""
    if look.on is None:
        return date.min
    return look.on.date() if isinstance(look.on, datetime) else look.on


def _asked_since(result: Look, about: list[Look]) -> list[Look]:
    """Return the requests that were made after a result: later, or below it on its day."""
    position = about.index(result)
    found = []
    for number, look in enumerate(about):
        moment = look.requested or look.slot
        if look.result is None and moment is not None:
            later = moment.date() > _day_of(result)
            if later or (moment.date() == _day_of(result) and number > position):
                found.append(look)
    return found


def _speaks_for(reader: Reader, look: Look, surface: str) -> bool:
    return surface in surfaces_of(look.surfaces, reader.site.job)


def _void_since(reader: Reader, approval: str, surface: str) -> tuple[int, int] | None:
    """Return when a change, or damage to the foam that is looked at, came last to a surface."""
    after_spray = reader.site.approval_kinds[approval].after_spray
    return max(
        (
            (voided.at, voided.rank)
            for voided in reader.seen.voided
            if surface in voided.surfaces and (after_spray or not voided.foam_only)
        ),
        default=None,
    )


def _is_void(look: Look, since: tuple[int, int] | None) -> bool:
    """Say whether a look is older than what has voided it."""
    return since is not None and (look.at is None or (look.at, look.rank) < since)


def _wake(reader: Reader, approval: ApprovalTasks, surface: str) -> None:
    """Give the sleeping correction of a look that failed, or was voided, its minutes."""
    correction = approval.corrections[surface]
    reader.minutes[correction] = correction_minutes(reader.site, approval.id, correction)


def _notice(reader: Reader, approval: ApprovalTasks, task: int, requests: list[Look]) -> None:
    """Limit a look by its slot, confirmed or wanted, else by its notice from request or as_of."""
    zone = reader.site.zone
    placed = [look for look in requests if look.slot is not None or look.wanted is not None]
    if placed and placed[-1].wanted is not None:
        wanted = instant_of_moment(placed[-1].wanted, zone)
        reader.notices[task] = max(wanted, _noticed(reader, approval, placed[-1]))
        return
    slots = [look.slot for look in placed if look.slot is not None]
    if slots:
        start, end = slot_of(instant_of_moment(slots[-1], zone), reader.calendar(task))
        if reader.seen.as_of < end:
            reader.notices[task] = reader.slots[task] = start
            return
        # A look that was missed needs a new request
        requests = [look for look in requests if look.slot is None]
    asked = [look for look in requests if look.requested is not None]
    reader.notices[task] = _noticed(reader, approval, asked[-1] if asked else None)


def _noticed(reader: Reader, approval: ApprovalTasks, asked: Look | None) -> int:
    """Return the earliest start of a look that the notice allows after a request, or from now."""
    since = reader.seen.as_of
    if asked is not None and asked.requested is not None:
        since = instant_of_moment(asked.requested, reader.site.zone)
    return asking_of(reader.site, approval.id).earliest(since)
