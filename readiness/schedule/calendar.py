"""What every calendar can answer, and the clock, the calendar of waits and milestones.

Invariant: `earliest` and `latest` are adjoint: an item with the limits (s, f) starts by `a` and
ends by `b` exactly when s and f are no later than the two instants of `latest(a, b, minutes)`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from readiness.job.instants import EARLIER, NEVER, shifted


class Calendar(Protocol):
    """Times one item at a time; the passes know calendars only through this."""

    def earliest(self, start_limit: int, finish_limit: int, minutes: int) -> tuple[int, int]:
        """Return start and finish of an item that neither starts nor ends before its limits."""

    def latest(self, start_limit: int, finish_limit: int, minutes: int) -> tuple[int, int]:
        """Return the last start and finish of an item that keeps both upper limits."""

    def resumed(self, start_limit: int, seen: int, finish_limit: int, minutes: int) -> int:
        """Return the finish of an item under way with so much left.

        It goes on from `seen`, or from `start_limit` where something it waits for is later.
        """

    def latest_resumption(self, finish_limit: int, minutes: int) -> tuple[int, int]:
        """Return the last `start_limit` and `finish_limit` of `resumed` that keep the limit."""

    def minutes_between(self, early: int, late: int) -> int:
        """Return the calendar's minutes from one instant to another, negative if reversed."""


def difference(early: int, late: int) -> int | None:
    """Return what a float is when an end has no date; None when both ends are dated.

    What has no limit has all the time there is; what has no date is late without measure.
    """
    if late == NEVER or early == EARLIER:
        return NEVER
    if early == NEVER or late == EARLIER:
        return EARLIER
    return None


@dataclass(frozen=True, slots=True)
class Clock:
    """Every minute counts: waits run on it, and a milestone is a wait of no minutes."""

    def finish(self, instant: int, minutes: int) -> int:
        """Return the instant so many minutes later."""
        return shifted(instant, minutes)

    def latest_start(self, instant: int, minutes: int) -> int:
        """Return the instant so many minutes earlier."""
        return shifted(instant, -minutes)

    def earliest(self, start_limit: int, finish_limit: int, minutes: int) -> tuple[int, int]:
        """Return start and finish of a wait, which begins by itself at its largest limit."""
        start = max(start_limit, shifted(finish_limit, -minutes))
        return start, shifted(start, minutes)

    def latest(self, start_limit: int, finish_limit: int, minutes: int) -> tuple[int, int]:
        """Return the last start and finish of a wait that keeps both upper limits."""
        start = min(start_limit, shifted(finish_limit, -minutes))
        return start, shifted(start, minutes)

    def resumed(self, start_limit: int, seen: int, finish_limit: int, minutes: int) -> int:
        """Return when a wait that has begun is over."""
        return max(shifted(max(start_limit, seen), minutes), finish_limit)

    def latest_resumption(self, finish_limit: int, minutes: int) -> tuple[int, int]:
        """Return the last limits with which a wait that has begun is over in time."""
        return shifted(finish_limit, -minutes), finish_limit

    def minutes_between(self, early: int, late: int) -> int:
        """Return the minutes from one instant to another."""
        undated = difference(early, late)
        return late - early if undated is None else undated


CLOCK = Clock()
"""The calendar of everything that has none."""
