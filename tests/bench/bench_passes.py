"""Both passes with floats and drivers against the graph library's longest path, in one run.

Nine calendars, all four kinds of link, one gap in ten in working time, order cached. The limits
are those that the project set itself; a machine that is busy slows both sides alike.
"""

from __future__ import annotations

import random
import statistics
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache

import networkx as nx
import pytest

from readiness.schedule.backward import Targets, backward
from readiness.schedule.chains import all_drivers
from readiness.schedule.floats import floats
from readiness.schedule.forward import forward
from readiness.schedule.network import compiled, neighbours
from readiness.schedule.state import State
from tests.bench.ratio import Ratio, compare, delayed, elapsed_ms, fails_when_delayed
from tests.schedule.builders import MONDAY, nine_calendars, random_links, random_tasks

LIMIT = 2.5
"""Times the longest path, and times the cost per task of the small network."""

SIZES = (1_000, 10_000, 100_000)


@dataclass(frozen=True)
class Pair:
    """The computation and what it is measured against, over the same tasks and links."""

    passes: Callable[[], object]
    longest_path: Callable[[], object]


@cache
def pair(count: int) -> Pair:
    """Return both computations for a random network of so many tasks."""
    chooser = random.Random(2026)
    calendars = nine_calendars(80)
    tasks = random_tasks(count, len(calendars), chooser)
    links = random_links(count, 3, chooser)
    network = compiled(tasks, links, 0)
    state = State(as_of=MONDAY + 600, held_by_as_of=frozenset(range(count)))
    graph = nx.DiGraph()
    graph.add_nodes_from(range(count))
    for link in links:
        graph.add_edge(link.source, link.target, weight=tasks[link.source].minutes)
    ends = [row.task for row in network.outgoing if not neighbours(row)]

    def passes() -> object:
        forecast = forward(network, calendars, state)
        limit = max(forecast.finish)
        late = backward(network, calendars, Targets(finish=dict.fromkeys(ends, limit)))
        return (
            floats(network, calendars, forecast, late, state),
            all_drivers(network, calendars, forecast, state),
        )

    return Pair(passes, lambda: nx.dag_longest_path(graph))


@pytest.mark.parametrize("count", SIZES)
def test_passes_cost_at_most_so_many_longest_paths(count: int) -> None:
    both = pair(count)
    turns = 15 if count < 100_000 else 5
    compare(
        f"passes, {count} tasks", both.passes, both.longest_path, limit=LIMIT, turns=turns
    ).check()


def per_task(large: int, large_passes: Callable[[], object], *, turns: int) -> Ratio:
    """Return how much more a task of a large network costs than one of the smallest.

    Both take turns; the small network is timed often in each, so that a turn of either is long.
    """
    small, repeats = SIZES[0], 20
    small_passes = pair(small).passes

    def small_often() -> None:
        for _ in range(repeats):
            small_passes()

    result = compare(
        f"a task of {large} against one of {small}",
        large_passes,
        small_often,
        limit=LIMIT,
        turns=turns,
    )
    return replace(result, ratio=result.ratio * small * repeats / large)


def test_a_task_of_a_large_network_costs_little_more_than_one_of_a_small_one() -> None:
    per_task(SIZES[-1], pair(SIZES[-1]).passes, turns=7).check()


def test_this_bench_fails_when_the_passes_are_slow() -> None:
    both = pair(SIZES[0])
    fails_when_delayed("passes, delayed", both.passes, both.longest_path, limit=LIMIT)


def test_the_bench_of_growth_fails_when_large_networks_are_slow() -> None:
    """Slow by what one task of the small network costs, times the limit and a little."""
    count = SIZES[1]
    small_ms = statistics.median(elapsed_ms(pair(SIZES[0]).passes) for _ in range(5)) / SIZES[0]
    slow = delayed(pair(count).passes, 1.3 * LIMIT * small_ms * count)
    with pytest.raises(AssertionError, match="ratio"):
        per_task(count, slow, turns=3).check()
