"""Lengths of networks against published critical paths and against the graph library.

The lag networks of the same benchmark family (minimum and maximum lags, RCPSP/max) are left out:
they have negative lags and circles, and this project refuses both on purpose.
"""

from __future__ import annotations

import os
import random
import re
import tarfile
from collections.abc import Iterator
from pathlib import Path

import networkx as nx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from readiness.schedule.forward import forward
from readiness.schedule.network import compiled
from readiness.schedule.state import State
from readiness.site.task import Link, LinkKind, Task
from tests.schedule.builders import link, random_links, task

SETS = ("j30", "j60", "j120")


def length_of(tasks: list[Task], links: list[Link]) -> int:
    """Return the length of a network that starts at 0 and runs on the clock."""
    state = State(bookings=dict.fromkeys(range(len(tasks)), 0))
    return max(forward(compiled(tasks, links, None), [], state).finish)


def instances(name: str) -> Iterator[tuple[str, str]]:
    """Give the files of one set as they lie in the archive."""
    folder = os.environ.get("READINESS_BENCH_DATA")
    if not folder:
        pytest.skip("READINESS_BENCH_DATA is not set: it names the folder with j30.tar.xz etc.")
    archive = Path(folder) / f"{name}.tar.xz"
    if not archive.is_file():
        pytest.skip(f"{archive.name} is not in the folder that READINESS_BENCH_DATA names")
    with tarfile.open(archive) as bundle:
        for member in bundle:
            content = bundle.extractfile(member) if member.name.endswith(".sm") else None
            if content is not None:
                yield member.name, content.read().decode("ascii")


def parsed(text: str) -> tuple[list[Task], list[Link], int]:
    """Return the tasks, links and published critical path length of one file."""
    rows: dict[str, list[list[int]]] = {}
    heading = ""
    for line in text.splitlines():
        if line.endswith(":"):
            heading = line
        elif re.match(r"\s*\d+\s+\d+", line):
            rows.setdefault(heading, []).append([int(word) for word in line.split()])
    [[*_, published]] = [row for row in rows["PROJECT INFORMATION:"] if row]
    durations = [row[2] for row in rows["REQUESTS/DURATIONS:"]]
    links = [
        link(row[0] - 1, successor - 1)
        for row in rows["PRECEDENCE RELATIONS:"]
        for successor in row[3:]
    ]
    return [task(index, minutes) for index, minutes in enumerate(durations)], links, published


@pytest.mark.parametrize("name", SETS)
def test_critical_paths_of_benchmark_networks_are_those_published(name: str) -> None:
    """Source: PSPLIB (Kolisch & Sprecher 1996); each file states its length as MPM-Time."""
    wrong, count = [], 0
    for file, text in instances(name):
        tasks, links, published = parsed(text)
        count += 1
        if length_of(tasks, links) != published:
            wrong.append(file)
    assert wrong == []
    assert count >= 48


@given(st.integers(2, 60), st.integers(0, 4), st.randoms(use_true_random=False))
def test_random_networks_are_as_long_as_the_longest_path(
    count: int, per_task: int, chooser: random.Random
) -> None:
    """Source: networkx.dag_longest_path, over the same network as a graph."""
    tasks = [task(index, chooser.randrange(0, 50)) for index in range(count)]
    links = random_links(count, per_task, chooser, gaps=0.3)
    graph = nx.DiGraph()
    for one in tasks:
        graph.add_edge("begin", one.index, weight=0)
        graph.add_edge(one.index, "end", weight=one.minutes)
    for wait in links:
        weight = start_to_start(wait, tasks)
        if graph.has_edge(wait.source, wait.target):
            weight = max(weight, graph[wait.source][wait.target]["weight"])
        graph.add_edge(wait.source, wait.target, weight=weight)
    assert length_of(tasks, links) == nx.dag_longest_path_length(graph)


def start_to_start(wait: Link, tasks: list[Task]) -> int:
    """Return a link as the least time between the two starts, which may be negative."""
    before, after = tasks[wait.source].minutes, tasks[wait.target].minutes
    least = {
        LinkKind.END_TO_START: before,
        LinkKind.START_TO_START: 0,
        LinkKind.END_TO_END: before - after,
        LinkKind.START_TO_END: -after,
    }
    return wait.gap_minutes + least[wait.kind]
