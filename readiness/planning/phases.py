"""Which trips have to come one after the other, because something stands between them.

What covers a surface comes after its foam; if the foam of another trip waits for that work, the
first surface needs the earlier trip.

Invariant: a phase names the work that stands in front of the one surface and is waited for by the
other trip; the fewest trips are at least the longest row of such phases.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from readiness.facts.vocabulary import Order

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.schedule.frame import Frame


class Phase(NamedTuple):
    """One reason for one trip to come before another."""

    early: str
    """The trip that comes first."""
    late: str
    surfaces: tuple[str, ...]
    """Surfaces of the early trip that the work covers."""
    stay: str
    """The work that stands in front of them and that the late trip waits for."""


def phases_of(frame: Frame, trips: Iterable[str]) -> tuple[Phase, ...]:
    """Return why trips of a job come one after the other, by trip and work."""
    site, names = frame.site, tuple(trips)
    found: dict[tuple[str, str, str], dict[str, None]] = {}
    for late in names:
        for task in sorted(frame.upstream[late]):
            stay = site.tasks[task].stay
            for surface, order in site.orders.get(task, {}).items():
                early = site.trip_of.get(surface)
                covers = order is Order.AFTER and early in names and early != late
                if covers and early is not None:
                    found.setdefault((early, late, stay), {})[surface] = None
    return tuple(
        Phase(early, late, tuple(surfaces), stay)
        for (early, late, stay), surfaces in sorted(found.items())
    )


def fewest_trips(phases: Iterable[Phase], trips: Iterable[str]) -> int:
    """Return how many trips there are at least: the longest row of phases."""
    names = tuple(trips)
    before: dict[str, set[str]] = {name: set() for name in names}
    for phase in phases:
        before[phase.late].add(phase.early)

    def row(name: str) -> int:
        return 1 + max((row(early) for early in before[name]), default=0)

    return max((row(name) for name in names), default=0)
