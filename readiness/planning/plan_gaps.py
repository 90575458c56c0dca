"""What lies between two things that are dated: clock minutes and working minutes, in their order.

Invariant: a gap maps instants through the same calendars as the forward pass.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from readiness.job.instants import shifted
from readiness.schedule.forward import gap_calendar_of

if TYPE_CHECKING:
    from readiness.planning.plan_ground import Ground


class Step(NamedTuple):
    """A stretch of a wait: clock minutes, or working minutes of the job."""

    minutes: int
    elapsed: bool


class Gap:
    """A map of instants along the steps of a wait."""

    def __init__(self, steps: tuple[Step, ...], ground: Ground) -> None:
        """Remember the steps and the job's calendar."""
        self.steps = steps
        self._calendar = gap_calendar_of(ground.network, ground.calendars)

    def __call__(self, instant: int) -> int:
        """Return what an instant imposes."""
        for minutes, elapsed in self.steps:
            instant = (shifted if elapsed else self._calendar.finish)(instant, minutes)
        return instant
