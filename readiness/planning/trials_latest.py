"""The latest arrival in each trial that still lets everything committed begin in time.

This is the backward step of the spray window with an array where it has a number: limits on the
committed items are worked back to the trip, whose own steps keep their late end.

Invariant: without spread it is the last start of the trip's spray windows, to the minute.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from readiness.planning.trials_pass import Chances, Passing
from readiness.planning.trials_steps import Timer, Value, moved, sooner
from readiness.planning.trials_tables import BEYOND, SlotTable, SpanTable

if TYPE_CHECKING:
    from readiness.planning.trials_tables import Minutes
    from readiness.schedule.network import Row
    from readiness.site.site import TripTasks


@dataclass(frozen=True)
class Closing:
    """What ends the time of one trip, ready for any block of trials."""

    passing: Passing
    """The network without the trip's keep-out, its sprays at their longest."""
    trip: TripTasks
    downstream: frozenset[int]
    committed: tuple[int, ...]
    """Everything committed behind the trip, each after those it waits for."""
    booked: Mapping[int, int]
    """By committed task: the early end of its booking."""
    finishes: Mapping[int, int]
    """By committed task under way: its forecast finish."""
    closers: frozenset[int]
    """The committed tasks that close a surface of this trip."""
    fixed: int
    """The latest arrival for what is the same in all trials, such as a thing that stands."""

    @cached_property
    def own(self) -> frozenset[int]:
        """The trip's own steps."""
        return frozenset(self.trip.tasks)

    def latest(self, nodes: Sequence[Value], chances: Chances) -> Value:
        """Return the latest arrival, from the forward pass of the block."""
        limits = {
            task: [start, BEYOND]
            for task, start in self._commits(nodes, chances).items()
            if task in self.closers
        }
        arrival: Value = self.passing.inside(self.fixed)
        plain = Chances(chances.minutes, {}, {})
        for row in reversed(self.passing.network.incoming):
            task = row.task
            if task not in limits:
                continue
            closes = task in self.closers
            pair = self._worked_back(task, limits[task], plain if closes else chances)
            for node, value in self._imposed(row, *pair):
                if node >> 1 in self.own:
                    arrival = sooner(arrival, self._arrival(node, value))
                else:
                    ends = limits.setdefault(node >> 1, [BEYOND, BEYOND])
                    ends[node & 1] = sooner(ends[node & 1], value)
        return arrival

    def _commits(self, nodes: Sequence[Value], chances: Chances) -> dict[int, Value]:
        """Return the committed starts: as booked and as what is not behind the trip lets them."""
        # What is behind the trip is not in the forward pass, so it limits nothing until committed
        known = list(nodes)
        state, network = self.passing.state, self.passing.network
        plain = Chances(chances.minutes, {}, {})
        starts: dict[int, Value] = {}
        for task in self.committed:
            pair: tuple[Value, Value]
            if task in state.begun:
                begun = state.begun[task]
                finish = self.finishes[task]
                pair = (self.passing.inside(begun.start), self.passing.inside(finish))
            elif task in state.finished:
                done = state.finished[task]
                pair = (self.passing.inside(done.start), self.passing.inside(done.finish))
            else:
                row = network.incoming[network.rank[task]]
                limits = self.passing.limits_on(row, known, self.passing.inside(self.booked[task]))
                pair = self.passing.timed(task, limits, plain)
            known[2 * task], known[2 * task + 1] = pair
            starts[task] = pair[0]
        return starts

    def _worked_back(
        self, task: int, limits: Sequence[Value], chances: Chances
    ) -> tuple[Value, Value]:
        """Return the latest limits on start and finish with which a task keeps its own."""
        timer = self.passing.timer(task)
        failures = chances.failures.get(task)
        if failures is not None and isinstance(timer.table, SlotTable):
            return self._before_failures(task, timer.table, limits, failures)
        minutes: Value = self.passing.network.minutes[task]
        if task not in self.passing.state.begun:
            # Of what is under way only the rest is drawn; between two edges it counts whole
            minutes = chances.minutes.get(task, minutes)
        start, finish = timer.latest(limits[0], limits[1], minutes)
        delay = chances.delays.get(task, 0)
        if not isinstance(delay, int) and isinstance(timer.table, SpanTable):
            count = timer.worked(timer.table, start) - delay
            start = timer.table.ended.take(count + 1, mode="clip") - 1
        return start, finish

    def _before_failures(
        self, task: int, table: SlotTable, limits: Sequence[Value], failures: Minutes
    ) -> tuple[Value, Value]:
        """Return the last slot from which a look that fails so often is still in time."""
        assert self.passing.again is not None  # noqa: S101  looks that fail come with it
        again = self.passing.again[task]
        target = np.broadcast_to(np.asarray(Timer.last_slot(table, *limits)), failures.shape)
        number = np.empty(failures.shape, dtype=np.int64)
        for times in np.unique(failures):
            found = failures == times
            slots = again.slots[times * again.count : (times + 1) * again.count]
            number[found] = np.searchsorted(slots, target[found], side="right") - 1
        start = np.where(number < 0, np.int32(-1), table.starts[number])
        return start, np.where(number < 0, np.int32(-1), table.ends[number])

    def _imposed(self, row: Row, start: Value, finish: Value) -> list[tuple[int, Value]]:
        """Return the nodes a task waits for with the limits that its own put on them."""
        found = [(node, start) for node in row.starts if self._counts(node >> 1)]
        found += [(node, finish) for node in row.finishes if self._counts(node >> 1)]
        for gap in row.gaps:
            if self._counts(gap.there >> 1):
                limit = finish if gap.here else start
                if gap.elapsed:
                    found.append((gap.there, moved(limit, -gap.minutes)))
                else:
                    timer = self.passing.gap_timer
                    found.append((gap.there, timer.before_gap(limit, gap.minutes)))
        return found

    def _counts(self, task: int) -> bool:
        """Say whether a task lies behind the trip and is still to be done; its own steps always."""
        open_behind = task in self.downstream and task not in self.passing.state.finished
        return task in self.own or open_behind

    def _arrival(self, node: int, limit: Value) -> Value:
        """Return the latest arrival with which a step of the trip itself is by the limit."""
        task, trip, minutes = node >> 1, self.trip, self.passing.network.minutes
        if task == trip.release or (task == trip.keep_out and node & 1):
            limit = moved(limit, -minutes[trip.keep_out])
        if task in (trip.release, trip.keep_out):
            task, node = trip.clean_up, 2 * trip.clean_up + 1
        worked = self._worked[task] + (minutes[task] if node & 1 else 0)
        if not worked:
            return limit
        return self.passing.timer(trip.set_up).latest(BEYOND, limit, worked)[0]

    @cached_property
    def _worked(self) -> dict[int, int]:
        """The working minutes of the trip before each of its steps up to leaving."""
        worked: dict[int, int] = {}
        total = 0
        for task in (
            self.trip.arrival,
            self.trip.set_up,
            *self.trip.sprays.values(),
            self.trip.clean_up,
        ):
            worked[task] = total
            total += self.passing.network.minutes[task]
        return worked
