"""Which task opened each trial last, and which tasks lay on the chain that drove it there.

A chain is followed only in the trials that it runs through, so that it costs as many look-ups as
there are steps, not as many as there are tasks.

Invariant: in every trial the chain is the one that the ordinary forecast tells for its lengths.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import numpy.typing as npt

from readiness.planning.trials_pass import Chances, Passing
from readiness.planning.trials_steps import BEFORE, Timer, Value, later, moved
from readiness.planning.trials_tables import BEYOND, Minutes, SlotTable, SpanTable
from readiness.schedule.network import FROM_FINISH, INTO_FINISH, source_node
from readiness.site.task import LinkKind

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

Trials = npt.NDArray[np.intp]
"""Numbers of some trials of a block."""


class Told(NamedTuple):
    """One link into a task, in the order in which equal ones are told."""

    source: int
    node: int
    into_finish: bool
    from_start: bool
    start_to_start: bool
    minutes: int
    elapsed: bool


@dataclass
class Chains:
    """The chains through one network, followed block by block."""

    passing: Passing
    group: Mapping[int, int]
    """By task: the number of the group it is counted in; tasks without one are not counted."""
    groups: int
    _told: dict[int, tuple[Told, ...]] = field(default_factory=dict)

    def shares(
        self, nodes: Sequence[Value], chances: Chances, last: Mapping[int, Trials], trials: int
    ) -> npt.NDArray[np.int64]:
        """Return in how many trials each group lies on the chain.

        Args:
            nodes: Start and finish of every task in turn.
            chances: The draws of the block.
            last: By task: the trials in which it is the last of the chain.
            trials: How many trials the block has.
        """
        seen = np.zeros((self.groups, trials), dtype=np.bool_)
        waiting = {task: [(found, False)] for task, found in last.items() if len(found)}
        state = self.passing.state
        for row in reversed(self.passing.rows):
            task = row.task
            arriving = waiting.pop(task, None)
            if arriving is None or task in state.finished:
                continue
            number = self.group.get(task)
            if number is not None:
                for found, _ in arriving:
                    seen[number, found] = True
            if task in state.never:
                continue
            going_on = [
                found for found, by_start in arriving if not (by_start and task in state.begun)
            ]
            if not going_on:
                continue
            here = going_on[0] if len(going_on) == 1 else np.concatenate(going_on)
            for link, found in self._drivers(task, nodes, chances, here):
                waiting.setdefault(link.source, []).append((found, link.from_start))
        counts: npt.NDArray[np.int64] = seen.sum(axis=1, dtype=np.int64)
        return counts

    def _drivers(
        self, task: int, nodes: Sequence[Value], chances: Chances, here: Trials
    ) -> list[tuple[Told, Trials]]:
        """Return, by the link that is told to drive a task, the trials in which it does."""
        links = self._links(task)
        if not links:
            return []
        passing = self.passing
        timer = passing.timer(task)
        begun = passing.state.begun.get(task)
        length: Value = passing.network.minutes[task] if begun is None else begun.remaining_minutes
        length = _at(chances.minutes.get(task, length), here)
        delay = _at(chances.delays.get(task, 0), here)
        imposed = [
            passing.after_gap(_at(nodes[link.node], here), link.minutes, elapsed=link.elapsed)
            for link in links
        ]
        places = [
            _place(timer, value, length, delay, into_finish=link.into_finish)
            for link, value in zip(links, imposed, strict=True)
        ]
        hold = passing.limits[task] if begun is None else passing.inside(begun.resume_from)
        furthest = _place(timer, hold, length, delay, into_finish=False)
        for place in places:
            furthest = later(furthest, place)
        if isinstance(furthest, int) and furthest <= BEFORE:
            return []
        latest = np.full(len(here), BEFORE, dtype=np.int64)
        chosen = np.full(len(here), -1, dtype=np.int64)
        for number, (value, place) in enumerate(zip(imposed, places, strict=True)):
            better = (place == furthest) & (value > latest)
            np.copyto(latest, value, where=better)
            chosen[better] = number
        return [
            (link, found)
            for number, link in enumerate(links)
            if len(found := here[chosen == number])
        ]

    def _links(self, task: int) -> tuple[Told, ...]:
        """Return the links into a task that can drive it, in the order of telling."""
        if task not in self._told:
            network, begun = self.passing.network, self.passing.state.begun
            numbers = network.numbered[network.rank[task]].numbers()
            links = sorted(
                (network.links[number] for number in numbers),
                key=lambda link: (
                    network.ids[link.source],
                    link.kind.value,
                    link.gap_minutes,
                    link.gap_elapsed,
                ),
            )
            self._told[task] = tuple(
                Told(
                    source=link.source,
                    node=source_node(link),
                    into_finish=link.kind in INTO_FINISH,
                    from_start=link.kind not in FROM_FINISH,
                    start_to_start=link.kind is LinkKind.START_TO_START,
                    minutes=link.gap_minutes,
                    elapsed=link.gap_elapsed,
                )
                for link in links
                if not (task in begun and link.kind is LinkKind.START_TO_START)
            )
        return self._told[task]


def _at(value: Value, trials: Trials) -> Value:
    """Return a value in some trials."""
    return value if isinstance(value, int) or value.ndim == 0 else value[trials]


def _place(timer: Timer, limit: Value, length: Value, delay: Value, *, into_finish: bool) -> Value:
    """Return how far a limit pushes the end of a task, in whatever its calendar counts.

    The limits that push it furthest are those that hold it where it is.
    """
    if isinstance(limit, int):
        if limit <= BEFORE:
            return BEFORE
        if limit >= BEYOND:
            return BEYOND
    table = timer.table
    if isinstance(length, int) and length == 0:
        return limit
    if isinstance(table, SpanTable):
        if into_finish:
            return timer.worked(table, moved(limit, -1)) + 1
        return timer.worked(table, limit) + delay + length
    if isinstance(table, SlotTable):
        firsts: Minutes = table.from_end if into_finish else table.from_start
        return firsts.take(limit, mode="clip")
    return limit if into_finish else moved(limit, length)
