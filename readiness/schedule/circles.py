"""The shortest way round among tasks that wait for each other, for the message that names it.

Invariant: each task of the chain waits for the one before it through the link told beside it, the
first for the last, and no shorter circle exists in the group.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from readiness.site.task import Link


class Circle(NamedTuple):
    """A closed chain of waiting tasks, told from its smallest task on."""

    tasks: tuple[int, ...]
    links: tuple[int, ...]
    """`links[k]` is the number of the link from `tasks[k]` to the next task of the chain."""


def shortest_circle(group: Sequence[int], links: Sequence[Link]) -> Circle:
    """Return a shortest closed chain within a strongly connected group of tasks.

    Among several it is the one with the smallest task, so that a message stays the same.

    Raises:
        ValueError: No chain closes within the group.
    """
    following = _following(group, links)
    best: list[tuple[int, int]] | None = None
    for first in sorted(group):
        found = _round_from(first, following, len(best) if best is not None else len(group) + 1)
        if found is not None:
            best = found
    if best is None:
        message = "the tasks do not wait for each other"
        raise ValueError(message)
    return Circle(tuple(task for task, _ in best), tuple(number for _, number in best))


def _following(group: Sequence[int], links: Sequence[Link]) -> dict[int, dict[int, int]]:
    """Return, for each task of the group, its followers in it with the first link to each."""
    members = frozenset(group)
    following: dict[int, dict[int, int]] = {task: {} for task in sorted(group)}
    for number, link in enumerate(links):
        if link.source in members and link.target in members:
            following[link.source].setdefault(link.target, number)
    return {task: dict(sorted(ways.items())) for task, ways in following.items()}


def _round_from(
    first: int, following: dict[int, dict[int, int]], shorter_than: int
) -> list[tuple[int, int]] | None:
    """Return a shortest chain from a task back to itself, if it is short enough.

    Each entry is a task with the link that leaves it.
    """
    came_from: dict[int, int] = {}
    layer = [first]
    for _ in range(shorter_than - 1):
        next_layer: list[int] = []
        for task in layer:
            if first in following[task]:
                return _told(first, task, came_from, following)
            for follower in following[task]:
                if follower not in came_from:
                    came_from[follower] = task
                    next_layer.append(follower)
        layer = next_layer
    return None


def _told(
    first: int, last: int, came_from: dict[int, int], following: dict[int, dict[int, int]]
) -> list[tuple[int, int]]:
    """Return the chain that ends with `last`, in the order of waiting."""
    chain = [(last, following[last][first])]
    task = last
    while task != first:
        earlier = came_from[task]
        chain.append((earlier, following[earlier][task]))
        task = earlier
    return chain[::-1]
