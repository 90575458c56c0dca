"""The best whole plan of a job, from the forecast as things stand.

What people have agreed is held; only where nothing can hold all of it does a plan move as few of
those dates as it can, and says so.

Invariant: a plan is judged by its dates of the forward pass, never by those of the solver.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from readiness.planning.greedy import without_settled
from readiness.planning.model import WORK_LIMIT, Model
from readiness.planning.plan_ground import ground_of
from readiness.planning.plan_levels import solved
from readiness.planning.plan_problem import planned_of
from readiness.planning.plan_timed import timed
from readiness.planning.watching import nothing_to_stop, unwatched

if TYPE_CHECKING:
    from readiness.planning.plan_problem import Planned
    from readiness.planning.plan_timed import Timed
    from readiness.planning.watching import Watch
    from readiness.schedule.outlook import Outlook

PAUSING_LIMIT = 5.0
"""How much work looking for a plan with pauses may take, in the solver's own units."""

CREWS_LIMIT = 3.0
"""The same for looking with which further crews all agreed dates could stand."""

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
    """Nothing that was looked at holds all that is agreed, so the plan moves some of it."""
    pauses: bool = False
    """Crews may stop between two of their places, because else agreed dates would move."""
    would_do: tuple[str, ...] = ()
    """Trades with whose further crews, of all of them, everything that is agreed could stand."""


def whole_plan(
    outlook: Outlook, work_limit: float = WORK_LIMIT, watch: Watch = unwatched
) -> WholePlan:
    """Return the best plan.

    Args:
        outlook: The forecast as things stand.
        work_limit: How much work a level may take, in the solver's own units.
        watch: Hears what is looked at.
    """
    planned: Planned | None = None
    for keeps in (True, False):
        for days in HORIZONS_DAYS:
            watch("what can come when", nothing_to_stop)
            planned = planned_of(ground_of(outlook, days, keeps_trips=keeps), keeps=keeps)
            if keeps and not holds_agreed(planned):
                break
            best = solved(planned, relaxed=not keeps, work_limit=work_limit, watch=watch)
            if best is not None and keeps:
                return WholePlan(timed(best), planned, moves_agreed=False)
            if best is not None:
                would_do = _crews_that_would_do(outlook, watch)
                return WholePlan(timed(best), planned, moves_agreed=True, would_do=would_do)
        if keeps:
            watch("crews that stop between two places", nothing_to_stop)
            pausing = _pausing(outlook, HORIZONS_DAYS[0])
            if holds_agreed(pausing):
                limit = min(work_limit, PAUSING_LIMIT)
                best = solved(pausing, relaxed=False, work_limit=limit, watch=watch)
                if best is not None:
                    return WholePlan(timed(best), pausing, moves_agreed=False, pauses=True)
    assert planned is not None  # noqa: S101  every round makes one
    return WholePlan(None, planned, moves_agreed=False)


def _pausing(outlook: Outlook, days: int) -> Planned:
    """Return the problem in which every crew may stop between two of its places."""
    several = frozenset(
        name for name, stay in outlook.site.stay_tasks.items() if len(stay.parts) > 1
    )
    return planned_of(ground_of(outlook, days, keeps_trips=True), keeps=True, apart=several)


def _crews_that_would_do(outlook: Outlook, watch: Watch) -> tuple[str, ...]:
    """Return trades with whose further crews all agreed dates could stand; none if none was found.

    Only trades that come with one crew are looked at.
    """
    pausing = _pausing(outlook, HORIZONS_DAYS[0])
    if not holds_agreed(pausing) or any(not leg.activity.candidates for leg in pausing.legs):
        return ()
    problem = without_settled(pausing.problem)
    groups = {
        before.id: before.id.split(":")[1]
        for before in problem.befores
        if before.id.startswith("crew:")
    }
    return tuple(sorted(Model(problem, CREWS_LIMIT, groups, watch).fewest_loose() or ()))


def holds_agreed(planned: Planned) -> bool:
    """Say whether logic alone lets every agreed date stand."""
    return all(leg.is_fixed for leg in planned.legs if leg.agreed and leg.booked_at is not None)
