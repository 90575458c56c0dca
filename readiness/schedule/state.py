"""What is known of the tasks at the moment of the question, as far as it limits their dates.

Invariant: a task is in at most one of `begun`, `finished` and `never`; without any entry it is
open and limited from below by as_of, its booking and its notice alone.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import NamedTuple

from readiness.job.instants import EARLIER


class Hold(StrEnum):
    """What else than a link can hold a task where it is."""

    AS_OF = "as_of"
    BOOKING = "booking"
    NOTICE = "notice"
    KEEP_OUT = "keep-out"
    SEEN = "seen"
    """It has begun or is finished: what was seen decides."""
    UNDATED = "undated"
    """It has no date at all, such as a pull that nobody has dated."""


class Begun(NamedTuple):
    """A task under way."""

    start: int
    resume_from: int
    """When what is left was seen, or as_of: the rest is counted from here."""
    remaining_minutes: int
    """Minutes of its own calendar that are left, clock minutes without one."""


class Finished(NamedTuple):
    """A task that is done; its dates stand."""

    start: int
    finish: int


@dataclass(frozen=True, slots=True)
class State:
    """Everything that moves dates besides tasks and links, keyed by task index."""

    as_of: int = EARLIER
    held_by_as_of: frozenset[int] = frozenset()
    """Work and approvals not begun; waits and milestones begin by themselves."""
    bookings: Mapping[int, int] = field(default_factory=dict)
    """Booked, agreed or "not before" starts: lower limits."""
    notices: Mapping[int, int] = field(default_factory=dict)
    """Starts that an office's notice allows at the earliest."""
    begun: Mapping[int, Begun] = field(default_factory=dict)
    finished: Mapping[int, Finished] = field(default_factory=dict)
    never: frozenset[int] = frozenset()
    """Tasks that nobody has dated and that nothing may invent."""

    def not_before(self, count: int) -> list[int]:
        """Return the lower limit of every task's start, `EARLIER` where there is none."""
        limits = [EARLIER] * count
        as_of = self.as_of
        for task in self.held_by_as_of:
            limits[task] = as_of
        for lower in (self.bookings, self.notices):
            for task, instant in lower.items():
                limits[task] = max(limits[task], instant)
        return limits

    def holds(self, task: int) -> list[tuple[Hold, int]]:
        """Return the lower limits of one task with what each is."""
        found = [(Hold.AS_OF, self.as_of)] if task in self.held_by_as_of else []
        if task in self.bookings:
            found.append((Hold.BOOKING, self.bookings[task]))
        if task in self.notices:
            found.append((Hold.NOTICE, self.notices[task]))
        return found
