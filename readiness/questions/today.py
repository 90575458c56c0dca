"""What is still useful today, when a trip has slipped: work that hurts nothing.

Invariant: nothing is told that lies inside a running keep-out, that would be in the gun's way, or
that is hot work near bare foam.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from readiness.facts.vocabulary import Gate, Order
from readiness.gates.life import Life
from readiness.job.instants import moment_of
from readiness.schedule.outlook import closable
from readiness.site.calendars import zone_days
from readiness.site.task import TaskKind
from readiness.telling.case import Case, Instants
from readiness.telling.teller import Who

if TYPE_CHECKING:
    from readiness.site.task import Task

BARE = frozenset(
    {Life.BEING_SPRAYED, Life.PART_SPRAYED, Life.KEEP_OUT, Life.TO_MEND, Life.WAITING, Life.PASSED}
)
"""Foam that nothing covers yet."""


@dataclass(frozen=True, slots=True)
class UsefulLine:
    """One work that can go on today."""

    title: str
    places: tuple[str, ...]
    who: Who
    hours: float
    """What it takes in these places."""
    holds_up: bool
    """The spray waits for it."""


@dataclass(frozen=True, slots=True)
class TodayAnswer:
    """The answer to "what is still useful today?"."""

    job: str
    instants: Instants
    lines: tuple[UsefulLine, ...]


def today(case: Case) -> TodayAnswer:
    """Return the work that can be done today without hurting the next trip."""
    moment = case.teller.moment(case.outlook.seen.as_of)
    assert moment is not None  # noqa: S101  as_of is a real instant
    by_stay: dict[str, list[Task]] = {}
    for task in case.site.tasks:
        if task.kind is TaskKind.WORK and task.stay in case.site.stays and _useful(case, task):
            by_stay.setdefault(task.stay, []).append(task)
    lines = [_line(case, tasks) for tasks in by_stay.values()]
    lines.sort(key=lambda line: (not line.holds_up, line.who.name, line.title))
    return TodayAnswer(
        job=case.site.job.name,
        instants=Instants(moment, moment, case.site.zone, Gate.PROMISE.value),
        lines=tuple(lines),
    )


def _useful(case: Case, task: Task) -> bool:
    """Say whether a task can begin today and hurts nothing."""
    outlook, site = case.outlook, case.site
    state = outlook.known.state
    if task.index in state.finished or task.calendar is None:
        return False
    if not _works_today(case, task) or _kept_out(case, task):
        return False
    orders = site.orders.get(task.index, {})
    in_the_way = any(
        order in (Order.AFTER, Order.CLOSING_UP) and case.judge.lives.get(surface) not in BARE
        for surface, order in orders.items()
    )
    if in_the_way or (site.stays[task.stay].hot and _near_bare_foam(case, task)):
        return False
    row = outlook.network.incoming[outlook.network.rank[task.index]]
    sources = [node >> 1 for node in (*row.starts, *row.finishes)]
    sources += [gap.there >> 1 for gap in row.gaps]
    same_crew = {source for source in sources if site.tasks[source].stay == task.stay}
    return all(source in state.finished or source in same_crew for source in sources)


def _works_today(case: Case, task: Task) -> bool:
    calendar = case.site.calendars[task.calendar or 0]
    now = case.outlook.seen.as_of
    day = moment_of(now, zone_days(case.site.zone).zone).date()
    return any(shut > now for _, shut in calendar.spans_on(day))


def _kept_out(case: Case, task: Task) -> bool:
    """Say whether a running keep-out shuts the task out, whoever it belongs to."""
    now = case.outlook.seen.as_of
    if not closable(task, case.site):
        return False
    return any(
        start <= now < end and task.place in case.site.trips[trip].zone
        for trip, (start, end) in case.outlook.closures.items()
    )


def _near_bare_foam(case: Case, task: Task) -> bool:
    surfaces = case.site.places.surfaces_in[task.place]
    return any(case.judge.lives.get(surface) in BARE for surface in surfaces)


def _line(case: Case, tasks: list[Task]) -> UsefulLine:
    stay = case.site.stays[tasks[0].stay]
    before = any(
        order is Order.BEFORE
        for task in tasks
        for order in case.site.orders.get(task.index, {}).values()
    )
    return UsefulLine(
        title=stay.title,
        places=tuple(case.teller.place(task.place) for task in tasks),
        who=case.teller.who(stay.trade),
        hours=round(sum(task.minutes for task in tasks) / 60, 1),
        holds_up=before,
    )
