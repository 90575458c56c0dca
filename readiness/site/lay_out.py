"""Lays a job out: places, calendars, tasks, links, requirements, in one pure step.

Invariant: the same job and facts give the same site, task for task.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.facts.vocabulary import Category, Gate
from readiness.job.hours import Hours
from readiness.job.origin import Origin
from readiness.site.approval_tasks import (
    HOURS,
    SLOTS,
    ApprovalDrawer,
    approval_kinds_of,
    office_for,
    offices_of,
)
from readiness.site.board_requirements import (
    draw_board_requirements,
    draw_looks_before_board,
)
from readiness.site.calendars import Calendar, ClosedDays
from readiness.site.drawing import Drawing
from readiness.site.foam_between import drop_waits_through_foam
from readiness.site.foam_checks import draw_checks, join_checks
from readiness.site.left_out import draw_left_out, left_to
from readiness.site.places import SITE, places_of
from readiness.site.requirements import RequirementDrawer
from readiness.site.site import Site
from readiness.site.stays import BOARD, stays_of
from readiness.site.task import TaskKind
from readiness.site.things import draw_things
from readiness.site.trip_tasks import SPRAY_TRADE, draw_order, draw_trips, reserved_surfaces
from readiness.site.work_tasks import (
    closing_up,
    draw_stays,
    draw_waits,
    draw_waits_for_looks,
    draw_written_by_place,
)
from readiness.site.written_links import draw_written

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping

    from readiness.facts.rows import Facts
    from readiness.job.hours import DaysOff
    from readiness.job.job import Job
    from readiness.site.site import ApprovalTasks, StayTasks, TripTasks


def written_nowhere(*path: object) -> Origin:
    """Return an origin for jobs that were built without a file."""
    return Origin("job", row=".".join(str(step) for step in path))


def lay_out(job: Job, facts: Facts, origin_of: Callable[..., Origin] = written_nowhere) -> Site:
    """Return the job laid out over its places.

    Args:
        job: A job that has passed the reference checks.
        facts: All tables of facts.
        origin_of: Gives the origin of a key path of the job file.
    """
    places = places_of(job)
    stays, dropped = stays_of(job, facts, places, origin_of)
    calendars = _calendars(job, facts, [stay.trade for stay in stays.values()])
    drawing = Drawing(
        job=job,
        facts=facts,
        places=places,
        origin_of=origin_of,
        calendars=calendars,
        calendar_index={calendar.id: number for number, calendar in enumerate(calendars)},
        stays=stays,
    )
    stay_tasks = draw_stays(drawing)
    crew_links = len(drawing.links)
    draw_waits(drawing, stay_tasks)
    drop_waits_through_foam(drawing, crew_links)
    draw_written_by_place(drawing, stay_tasks)
    trips, late_minutes = draw_trips(drawing)
    trip_of = {surface: trip.id for trip in trips.values() for surface in trip.surfaces}
    draw_order(drawing, trips, trip_of)
    things = draw_things(drawing, trips, trip_of)
    kinds = approval_kinds_of(drawing)
    offices = offices_of(job)
    office_of = {name: office_for(name, kind, offices) for name, kind in kinds.items()}
    looks = ApprovalDrawer(drawing, trips, kinds, office_of)
    approvals = looks.draw()
    reserved = reserved_surfaces(drawing)
    draw_waits_for_looks(drawing, stay_tasks, approvals)
    board_start = _draw_board(drawing, trips, approvals, stay_tasks)
    checks = draw_checks(drawing, trips)
    join_checks(drawing, checks, approvals, board_start)
    draw_written(drawing, stay_tasks, approvals, trips)
    drawer = RequirementDrawer(drawing, trip_of)
    drawer.of_work()
    drawer.of_approvals(approvals, kinds, office_of)
    drawer.of_things(things.values())
    if job.card:
        drawer.of_card()
    drawer.of_facts()
    draw_board_requirements(drawer, trips, checks)
    draw_looks_before_board(drawer, approvals, kinds, office_of)
    left = left_to(drawing, trips)
    draw_left_out(drawer, left, things.values())
    held, board_at = _held_at(drawer)
    return Site(
        job=job,
        facts=facts,
        places=places,
        calendars=tuple(calendars),
        job_calendar=drawing.calendar("job"),
        spray_calendar=drawing.calendar(SPRAY_TRADE),
        trade_calendar={
            calendar.id: number
            for number, calendar in enumerate(calendars)
            if not calendar.id.startswith((SLOTS, HOURS)) and calendar.id != "job"
        },
        office_calendar={name: drawing.calendar(HOURS + name) for name in offices},
        tasks=tuple(drawing.tasks),
        links=tuple(drawing.links),
        late_minutes=late_minutes,
        stays=stays,
        stay_tasks=stay_tasks,
        approvals=approvals,
        approval_kinds=kinds,
        office_of=office_of,
        checks=checks,
        things=things,
        trips=trips,
        trip_of=trip_of,
        reserved=reserved,
        left_out_covers=looks.left_out(reserved),
        left_to=left,
        board_start=board_start,
        requirements=tuple(drawer.found),
        requirements_at=held,
        board_at=board_at,
        dropped=(*dropped, *drawing.dropped),
        orders=drawing.orders,
    )


def _held_at(
    drawer: RequirementDrawer,
) -> tuple[dict[str, tuple[int, ...]], dict[str, tuple[int, ...]]]:
    """Return which requirements hold up the spray of each surface, and which its board.

    Of what belongs before the foam the board waits for what has an item in the network: foam that
    was sprayed too soon hides it, and board would hide it for good.
    """
    held: dict[str, list[int]] = {surface: [] for surface in drawer.drawing.job.surfaces}
    board: dict[str, list[int]] = {surface: [] for surface in drawer.drawing.job.surfaces}
    for requirement in drawer.found:
        for surface in requirement.surfaces:
            if requirement.demands.due is not Gate.BOARD:
                held[surface].append(requirement.index)
            if requirement.demands.due is Gate.BOARD or (
                requirement.category is Category.BEFORE
                and requirement.task is not None
                and requirement.code not in drawer.drawing.job.obstructions
            ):
                board[surface].append(requirement.index)
    return (
        {surface: tuple(indexes) for surface, indexes in held.items()},
        {surface: tuple(indexes) for surface, indexes in board.items()},
    )


def _draw_board(
    drawing: Drawing,
    trips: Mapping[str, TripTasks],
    approvals: Iterable[ApprovalTasks],
    stay_tasks: Mapping[str, StayTasks],
) -> int:
    """Add the board start, fed by the board gate of every surface, before the first board part."""
    origin = drawing.origin_of("board") if drawing.job.board else Origin("work", row=BOARD)
    board = drawing.task(
        "board start",
        TaskKind.MILESTONE,
        "board may start",
        stay="board",
        place=SITE,
        origin=origin,
    )
    for trip in trips.values():
        drawing.link(trip.release, board, "not before the release", origin)
    for index in list(drawing.orders):
        if closing_up(drawing, index):
            drawing.link(index, board, "the foam is closed up first", drawing.tasks[index].origin)
    for approval in approvals:
        if not approval.before_foam:
            for look in approval.looks.values():
                drawing.link(look, board, "seen before it is covered", drawing.tasks[look].origin)
    if BOARD in stay_tasks:
        for part in stay_tasks[BOARD].parts:
            drawing.link(board, part, "board may start", origin)
    return board


def _calendars(job: Job, facts: Facts, trades: Iterable[str]) -> list[Calendar]:
    """Return the job's calendar, one per trade that can have work, and two per office."""
    site = job.site
    job_calendar = _calendar(job, "job", site.hours, ())
    calendars = [job_calendar]
    usual = facts.trades
    needed = dict.fromkeys((SPRAY_TRADE, *job.trades, *trades))
    needed.update(dict.fromkeys(row.pull_trade for row in facts.obstructions.values()))
    needed.update(dict.fromkeys(row.correction_trade for row in facts.approvals.values()))
    for trade in needed:
        row = job.trades.get(trade)
        hours = row.hours if row and row.hours else None
        if hours is None:
            hours = Hours.parse(usual[trade].hours) if trade in usual else site.hours
        day = row.day.minutes(hours.day_minutes()) if row and row.day else None
        calendar = _calendar(job, trade, hours, row.off if row else (), day)
        if row and row.extra:
            closed = calendar.closed._replace(extra=frozenset(row.extra))
            calendar = calendar._replace(closed=closed)
        if row and row.late:
            calendar = calendar._replace(late=row.late)
        calendars.append(calendar)
    for name, office in offices_of(job).items():
        calendars.append(_calendar(job, HOURS + name, office.hours, office.off))
        visits = office.visits or office.hours
        calendars.append(_calendar(job, SLOTS + name, visits, office.off, slots=True))
    return calendars


def _calendar(  # noqa: PLR0913  a calendar is nothing but its fields
    job: Job,
    name: str,
    hours: Hours,
    off: tuple[DaysOff, ...],
    day_minutes: int | None = None,
    *,
    slots: bool = False,
) -> Calendar:
    site = job.site
    return Calendar(
        id=name,
        hours=hours,
        closed=ClosedDays(
            country=site.country,
            state=site.state,
            holidays=site.holidays,
            off=(*site.closed, *off),
            open=frozenset(site.open),
        ),
        zone=site.time_zone,
        day_minutes=day_minutes or hours.day_minutes(),
        slots=slots,
    )
