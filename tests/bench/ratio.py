"""How a bench compares two things on whatever machine it runs: side by side, in one run.

Invariant: a bench states a ratio, never seconds; what it measures and what it measures against
take turns, so that a busy machine slows both alike.
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from dataclasses import dataclass

import pytest


@dataclass(frozen=True, slots=True)
class Ratio:
    """How many times the measured takes of what it is measured against."""

    name: str
    measured_ms: float
    against_ms: float
    ratio: float
    limit: float

    def __str__(self) -> str:
        """Return the line for the table of benches."""
        return (
            f"{self.name}: {self.measured_ms:.2f} ms against {self.against_ms:.2f} ms, "
            f"ratio {self.ratio:.2f}, limit {self.limit:g}"
        )

    def check(self) -> None:
        """Print the line and fail when the limit is passed.

        Raises:
            AssertionError: The ratio is above its limit.
        """
        print(f"\nbench {self}")  # noqa: T201 - the table of benches is read from the output
        assert self.ratio <= self.limit, str(self)


def elapsed_ms(work: Callable[[], object]) -> float:
    """Return how long one call took."""
    started = time.perf_counter()
    work()
    return (time.perf_counter() - started) * 1_000


def compare(
    name: str,
    measured: Callable[[], object],
    against: Callable[[], object],
    *,
    limit: float,
    turns: int = 9,
) -> Ratio:
    """Measure both in turns, after one unmeasured turn each, and return the median ratio.

    The median of the ratios of neighbouring turns is taken: a hiccup of the machine spoils one
    turn, not the answer.
    """
    measured()
    against()
    pairs = [(elapsed_ms(measured), elapsed_ms(against)) for _ in range(turns)]
    return Ratio(
        name=name,
        measured_ms=statistics.median(pair[0] for pair in pairs),
        against_ms=statistics.median(pair[1] for pair in pairs),
        ratio=statistics.median(first / second for first, second in pairs),
        limit=limit,
    )


def delayed(work: Callable[[], object], delay_ms: float) -> Callable[[], object]:
    """Return the work with a busy delay before it, for a bench's test of itself."""

    def slow() -> object:
        until = time.perf_counter() + delay_ms / 1_000
        while time.perf_counter() < until:
            pass
        return work()

    return slow


def fails_when_delayed(
    name: str,
    measured: Callable[[], object],
    against: Callable[[], object],
    *,
    limit: float,
) -> None:
    """Show that the bench can fail: with a delay just past the limit injected, it must.

    The delay is chosen from this machine's own speed, so that it breaks the limit and little more.

    Raises:
        AssertionError: The bench passed all the same, and so measures nothing.
    """
    against()
    delay_ms = 1.3 * limit * statistics.median(elapsed_ms(against) for _ in range(3)) + 1
    slowed = compare(name, delayed(measured, delay_ms), against, limit=limit, turns=3)
    with pytest.raises(AssertionError):
        slowed.check()
