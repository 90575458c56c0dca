"""A first plan, one activity after another, and how far every activity may then lie.

A plan that is already there limits all better ones: what the start of board waits for need not be
looked at later than that plan allows. So the solver gets short lists to choose from.

Invariant: what is cut off belongs to no plan that ends as early as the limit given.
"""

from __future__ import annotations

from bisect import bisect_right
from typing import TYPE_CHECKING

from readiness.planning.activities import (
    Activity,
    End,
    Mode,
    Part,
    Problem,
    Wait,
    least_of_all,
)

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from readiness.planning.activities import Before

Pairs = dict[tuple[int, int], list[int]]
"""By earlier and later activity: the least candidate of the later for each of the earlier."""


def pairs_of(problem: Problem) -> Pairs:
    """Return what every wait asks, one column for each two activities."""
    between: dict[tuple[int, int], list[Wait]] = {}
    for wait in problem.waits:
        between.setdefault((wait.earlier.activity, wait.later.activity), []).append(wait)
    return {pair: least_of_all(problem, waits) for pair, waits in between.items()}


def latest(problem: Problem, pairs: Pairs, limits: Mapping[int, int]) -> list[int] | None:
    """Return the last candidate of every activity under the waits; None if one has none.

    Args:
        problem: The problem.
        pairs: Its waits.
        limits: Last candidates of some activities.
    """
    last = [activity.candidates - 1 for activity in problem.activities]
    for number, limit in limits.items():
        last[number] = min(last[number], limit)
    into: dict[int, list[int]] = {}
    for one, other in pairs:
        into.setdefault(other, []).append(one)
    waiting = list(range(len(last)))
    while waiting:
        other = waiting.pop()
        for one in into.get(other, ()):
            allowed = bisect_right(pairs[one, other], last[other]) - 1
            if allowed < last[one]:
                last[one] = allowed
                waiting.append(one)
    return None if min(last) < 0 else last


class Greedy:
    """Builds one plan: of what can be placed next, what has the least time left comes first."""

    def __init__(self, problem: Problem, pairs: Pairs) -> None:
        """Remember the problem."""
        self.problem = problem
        self.pairs = pairs
        self.placed: dict[int, int] = {}
        self.befores: dict[int, list[Before]] = {}
        for before in problem.befores:
            self.befores.setdefault(before.one, []).append(before)
            self.befores.setdefault(before.other, []).append(before)
        self.last = latest(problem, pairs, {})

    def plan(self) -> list[int] | None:
        """Return the candidate of every activity; None if it runs into a wall."""
        if self.last is None:
            return None
        activities = self.problem.activities
        waits_for: dict[int, set[int]] = {number: set() for number in range(len(activities))}
        for one, other in self.pairs:
            waits_for[other].add(one)
        fixed = [number for number, activity in enumerate(activities) if activity.candidates == 1]
        self.placed.update(dict.fromkeys(fixed, 0))
        left = [number for number in range(len(activities)) if number not in self.placed]
        while left:
            ready = [n for n in left if waits_for[n] <= self.placed.keys()]
            if not ready:
                return None
            number = min(ready, key=lambda n: (self._time_left(n), n))
            candidate = self._first(number)
            if candidate is None:
                return None
            self.placed[number] = candidate
            left.remove(number)
        return [self.placed[number] for number in range(len(activities))]

    def _time_left(self, number: int) -> int:
        assert self.last is not None  # noqa: S101  looked at before anything is placed
        return self.problem.activities[number].modes[0].parts[0].starts[self.last[number]]

    def _first(self, number: int) -> int | None:
        """Return the first candidate that keeps everything with what is placed."""
        assert self.last is not None  # noqa: S101  looked at before anything is placed
        least = max(
            (
                column[self.placed[one]]
                for (one, other), column in self.pairs.items()
                if other == number and one in self.placed
            ),
            default=0,
        )
        for candidate in range(least, self.last[number] + 1):
            if self._fits(number, candidate):
                return candidate
        return None

    def _fits(self, number: int, candidate: int) -> bool:
        self.placed[number] = candidate
        try:
            apart = all(
                self._holds(before.one_first) or self._holds(before.other_first)
                for before in self.befores.get(number, ())
                if before.one in self.placed and before.other in self.placed
            )
            return apart and self._has_crew(number)
        finally:
            del self.placed[number]

    def _holds(self, pairs: Sequence[tuple[End, End]]) -> bool:
        return all(self._at(earlier) <= self._at(later) for earlier, later in pairs)

    def _at(self, end: End) -> int:
        return end.column(self.problem.activities[end.activity], 0)[self.placed[end.activity]]

    def _has_crew(self, number: int) -> bool:
        for resource in self.problem.resources:
            if not any(use.activity == number for use in resource.uses):
                continue
            spans = [
                (
                    self._at(End(use.activity, use.parts[0])),
                    self._at(End(use.activity, use.parts[-1], is_end=True)),
                    use.demand,
                )
                for use in resource.uses
                if use.activity in self.placed
            ]
            for start, _, _ in spans:
                used = sum(need for low, high, need in spans if low <= start < high)
                if used > resource.capacity:
                    return False
        return True


def shortened(problem: Problem, last: Sequence[int]) -> Problem:
    """Return the problem with every list cut after its last candidate."""
    activities = tuple(
        Activity(
            activity.id,
            tuple(
                Mode(
                    tuple(Part(p.starts[: end + 1], p.ends[: end + 1]) for p in mode.parts),
                    mode.cost,
                )
                for mode in activity.modes
            ),
        )
        for activity, end in zip(problem.activities, last, strict=True)
    )
    return Problem(activities, problem.waits, problem.resources, problem.befores)


def without_settled(problem: Problem) -> Problem:
    """Return the problem without the orders that its lists leave no choice about."""
    befores = tuple(before for before in problem.befores if not _is_settled(problem, before))
    return Problem(problem.activities, problem.waits, problem.resources, befores)


def _is_settled(problem: Problem, before: Before) -> bool:
    """Say whether one way round is kept whatever is chosen."""
    return any(
        all(
            earlier.column(problem.activities[earlier.activity], 0)[-1]
            <= later.column(problem.activities[later.activity], 0)[0]
            for earlier, later in pairs
        )
        for pairs in (before.one_first, before.other_first)
    )
