"""What the board gate asks of the network: release, closing up, checks of the foam, looks.

Invariant: nothing here holds up a spray; what only evidence can tell is laid out with the other
requirements, and is due at the board gate by its row.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.facts.rows import LeastEvidence
from readiness.facts.vocabulary import Category, Effect, Gate
from readiness.site.places import SITE
from readiness.site.requirements import demands_of
from readiness.site.stays import Demands
from readiness.site.work_tasks import closing_up

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from readiness.facts.rows import ApprovalKind
    from readiness.site.requirements import RequirementDrawer
    from readiness.site.site import ApprovalTasks, CheckTasks, TripTasks

RELEASE = "release"
FOAM_CHECK = "foam-check"
"""The check of the foam on one surface as a date; what it consists of is asked by itself."""


def draw_board_requirements(
    drawer: RequirementDrawer, trips: Mapping[str, TripTasks], checks: Mapping[str, CheckTasks]
) -> None:
    """Add the release, the closing up, and the checks."""
    for trip in trips.values():
        _of_release(drawer, trip)
    _of_closing_up(drawer)
    for surface, tasks in checks.items():
        _of_check(drawer, surface, tasks)


def _of_release(drawer: RequirementDrawer, trip: TripTasks) -> None:
    keep_out = drawer.drawing.facts.trip["keep-out"]
    drawer.add(
        code=RELEASE,
        title="A named person has released the place",
        place=SITE,
        surfaces=trip.surfaces,
        category=Category.CLOSING,
        task=trip.release,
        clears="crew lead",
        demands=_demands(Effect.STOPS_TRIP, caution=keep_out.caution),
        why="nobody unprotected is inside from arrival to release",
        origin=drawer.drawing.tasks[trip.release].origin,
    )


def _of_closing_up(drawer: RequirementDrawer) -> None:
    for index in drawer.drawing.orders:
        surfaces = tuple(s for s in closing_up(drawer.drawing, index) if s in drawer.trip_of)
        if not surfaces:
            continue
        task = drawer.drawing.tasks[index]
        stay = drawer.drawing.stays[task.stay]
        drawer.add(
            code=stay.id,
            title=f"{stay.title} is done",
            place=task.place,
            surfaces=surfaces,
            category=Category.CLOSING,
            task=index,
            clears=stay.trade,
            demands=stay.demands._replace(due=Gate.BOARD),
            why=stay.why,
            origin=stay.origin,
        )


def _of_check(drawer: RequirementDrawer, surface: str, tasks: CheckTasks) -> None:
    task = drawer.drawing.tasks[tasks.check]
    drawer.add(
        code=FOAM_CHECK,
        title="The foam has passed its checks",
        place=surface,
        surfaces=(surface,),
        category=Category.CLOSING,
        task=tasks.check,
        clears="spray",
        demands=_demands(Effect.STOPS_SURFACE),
        why="what fails is mended, and mending brings its own keep-out",
        origin=task.origin,
    )


def draw_looks_before_board(
    drawer: RequirementDrawer,
    approvals: Iterable[ApprovalTasks],
    kinds: Mapping[str, ApprovalKind],
    office_of: Mapping[str, str],
) -> None:
    """Add one requirement for every look between the foam and the board."""
    for approval in approvals:
        if approval.before_foam:
            continue
        kind = kinds[approval.id]
        for surface, look in approval.looks.items():
            drawer.add(
                code=approval.id,
                title=f"{kind.title} is passed",
                place=surface,
                surfaces=(surface,),
                category=Category.CLOSING,
                task=look,
                clears=office_of[approval.id],
                demands=demands_of(kind, None)._replace(due=Gate.BOARD),
                why=kind.why,
                origin=drawer.drawing.tasks[look].origin,
            )


def _demands(effect: Effect, caution: str = "") -> Demands:
    return Demands(
        effect=effect,
        due=Gate.BOARD,
        wanted_before=None,
        fresh_for=None,
        least=LeastEvidence(),
        override=None,
        binding=True,
        caution=caution,
    )
