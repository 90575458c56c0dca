"""Drops usual waits that the foam on one surface has no room for.

A trunk that is hung after an early trip can't hold up the boxes and cables that belong behind the
foam of that very surface, whatever the usual order of the trades is. What people wrote is never
dropped: it is told as a circle.

Invariant: afterwards no chain of usual waits and crews leads from work after the foam on a surface
to work before it there.
"""

from __future__ import annotations

from itertools import chain
from typing import TYPE_CHECKING

from readiness.facts.vocabulary import Order
from readiness.site.stays import Dropped

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from readiness.site.drawing import Drawing


def drop_waits_through_foam(drawing: Drawing, crews: int) -> None:
    """Drop them, each with its reason.

    Args:
        drawing: Holds stays and their usual waits, and nothing else yet.
        crews: How many links, the first ones, chain the parts of one crew.
    """
    after, before = _sides(drawing)
    links = drawing.links
    next_part = _neighbours((link.source, link.target) for link in links[:crews])
    into = _neighbours((link.target, link.source) for link in links)
    usual = _neighbours((links[number].source, number) for number in range(crews, len(links)))
    gone: set[int] = set()
    for surface in sorted(after.keys() & before.keys()):
        leading = _reached(before[surface], into)
        leaving = (usual.get(task, ()) for task in _reached(after[surface], next_part))
        for number in sorted({*chain.from_iterable(leaving)} - gone):
            link = links[number]
            if link.target not in leading:
                continue
            gone.add(number)
            earlier, later = (drawing.tasks[end].stay for end in (link.source, link.target))
            reason = f"{earlier} follows the foam on {surface}, and {later} leads up to it"
            drawing.dropped[Dropped(later, earlier, reason)] = None
    if gone:
        links[:] = [link for number, link in enumerate(links) if number not in gone]


def _sides(drawing: Drawing) -> tuple[dict[str, list[int]], dict[str, list[int]]]:
    """Return the tasks after and before the foam of each surface."""
    after: dict[str, list[int]] = {}
    before: dict[str, list[int]] = {}
    for task, orders in drawing.orders.items():
        for surface, order in orders.items():
            side = before if order is Order.BEFORE else after
            side.setdefault(surface, []).append(task)
    return after, before


def _neighbours(pairs: Iterable[tuple[int, int]]) -> dict[int, list[int]]:
    found: dict[int, list[int]] = {}
    for one, other in pairs:
        found.setdefault(one, []).append(other)
    return found


def _reached(tasks: Iterable[int], neighbours: Mapping[int, list[int]]) -> set[int]:
    """Return the tasks and everything that lies beyond them."""
    found = set(tasks)
    waiting = list(found)
    while waiting:
        for other in neighbours.get(waiting.pop(), ()):
            if other not in found:
                found.add(other)
                waiting.append(other)
    return found
