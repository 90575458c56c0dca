"""The network as a graph of the graph library, for what needs more than an order.

The library lives here and only here. It finds the groups of tasks that wait for each other, leaves
out the waits that follow from others, and says what hangs on what through any chain. The passes
need none of that; so neither they nor a `check` import it.

Invariant: a step waits for another through some chain exactly when one of its tasks does.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import networkx as nx

from readiness.schedule.circles import Circle, shortest_circle
from readiness.site.task import Link


@dataclass(frozen=True, slots=True)
class Step:
    """Everything of one stay, look or trip, or of several that take turns with each other."""

    members: tuple[str, ...]
    """Ids of the stays; more than one where parts of each wait for parts of the other."""
    stage: int
    """How many steps stand one after another before it, at most."""
    waits_for: tuple[int, ...]
    """The steps it waits for directly; those that others of them wait for are left out."""
    holds_up: tuple[int, ...]
    """The steps that wait for it directly."""
    behind: frozenset[int]
    """All steps that wait for it through any chain."""


def circles(tasks: int, links: Sequence[Link]) -> tuple[Circle, ...]:
    """Return, for each group of tasks that wait for each other, one shortest chain.

    The chains come in the order of their smallest task; no circle gives an empty answer.

    Args:
        tasks: How many tasks there are.
        links: Their links.
    """
    graph = nx.DiGraph()
    graph.add_nodes_from(range(tasks))
    graph.add_edges_from((link.source, link.target) for link in links)
    found = [
        shortest_circle(sorted(group), links)
        for group in nx.strongly_connected_components(graph)
        if len(group) > 1 or any(graph.has_edge(task, task) for task in group)
    ]
    return tuple(sorted(found, key=lambda circle: circle.tasks))


def steps_of(stay_of: Sequence[str], links: Sequence[Link], left_out: frozenset[int]) -> list[Step]:
    """Return the steps of a network in an order in which each comes after those it waits for.

    Args:
        stay_of: The stay of each task.
        links: The links between tasks.
        left_out: Tasks that count no more, with their links.
    """
    graph = nx.MultiDiGraph()
    graph.add_nodes_from(
        sorted({stay for task, stay in enumerate(stay_of) if task not in left_out})
    )
    for number, link in enumerate(links):
        ends = stay_of[link.source], stay_of[link.target]
        if link.source not in left_out and link.target not in left_out and ends[0] != ends[1]:
            graph.add_edge(*ends, key=number)
    together = nx.condensation(nx.DiGraph(graph))
    members = {node: tuple(sorted(together.nodes[node]["members"])) for node in together}
    direct = nx.transitive_reduction(together)
    stages = list(nx.topological_generations(direct))
    order = [node for stage in stages for node in sorted(stage, key=members.__getitem__)]
    place = {node: number for number, node in enumerate(order)}
    stage_of = {node: number for number, stage in enumerate(stages) for node in stage}
    return [
        Step(
            members=members[node],
            stage=stage_of[node],
            waits_for=tuple(sorted(place[other] for other in direct.predecessors(node))),
            holds_up=tuple(sorted(place[other] for other in direct.successors(node))),
            behind=frozenset(place[other] for other in nx.descendants(direct, node)),
        )
        for node in order
    ]
