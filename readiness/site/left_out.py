"""What the gun leaves out on purpose and somebody comes back to: the board waits for it.

Invariant: whatever is left out with something to follow has exactly one requirement on its surface,
and nothing else of it holds anything up.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.facts.vocabulary import LEFT_OUT
from readiness.job.origin import Origin
from readiness.job.places import surfaces_of
from readiness.site.requirements import demands_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from readiness.site.drawing import Drawing
    from readiness.site.requirements import RequirementDrawer
    from readiness.site.site import Thing, TripTasks


def left_to(drawing: Drawing, trips: Mapping[str, TripTasks]) -> dict[str, str]:
    """Return the trip that asks for it, by surface that is left out with something to follow.

    A trip that leaves out all its surfaces is none; then the first one asks.
    """
    first = next(iter(trips), "")
    return {
        surface: name if name in trips else first
        for name, row in drawing.job.trips.items()
        if row.follow_ups
        for surface in surfaces_of(tuple(row.follow_ups), drawing.job)
        if surface in surfaces_of(row.reserved, drawing.job)
    }


def draw_left_out(drawer: RequirementDrawer, left: Iterable[str], things: Iterable[Thing]) -> None:
    """Add what follows on each surface of which something is left out.

    Args:
        drawer: Collects them.
        left: Surfaces that are left out as a whole.
        things: The things in the way; the bays behind some are left out.
    """
    kind = drawer.drawing.facts.requirements.get(LEFT_OUT)
    change = drawer.drawing.job.requirements.get(LEFT_OUT)
    if kind is None or change is False:
        return
    told: dict[str, list[str]] = {}
    for surface, words in (*_whole(drawer.drawing, frozenset(left)), *_bays(things)):
        told.setdefault(surface, []).append(words)
    for surface, follows in told.items():
        drawer.add(
            code=LEFT_OUT,
            title=f"{kind.title} ({'; '.join(dict.fromkeys(follows))})",
            place=surface,
            surfaces=(surface,),
            category=kind.category,
            task=None,
            clears=kind.clears,
            demands=demands_of(kind, change or None),
            why=kind.why,
            origin=Origin("requirements", row=LEFT_OUT, status=kind.status, citation=kind.source),
            takes=kind.takes,
            question=kind.question,
            kind=kind,
            change=change or None,
        )


def _whole(drawing: Drawing, left: frozenset[str]) -> Iterator[tuple[str, str]]:
    for row in drawing.job.trips.values():
        for place, words in row.follow_ups.items():
            for surface in surfaces_of((place,), drawing.job):
                if surface in left:
                    yield surface, words


def _bays(things: Iterable[Thing]) -> Iterator[tuple[str, str]]:
    for thing in things:
        for surface in thing.bays:
            yield surface, f"behind {thing.title}: {thing.follow_up}"
