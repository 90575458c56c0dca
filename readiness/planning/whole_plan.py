"""The best whole plan of a job, from the forecast as things stand.

What people have agreed is held; only where nothing can hold all of it does a plan move as few of
those dates as it can, and says so.

Invariant: a plan is judged by its dates of the forward pass, never by those of the solver.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from readiness.planning.model import WORK_LIMIT
from readiness.planning.plan_ground import ground_of
from readiness.planning.plan_levels import solved
from readiness.planning.plan_problem import planned_of
from readiness.planning.plan_timed import timed

if TYPE_CHECKING:
    from readiness.planning.plan_problem import Planned
    from readiness.planning.plan_timed import Timed
    from readiness.schedule.outlook import Outlook

HORIZONS_DAYS = (30, 120)
"""How far past the forecast a plan may reach; the longer one only if the shorter has none."""


@dataclass(frozen=True, slots=True)
class WholePlan:
    """What a search for a plan has come to."""

    timed: Timed | None
    """None if no plan was found."""
    planned: Planned
    """The problem, also where it has no plan."""
    moves_agreed: bool
    """Nothing holds all that is agreed, so the plan moves some of it."""


def whole_plan(outlook: Outlook, work_limit: float = WORK_LIMIT) -> WholePlan:
    """Return the best plan."""
    planned: Planned | None = None
    for keeps in (True, False):
        for days in HORIZONS_DAYS:
            planned = planned_of(ground_of(outlook, days, keeps_trips=keeps), keeps=keeps)
            if keeps and not holds_agreed(planned):
                break
            best = solved(planned, relaxed=not keeps, work_limit=work_limit)
            if best is not None:
                return WholePlan(timed(best), planned, moves_agreed=not keeps)
    assert planned is not None  # noqa: S101  every round makes one
    return WholePlan(None, planned, moves_agreed=False)


def holds_agreed(planned: Planned) -> bool:
    """Say whether logic alone lets every agreed date stand."""
    return all(leg.is_fixed for leg in planned.legs if leg.agreed and leg.booked_at is not None)
