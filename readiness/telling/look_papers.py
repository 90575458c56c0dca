"""What an office has said of the looks of a job, surfaces of which the same was said together.

Invariant: a result stands with its day and its author as it was reported; nothing is judged here.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING

from readiness.job.places import surfaces_of
from readiness.schedule.known import PASSED
from readiness.telling.teller import Who

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.diary.seen import Day, Look
    from readiness.site.site import ApprovalTasks
    from readiness.telling.case import Case


@dataclass(frozen=True, slots=True)
class LookPaper:
    """What an office has said of one approval for some surfaces, all alike."""

    code: str
    title: str
    office: Who
    surfaces: tuple[str, ...]
    """Names of the surfaces."""
    everywhere: bool
    """They are all the surfaces that this approval is about."""
    result: str
    """Empty: the office has said nothing yet."""
    passed: bool
    on: date | None
    by: str
    correct: str
    """What the office wants corrected."""
    asked: datetime | None
    """When the next look was asked for."""
    slot: datetime | None
    """When the office comes."""
    after_foam: bool


def look_papers(case: Case) -> tuple[LookPaper, ...]:
    """Return what was said of every approval of a job, in the order of the site."""
    return tuple(look for each in case.site.approvals for look in _looks(case, each))


def _looks(case: Case, approval: ApprovalTasks) -> Iterable[LookPaper]:
    """Yield what was said of one approval, surfaces of which the same was said together."""
    site, known = case.site, case.outlook.known
    kind = site.approval_kinds[approval.id]
    alike: dict[tuple[Look | None, datetime | None, datetime | None], list[str]] = {}
    for surface, task in approval.looks.items():
        said = known.looks.get(task)
        asked = _asked(case, approval.id, surface, said)
        slot = _slot(case, task)
        alike.setdefault((said, asked, slot), []).append(surface)
    for (said, asked, slot), surfaces in alike.items():
        yield LookPaper(
            code=approval.id,
            title=kind.title,
            office=case.teller.who(site.office_of[approval.id]),
            surfaces=case.teller.surfaces(surfaces),
            everywhere=len(surfaces) == len(approval.looks) and not approval.part,
            result=said.result.value if said is not None and said.result is not None else "",
            passed=said is not None and said.result in PASSED,
            on=_date(said.on) if said is not None else None,
            by=said.by if said is not None else "",
            correct=said.correct if said is not None else "",
            asked=asked,
            slot=slot,
            after_foam=not approval.before_foam,
        )


def _slot(case: Case, task: int) -> datetime | None:
    slot = case.outlook.known.slots.get(task)
    return case.teller.moment(slot) if slot is not None else None


def _asked(case: Case, approval: str, surface: str, said: Look | None) -> datetime | None:
    """Return when the look that is still to come was last asked for."""
    if said is not None and said.result in PASSED:
        return None
    requests = [
        look.requested
        for look in case.outlook.seen.looks.get(approval, ())
        if look.result is None
        and look.requested is not None
        and surface in surfaces_of(look.surfaces, case.site.job)
        and (said is None or said.on is None or look.requested.date() >= _date(said.on))
    ]
    return requests[-1].replace(tzinfo=case.teller.zone) if requests else None


def _date(day: Day | None) -> date:
    assert day is not None  # noqa: S101  told by the caller
    return day.date() if isinstance(day, datetime) else day
