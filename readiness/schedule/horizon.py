"""The stretch of time for which a calendar has been worked out, longer on demand.

A calendar is compiled for the dates a job is likely to need; a date outside doubles the stretch,
so that a wait of three years costs a few steps and a calendar without work ends at a hard limit.

Invariant: `floor <= low < high <= ceiling`, and growing never goes past the hard limits.
"""

from __future__ import annotations

from typing import NamedTuple

HARD_LIMIT_MINUTES = 60 * 366 * 24 * 60
"""Nothing is looked for further than about sixty years outside the stretch asked for first."""


class Horizon(NamedTuple):
    """The stretch [low, high) worked out so far, with the limits it may grow to."""

    low: int
    high: int
    floor: int
    ceiling: int

    def later(self) -> Horizon | None:
        """Return the horizon doubled upward; None at the hard limit."""
        if self.high >= self.ceiling:
            return None
        return self._replace(high=min(self.ceiling, 2 * self.high - self.low))

    def earlier(self) -> Horizon | None:
        """Return the horizon doubled downward; None at the hard limit."""
        if self.low <= self.floor:
            return None
        return self._replace(low=max(self.floor, 2 * self.low - self.high))


def horizon_of(low: int, high: int) -> Horizon:
    """Return the horizon that starts as [low, high).

    Raises:
        ValueError: The stretch is empty.
    """
    if low >= high:
        message = f"a horizon needs at least one minute, got {low} to {high}"
        raise ValueError(message)
    return Horizon(low, high, low - HARD_LIMIT_MINUTES, high + HARD_LIMIT_MINUTES)


def merged(closures: list[tuple[int, int]]) -> list[tuple[int, int]]:
    """Return the closed stretches in ascending order, with overlaps and touches joined."""
    joined: list[tuple[int, int]] = []
    for start, end in sorted(closures):
        if start >= end:
            continue
        if joined and start <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(joined[-1][1], end))
        else:
            joined.append((start, end))
    return joined
