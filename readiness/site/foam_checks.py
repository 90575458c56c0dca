"""The checks of the foam itself, surface by surface: sleeping mending, its keep-out, the check.

Invariant: every surface that has a check has its mending directly before it, of no minutes, from
the start; only a recorded failure gives it some, and it never joins anything before the foam.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.facts.vocabulary import Order
from readiness.job.origin import Origin
from readiness.site.applying import applying_kinds
from readiness.site.site import CheckTasks
from readiness.site.task import TaskKind
from readiness.site.trip_tasks import SPRAY_TRADE

if TYPE_CHECKING:
    from collections.abc import Mapping

    from readiness.site.drawing import Drawing
    from readiness.site.site import ApprovalTasks, TripTasks


def draw_checks(drawing: Drawing, trips: Mapping[str, TripTasks]) -> dict[str, CheckTasks]:
    """Add the tasks of the check of every surface; none where nothing is checked."""
    kinds = [
        (name, kind)
        for name, kind in applying_kinds(drawing.job, drawing.facts, frozenset(drawing.stays))
        if kind.check
    ]
    found: dict[str, CheckTasks] = {}
    for trip in trips.values():
        for surface in trip.surfaces:
            row = drawing.job.surfaces[surface]
            codes = tuple(name for name, kind in kinds if not kind.on or row.is_ in kind.on)
            if codes:
                found[surface] = _draw(drawing, trip, surface, codes)
    return found


def _draw(drawing: Drawing, trip: TripTasks, surface: str, codes: tuple[str, ...]) -> CheckTasks:
    first = drawing.facts.requirements[codes[0]]
    origin = Origin("requirements", row=codes[0], status=first.status, citation=first.source)
    mend = drawing.task(
        f"mend@{surface}",
        TaskKind.CORRECTION,
        "mend the foam",
        stay=f"check:{surface}",
        place=surface,
        origin=origin,
        trade=SPRAY_TRADE,
        calendar=drawing.calendar(SPRAY_TRADE),
        surfaces=frozenset({surface}),
    )
    wait = drawing.task(
        f"mend-keep-out@{surface}",
        TaskKind.KEEP_OUT,
        "keep-out after the mending",
        stay=f"check:{surface}",
        place=surface,
        origin=origin,
        surfaces=frozenset({surface}),
    )
    check = drawing.task(
        f"foam-check@{surface}",
        TaskKind.CHECK,
        "check of the foam",
        stay=f"check:{surface}",
        place=surface,
        origin=origin,
        surfaces=frozenset({surface}),
    )
    drawing.link(trip.release, mend, "not before the release", origin)
    drawing.link(mend, wait, "foam of any kind starts a keep-out", origin)
    drawing.link(wait, check, "mended before it is checked again", origin)
    return CheckTasks(codes, mend, wait, check)


def join_checks(
    drawing: Drawing,
    checks: Mapping[str, CheckTasks],
    approvals: tuple[ApprovalTasks, ...],
    board: int,
) -> None:
    """Let the looks at the foam, what covers it, and the board wait for the checks."""
    for approval in approvals:
        if not drawing.facts.approvals[approval.id].after_spray:
            continue
        for surface in approval.looks:
            if surface in checks:
                _join(drawing, checks[surface], approval.complete)
    covering = {name for name, kind in drawing.facts.work.items() if kind.covers_foam}
    for task, orders in drawing.orders.items():
        if drawing.tasks[task].stay in covering:
            for surface, order in orders.items():
                if surface in checks and order is not Order.BEFORE:
                    _join(drawing, checks[surface], task)
    for check in checks.values():
        _join(drawing, check, board)


def _join(drawing: Drawing, check: CheckTasks, later: int) -> None:
    origin = drawing.tasks[check.check].origin
    drawing.link(check.check, later, "the foam has passed its checks", origin)
