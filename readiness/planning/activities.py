"""What a plan is made of: activities with their possible starts, waits, resources.

An activity has a list of candidates, and its parts have one start and one end for each of them; on
the clock of a book's example that list is a range, on a site it holds the openings of a trade's
half shifts. Nothing here knows of sites or of a solver.

Invariant: starts and ends of a part never fall from one candidate to the next.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple


class Part(NamedTuple):
    """One stretch of an activity, parallel to the candidates."""

    starts: Sequence[int]
    ends: Sequence[int]


class Mode(NamedTuple):
    """One way to do an activity: in normal time, or faster for money."""

    parts: tuple[Part, ...]
    cost: int = 0


class Activity(NamedTuple):
    """Something that is given one of its candidates."""

    id: str
    modes: tuple[Mode, ...]
    """All with as many candidates."""

    @property
    def candidates(self) -> int:
        """Return how many candidates there are."""
        return len(self.modes[0].parts[0].starts)

    @property
    def is_on_the_clock(self) -> bool:
        """Say whether every minute is a candidate, so that dates are sums."""
        return all(
            isinstance(column, range) and column.step == 1
            for mode in self.modes
            for part in mode.parts
            for column in part
        )


class End(NamedTuple):
    """The start or the end of one part of one activity."""

    activity: int
    part: int = 0
    is_end: bool = False

    def column(self, activity: Activity, mode: int) -> Sequence[int]:
        """Return the instants of this end, by candidate."""
        return activity.modes[mode].parts[self.part][self.is_end]


class Wait(NamedTuple):
    """The later end comes no earlier than what the earlier one imposes."""

    earlier: End
    later: End
    gap: int | Callable[[int], int] = 0
    """Minutes, or a monotone map of instants."""

    def imposed(self, instant: int) -> int:
        """Return what an instant of the earlier end imposes on the later one."""
        return instant + self.gap if isinstance(self.gap, int) else self.gap(instant)


class Use(NamedTuple):
    """An activity keeps something busy from the start of one part to the end of another."""

    activity: int
    demand: int = 1
    parts: tuple[int, ...] = (0,)
    """Busy from the start of the first of these to the end of the last."""


class Resource(NamedTuple):
    """Something of which there is only so much at once."""

    id: str
    capacity: int
    uses: tuple[Use, ...]


class Before(NamedTuple):
    """Two activities of which one has to be over before the other begins, either way round."""

    id: str
    one: int
    other: int
    one_first: tuple[tuple[End, End], ...]
    """If `one` goes first: pairs (end of one, start of other)."""
    other_first: tuple[tuple[End, End], ...]


@dataclass(frozen=True, slots=True)
class Problem:
    """Everything that a plan has to keep."""

    activities: tuple[Activity, ...]
    waits: tuple[Wait, ...]
    resources: tuple[Resource, ...] = ()
    befores: tuple[Before, ...] = ()


def least_candidates(
    problem: Problem, wait: Wait, earlier_mode: int = 0, later_mode: int = 0
) -> list[int]:
    """Return the least candidate of the later activity for each candidate of the earlier one.

    What lies past the last candidate is told as their number.
    """
    earlier = wait.earlier.column(problem.activities[wait.earlier.activity], earlier_mode)
    later = wait.later.column(problem.activities[wait.later.activity], later_mode)
    found, at, count = [], 0, len(later)
    for instant in earlier:
        imposed = wait.imposed(instant)
        while at < count and later[at] < imposed:
            at += 1
        found.append(at)
    return found


def least_of_all(
    problem: Problem, waits: Iterable[Wait], earlier_mode: int = 0, later_mode: int = 0
) -> list[int]:
    """Return the least candidates under several waits between the same two activities."""
    columns = [least_candidates(problem, wait, earlier_mode, later_mode) for wait in waits]
    return columns[0] if len(columns) == 1 else [max(row) for row in zip(*columns, strict=True)]
