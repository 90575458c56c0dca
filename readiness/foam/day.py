"""The hours of a trip: set-up, masking, passes with their waits, trimming, clean-up.

Invariant: passes and waits come from the product sheet alone; without it they are not computed, and
no figure from elsewhere takes their place.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence


@dataclass(frozen=True, slots=True)
class Sprayed:
    """What is sprayed on one surface, as the day sees it."""

    surface: str
    board_feet: float
    per_hour: float
    """Board feet in an hour at an open wall."""
    access: float
    """How many times as long as at an open wall."""
    inches: float
    lift_inches: float | None
    """Deepest single pass by the sheet; None without one."""
    wait_minutes: float | None
    """Wait between passes by the sheet."""

    @property
    def minutes(self) -> float:
        """Return the time at the gun."""
        return self.board_feet / self.per_hour * 60 * self.access

    @property
    def passes(self) -> int | None:
        """Return how many passes it takes, or None without a sheet."""
        if self.lift_inches is None:
            return None
        return max(1, ceil(round(self.inches / self.lift_inches, 6)))

    @property
    def is_told(self) -> bool:
        """Say whether the sheet tells what its waits need; one pass needs no wait."""
        return self.passes is not None and (self.passes == 1 or self.wait_minutes is not None)


def waits_minutes(surfaces: Sequence[Sprayed]) -> float | None:
    """Return the idle minutes between passes, or None if a sheet is missing.

    The crew goes round: it sprays the first pass everywhere, then the second where one is wanted,
    and so on, always in the same order. A spot has waited as long as the round took, so only what
    is left of the wait after a round stands idle.
    """
    if not all(one.is_told for one in surfaces):
        return None
    idle = 0.0
    most = max((one.passes or 1 for one in surfaces), default=1)
    for done in range(1, most):
        going_on = [one for one in surfaces if (one.passes or 1) > done]
        round_minutes = sum(
            one.minutes / (one.passes or 1) for one in surfaces if (one.passes or 1) >= done
        )
        wait = max(one.wait_minutes or 0 for one in going_on)
        idle += max(0.0, wait - round_minutes)
    return idle


@dataclass(frozen=True, slots=True)
class Step:
    """A step of the day in whole minutes; None if it was not computed."""

    name: str
    minutes: int | None


def steps_of(parts: Iterable[tuple[str, float | None]]) -> tuple[Step, ...]:
    """Return the steps with minutes rounded up to five, because nobody plans finer."""
    return tuple(
        Step(name, None if minutes is None else ceil(round(minutes, 6) / 5) * 5)
        for name, minutes in parts
    )


def known_minutes(steps: Iterable[Step]) -> int:
    """Return the minutes of all steps that were computed."""
    return sum(step.minutes or 0 for step in steps)
