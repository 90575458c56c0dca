"""The forward pass for a block of trials: the ordinary one with an array where it has a number.

A look that fails is corrected by its trade, asked for anew and seen in the next slot: the first
one that neither the correction nor the office's notice, from the end of the failed look, forbids.

Invariant: every trial gives what the ordinary forecast gives for that trial's lengths; without
spread all of them are the forecast itself, to the minute.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from readiness.job.instants import EARLIER, is_dated
from readiness.planning.trials_steps import BEFORE, Timer, Value, later, moved
from readiness.planning.trials_tables import BEYOND, SlotTable
from readiness.schedule.calendar import CLOCK
from readiness.schedule.forward import calendar_at, without_starts_of_starts

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping, Sequence

    from readiness.planning.trials_tables import Minutes, Tables
    from readiness.schedule.calendar import Calendar
    from readiness.schedule.network import Network, Row
    from readiness.schedule.notice import Asking
    from readiness.schedule.state import State


MOST_FAILURES = 3
"""A look that has failed so often is taken to pass: the tail says nothing any more."""


@dataclass(frozen=True, slots=True)
class Again:
    """What becomes of a look that fails: the slot of the next one, by the slot that failed."""

    slots: Minutes
    """Number of the slot after n failures of the slot k at `n * count + k`."""
    count: int
    """Slots, the one past the last included."""


@dataclass(frozen=True, slots=True)
class Office:
    """What a look needs after it has failed."""

    asking: Asking
    corrects: Calendar
    """The working time of whoever corrects it."""
    correction_minutes: int


def again_of(office: Office, table: SlotTable, low: int) -> Again:
    """Return by slot and number of failures the slot of the look that passes."""
    count = len(table.starts)
    after = np.full(count, count - 1, dtype=np.int32)
    for number, end in enumerate(table.ends[:-1].tolist()):
        since = end + low
        notice = office.asking.earliest(since)
        corrected = office.corrects.earliest(since, EARLIER, office.correction_minutes)[1]
        soonest = max(notice, corrected, since)
        if is_dated(soonest) and soonest - low < len(table.from_start):
            after[number] = table.from_start[soonest - low]
    rounds = [np.arange(count, dtype=np.int32)]
    for _ in range(MOST_FAILURES):
        rounds.append(after[rounds[-1]])
    assert table.starts[-1] == BEYOND  # noqa: S101  past the last slot there is no date
    return Again(np.concatenate(rounds), count)


@dataclass(frozen=True, slots=True)
class Chances:
    """The draws of one block as the pass takes them."""

    minutes: Mapping[int, Minutes]
    delays: Mapping[int, Value]
    """Working minutes that pass before a task starts."""
    failures: Mapping[int, Minutes]
    """How often a look fails."""


@dataclass(frozen=True)
class Passing:
    """A network with its tables, ready for any block of trials."""

    network: Network
    calendars: Sequence[Calendar]
    state: State
    tables: Tables
    within: Collection[int] | None = None
    """The only tasks to time; None means all."""
    again: Mapping[int, Again] | None = None
    """By look that may fail."""

    @cached_property
    def timers(self) -> dict[int | None, Timer]:
        """The calendars by index, each with its table."""
        low = self.tables.low
        found: dict[int | None, Timer] = {None: Timer(CLOCK, None, low)}
        for index, table in enumerate(self.tables.of):
            found[index] = Timer(calendar_at(self.calendars, index), table, low)
        return found

    @cached_property
    def gap_timer(self) -> Timer:
        """The job's calendar, on which working gaps count."""
        calendar = calendar_at(self.calendars, self.network.gap_calendar)
        return Timer(calendar, self.tables.gaps, self.tables.low)

    @cached_property
    def rows(self) -> tuple[Row, ...]:
        """The rows to go through, each after those it waits for."""
        if self.within is None:
            return self.network.incoming
        wanted = frozenset(self.within)
        return tuple(row for row in self.network.incoming if row.task in wanted)

    @cached_property
    def limits(self) -> list[int]:
        """The lower limit of every start, counted in the minutes of the trials."""
        count = len(self.network.ids)
        return [self.inside(instant) for instant in self.state.not_before(count)]

    def inside(self, instant: int) -> int:
        """Return the plain number by which the trials know an instant."""
        return min(max(instant - self.tables.low, BEFORE), BEYOND)

    def timer(self, task: int) -> Timer:
        """Return the calendar of a task."""
        return self.timers[self.network.calendar[task]]

    def forward(self, chances: Chances) -> list[Value]:
        """Return start and finish of every task in turn, as the ordinary pass numbers them."""
        nodes: list[Value] = [BEFORE] * (2 * len(self.network.ids))
        state = self.state
        noted = state.begun.keys() | state.finished.keys() | state.never
        for row in self.rows:
            task = row.task
            if task in noted:
                pair = self._noted(row, nodes, chances)
            else:
                limits = self.limits_on(row, nodes, self.limits[task])
                pair = self.timed(task, limits, chances)
            nodes[2 * task], nodes[2 * task + 1] = pair
        return nodes

    def limits_on(self, row: Row, nodes: Sequence[Value], not_before: Value) -> tuple[Value, Value]:
        """Return the largest limits on the start and on the finish of the task of a row."""
        start_limit: Value = not_before
        finish_limit: Value = BEFORE
        for node in row.starts:
            start_limit = later(start_limit, nodes[node])
        for node in row.finishes:
            finish_limit = later(finish_limit, nodes[node])
        for gap in row.gaps:
            imposed = self.after_gap(nodes[gap.there], gap.minutes, elapsed=gap.elapsed)
            if gap.here:
                finish_limit = later(finish_limit, imposed)
            else:
                start_limit = later(start_limit, imposed)
        return start_limit, finish_limit

    def after_gap(self, value: Value, minutes: int, *, elapsed: bool) -> Value:
        """Return what a link imposes from a value, its gap included."""
        if not minutes:
            return value
        return moved(value, minutes) if elapsed else self.gap_timer.after_gap(value, minutes)

    def timed(
        self, task: int, limits: tuple[Value, Value], chances: Chances
    ) -> tuple[Value, Value]:
        """Return start and finish of an open task with its limits."""
        timer = self.timer(task)
        failures = chances.failures.get(task)
        if failures is not None and isinstance(timer.table, SlotTable):
            return self._looked_at_again(task, timer.table, limits, failures)
        minutes = chances.minutes.get(task, self.network.minutes[task])
        return timer.earliest(*limits, minutes, chances.delays.get(task, 0))

    def _looked_at_again(
        self, task: int, table: SlotTable, limits: tuple[Value, Value], failures: Minutes
    ) -> tuple[Value, Value]:
        if any(isinstance(limit, int) and limit >= BEYOND for limit in limits):
            return BEYOND, BEYOND
        assert self.again is not None  # noqa: S101  looks that fail come with it
        again = self.again[task]
        first = Timer.slot(table, *limits)
        number = again.slots.take(failures * np.int32(again.count) + first, mode="clip")
        return table.starts[number], table.ends[number]

    def _noted(self, row: Row, nodes: Sequence[Value], chances: Chances) -> tuple[Value, Value]:
        """Return start and finish of a task of which something was seen, or without a date."""
        task, state = row.task, self.state
        if task in state.finished:
            done = state.finished[task]
            return self.inside(done.start), self.inside(done.finish)
        if task in state.never:
            return BEYOND, BEYOND
        begun = state.begun[task]
        limits = self.limits_on(without_starts_of_starts(row), nodes, self.inside(EARLIER))
        minutes = chances.minutes.get(task, begun.remaining_minutes)
        finish = self.timer(task).resumed(
            limits[0], self.inside(begun.resume_from), limits[1], minutes
        )
        return self.inside(begun.start), finish


def calendars_used(network: Network, tasks: Iterable[int]) -> set[int]:
    """Return the indexes of the calendars on which some tasks run."""
    return {index for task in tasks if (index := network.calendar[task]) is not None}
