"""What an earlier end costs: the cheapest choice of normal and fast for each end that is asked.

Invariant: every figure is the cost of modes that somebody priced; each says whether it is proven.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from readiness.planning.model import WORK_LIMIT, Model, Reached

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from readiness.planning.activities import End, Problem


@dataclass(frozen=True, slots=True)
class Point:
    """The cheapest way to end by a limit."""

    by: int
    reached: Reached
    """Its value is the cost; None of it if nothing ends by then."""
    modes: tuple[int, ...]
    """The mode of every activity."""


def curve(
    problem: Problem, end: End, limits: Iterable[int], work_limit: float = WORK_LIMIT
) -> Iterator[Point]:
    """Yield the cheapest cost of ending by each of some limits."""
    for by in limits:
        model = Model(problem, work_limit)
        model.model.add(model.instant(end) <= by)
        reached = model.least(model.cost())
        yield Point(by, reached, tuple(model.modes))


def least_total(
    problem: Problem, end: End, per_time: int, fixed: int = 0, work_limit: float = WORK_LIMIT
) -> tuple[Reached, int, tuple[int, ...]]:
    """Return the least of modes and time together, the end it has, and its modes.

    Args:
        problem: Activities with priced modes.
        end: What ends it all.
        per_time: What one unit of time costs.
        fixed: What is paid in any case.
        work_limit: How much work it may take.
    """
    model = Model(problem, work_limit)
    reached = model.least(model.cost() + per_time * model.instant(end) + fixed)
    return reached, model.instant_of(end) if model.chosen else 0, tuple(model.modes)
