"""Ten thousand trials of a thousand items, with calendars and chains, against a bare numpy loop.

The loop it is measured against draws triangular lengths, runs forward and backward over the same
links with one row per task, and counts how often each task has no float; it knows no calendar.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from functools import cache

import numpy as np

from readiness.planning.trials import Subject, Wait, tried
from readiness.planning.trials_drawn import Spread, Stretch, Uncertain
from readiness.schedule.network import compiled, neighbours
from readiness.schedule.state import State
from tests.bench.ratio import compare, fails_when_delayed
from tests.schedule.builders import MONDAY, nine_calendars, random_links, random_tasks

LIMIT = 2.0
"""Times the bare loop, which has neither calendars nor chains."""

ITEMS, TRIALS = 1_000, 10_000


@cache
def subject() -> Subject:
    """Return a random network of a thousand items on nine calendars, each with a spread."""
    chooser = random.Random(2026)
    calendars = nine_calendars(40)
    tasks = random_tasks(ITEMS, len(calendars), chooser)
    links = random_links(ITEMS, 3, chooser)
    network = compiled(tasks, links, 0)
    spreads = tuple(
        Spread(
            each.id,
            (Stretch(each.index, round(each.minutes * 0.8), each.minutes, each.minutes * 3 // 2),),
        )
        for each in tasks
    )
    ends = [row.task for row in network.outgoing if not neighbours(row)]
    return Subject(
        network=network,
        calendars=tuple(calendars),
        state=State(as_of=MONDAY + 600, held_by_as_of=frozenset(range(ITEMS))),
        within=frozenset(range(ITEMS)),
        waits=tuple(Wait(task, 2 * task + 1, 0, False, None) for task in sorted(ends)),  # noqa: FBT003
        uncertain=Uncertain(spreads=spreads),
        group={index: index for index in range(ITEMS)},
        groups=ITEMS,
        offices={},
    )


def bare_loop() -> Callable[[], object]:
    """Return the loop over the same links: draw, forward, backward, share without float."""
    network = subject().network
    order = network.order
    before: list[list[int]] = [[] for _ in order]
    after: list[list[int]] = [[] for _ in order]
    for link in network.links:
        before[link.target].append(link.source)
        after[link.source].append(link.target)

    # Made once: asking for so much memory anew in each turn takes now as long as the loop, now none
    lengths, start, finish, late = (np.empty((ITEMS, TRIALS)) for _ in range(4))

    def loop() -> object:
        source = np.random.default_rng(2026)
        for task, minutes in enumerate(network.minutes):
            lengths[task] = source.triangular(0.8 * minutes, minutes, 1.5 * minutes, TRIALS)
        start.fill(0)
        for task in order:
            for earlier in before[task]:
                np.maximum(start[task], finish[earlier], out=start[task])
            np.add(start[task], lengths[task], out=finish[task])
        late.fill(np.inf)
        end = finish.max(axis=0)
        without_float = np.zeros(ITEMS)
        for task in reversed(order):
            if not after[task]:
                late[task] = end
            for later in after[task]:
                np.minimum(late[task], late[later] - lengths[later], out=late[task])
            without_float[task] = np.mean(late[task] - finish[task] < 1e-9)
        return without_float

    return loop


def trials() -> object:
    """Return the outcome of ten thousand trials."""
    return tried(subject(), TRIALS, 2026)


def test_trials_cost_at_most_so_many_bare_loops() -> None:
    compare("chance, 1000 items", trials, bare_loop(), limit=LIMIT, turns=5).check()


def test_this_bench_fails_when_the_trials_are_slow() -> None:
    fails_when_delayed("chance, delayed", trials, bare_loop(), limit=LIMIT)
