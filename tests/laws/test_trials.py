"""A trial follows the rules of the ordinary forecast, and so does the chain it tells.

Random networks with all four kinds of link, gaps of both kinds, nine calendars, an office's slots,
calendars with closed stretches, work under way, finished and undated; drawn lengths trial by trial.
The referee is the ordinary pass run once for each trial.
"""

from __future__ import annotations

import random
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest

from readiness.job.instants import EARLIER, NEVER, is_dated
from readiness.planning.trials_chains import Chains
from readiness.planning.trials_pass import Chances, Passing, calendars_used
from readiness.planning.trials_steps import Timer, Value
from readiness.planning.trials_tables import tables_of
from readiness.schedule.chains import chain
from readiness.schedule.forward import calendar_at, forward
from readiness.schedule.network import compiled
from readiness.schedule.slots import Slots
from readiness.schedule.state import Begun, Finished, State
from readiness.site.task import Link
from tests.schedule.builders import DAY, MONDAY, nine_calendars, random_links, task

if TYPE_CHECKING:
    from readiness.planning.trials_tables import Minutes
    from readiness.schedule.calendar import Calendar
    from readiness.schedule.network import Network

TRIALS = 12
SLOTS = 9
"""Index of the office's slots, behind the nine calendars of trades."""
CLOSED = 10
"""Index of a calendar with closed stretches."""


def calendars(chooser: random.Random) -> list[Calendar]:
    """Return nine calendars of trades, an office's slots and a trade that is shut out for days."""
    trades = nine_calendars(16)

    def slots(low: int, high: int) -> list[tuple[int, int]]:
        first = (low - MONDAY) // DAY - 1
        last = (high - MONDAY) // DAY + 1
        found = [
            (MONDAY + day * DAY + opened, MONDAY + day * DAY + opened + 180)
            for day in range(first, last)
            if day % 7 in {0, 1, 3}
            for opened in (9 * 60, 13 * 60)
        ]
        return [slot for slot in found if low <= slot[0] < high]

    shut = MONDAY + chooser.randrange(1, 20) * DAY + 7 * 60
    closed = trades[0].without([(shut, shut + 50 * 60)])
    return [*trades, Slots(slots, MONDAY - 7 * DAY, MONDAY + 112 * DAY), closed]


class Random:
    """One random network with what was seen, and some drawn lengths."""

    def __init__(self, seed: int, *, count: int = 40) -> None:
        """Draw everything from one seed."""
        chooser = random.Random(seed)
        self.calendars = calendars(chooser)
        kinds: list[int | None] = [*range(11), None, None]
        tasks = []
        for index in range(count):
            kind = chooser.choice(kinds)
            length = 0 if chooser.random() < 0.15 else chooser.randrange(1, 1_500)
            tasks.append(task(index, 1 if kind == SLOTS else length, kind))
        links: list[Link] = [
            each._replace(gap_elapsed=bool(each.gap_minutes) and chooser.random() < 0.4)
            for each in random_links(count, 2, chooser, gaps=0.3)
        ]
        self.network = compiled(tasks, links, 0)
        self.state = self._state(chooser, count)
        self.lengths: dict[int, Minutes] = {
            each.index: np.array(
                [max(1, round(each.minutes * chooser.uniform(0.4, 2.5))) for _ in range(TRIALS)],
                dtype=np.int32,
            )
            for each in tasks
            if each.calendar != SLOTS and each.minutes and chooser.random() < 0.7
        }
        for index, begun in self.state.begun.items():
            if index in self.lengths:
                self.lengths[index] = np.array(
                    [
                        max(1, round(begun.remaining_minutes * chooser.uniform(0.4, 2.5)))
                        for _ in range(TRIALS)
                    ],
                    dtype=np.int32,
                )

    def _state(self, chooser: random.Random, count: int) -> State:
        as_of = MONDAY + chooser.randrange(0, 5 * DAY)
        order = self.network.order
        finished = {
            index: Finished(as_of - 3_000, as_of - chooser.randrange(1, 2_000))
            for index in order[:6]
            if chooser.random() < 0.5
        }
        begun = {
            index: Begun(as_of - 400, as_of, chooser.randrange(1, 900))
            for index in order
            if index not in finished
            and chooser.random() < 0.25
            and self.network.calendar[index] != SLOTS
        }
        rest = [index for index in range(count) if index not in finished and index not in begun]
        never = frozenset(index for index in rest if chooser.random() < 0.02)
        open_ones = [index for index in rest if index not in never]
        held = frozenset(index for index in open_ones if chooser.random() < 0.8)
        bookings = {
            index: as_of + chooser.randrange(-DAY, 20 * DAY)
            for index in open_ones
            if chooser.random() < 0.15
        }
        notices = {
            index: as_of + chooser.randrange(0, 9 * DAY)
            for index in open_ones
            if self.network.calendar[index] == SLOTS
        }
        return State(as_of, held, bookings, notices, begun, finished, never)

    def passing(self) -> Passing:
        """Return the network with tables for more than a year."""
        gap_calendar = calendar_at(self.calendars, self.network.gap_calendar)
        used = calendars_used(self.network, range(len(self.network.ids)))
        stretch = (MONDAY - 60 * DAY, MONDAY + 500 * DAY)
        tables = tables_of(tuple(self.calendars), used, gap_calendar, stretch)
        return Passing(self.network, self.calendars, self.state, tables)

    def of_trial(self, trial: int) -> tuple[Network, State]:
        """Return the network and what was seen with the lengths of one trial."""
        minutes = {
            index: int(lengths[trial])
            for index, lengths in self.lengths.items()
            if index not in self.state.begun
        }
        begun = {
            index: each._replace(remaining_minutes=int(self.lengths[index][trial]))
            if index in self.lengths
            else each
            for index, each in self.state.begun.items()
        }
        return self.network.with_minutes(minutes), replace(self.state, begun=begun)


def outside(value: Value, trial: int, low: int) -> int:
    """Return the instant of one trial."""
    plain = value if isinstance(value, int) else int(np.broadcast_to(value, (TRIALS,))[trial])
    return Timer(None, None, low).outside(plain)  # type: ignore[arg-type]


@pytest.mark.parametrize("seed", range(30))
def test_each_trial_is_the_ordinary_forecast_for_its_lengths(seed: int) -> None:
    drawn = Random(seed)
    passing = drawn.passing()
    nodes = passing.forward(Chances(drawn.lengths, {}, {}))
    assert any(not isinstance(node, int) for node in nodes)
    for trial in range(TRIALS):
        network, state = drawn.of_trial(trial)
        expected = forward(network, drawn.calendars, state).nodes
        found = [outside(node, trial, passing.tables.low) for node in nodes]
        assert found == expected


def test_without_spread_nothing_but_plain_numbers_goes_through_the_pass() -> None:
    drawn = Random(7)
    passing = drawn.passing()
    nodes = passing.forward(Chances({}, {}, {}))
    assert all(isinstance(node, int) for node in nodes)
    expected = forward(drawn.network, drawn.calendars, drawn.state).nodes
    assert [outside(node, 0, passing.tables.low) for node in nodes] == expected


def told_chain(drawn: Random, trial: int, end: int) -> set[int]:
    """Return the tasks of the told chain of one trial that are not finished."""
    network, state = drawn.of_trial(trial)
    forecast = forward(network, drawn.calendars, state)
    steps = chain(end, network, drawn.calendars, forecast, state)
    return {step.task for step in steps if step.task not in state.finished}


@pytest.mark.parametrize("seed", range(30))
def test_the_chain_of_each_trial_is_the_told_chain(seed: int) -> None:
    """Counted one trial at a time, so that each group is told in exactly its own trials."""
    drawn = Random(seed)
    passing = drawn.passing()
    chances = Chances(drawn.lengths, {}, {})
    nodes = passing.forward(chances)
    count = len(drawn.network.ids)
    tracer = Chains(passing, {index: index for index in range(count)}, count)
    dated = [
        index
        for index in drawn.network.order
        if index not in drawn.state.finished
        and all(
            is_dated(outside(nodes[2 * index + 1], trial, passing.tables.low))
            for trial in range(TRIALS)
        )
    ]
    for end in dated[-3:]:
        for trial in range(TRIALS):
            counted = tracer.shares(nodes, chances, {end: np.array([trial])}, TRIALS)
            assert set(np.flatnonzero(counted).tolist()) == told_chain(drawn, trial, end)


def test_the_random_networks_hold_what_the_laws_speak_of() -> None:
    """Undated, unlimited, under way, finished: each kind is met in some network."""
    met: set[str] = set()
    for seed in range(30):
        drawn = Random(seed)
        nodes = forward(drawn.network, drawn.calendars, drawn.state).nodes
        met |= {"never"} if NEVER in nodes else set()
        met |= {"earlier"} if EARLIER in nodes else set()
        met |= {"begun"} if drawn.state.begun else set()
        met |= {"finished"} if drawn.state.finished else set()
    assert met == {"never", "earlier", "begun", "finished"}
