"""The ways to make a day work, as entries: what is done, what it costs, whom to tell.

Invariant: what has no price is named, and a caution stands with the way that needs it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.pages.check_text import told_who
from readiness.pages.ways_text import share_told
from readiness.screens.entries_pane import EntriesPane
from readiness.screens.lines import Entry, Line

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.questions.ways import WayLine, WaysAnswer

_INSIDE = 4
WAY = "way "
"""Ids of ways begin so, the number behind it."""


def ways_entries(answer: WaysAnswer) -> list[Entry]:
    """Return the ways, or what stands against the day, as entries."""
    found = [_heading("asked", Line(answer.sentence, is_strong=True))]
    found += (Entry(f"{WAY}{way.number}", tuple(_way(way, answer.units))) for way in answer.ways)
    if not answer.ways:
        lead = f"No set of the {answer.offered} changes gets past all of this"
        if len(answer.proof) > 1:
            found.append(_heading("proof", Line(lead, is_strong=True)))
        told = answer.in_short or answer.proof
        found += (
            Entry(f"against {number}", (Line(f"{number}. {against}", indent=2),))
            for number, against in enumerate(told, 1)
        )
    found += (_heading(f"note {number}", Line(note)) for number, note in enumerate(answer.notes))
    return found


def way_of_entry(id_: str, answer: WaysAnswer) -> WayLine | None:
    """Return the way of an entry; None if it is about something else."""
    return next((way for way in answer.ways if id_ == f"{WAY}{way.number}"), None)


def _way(way: WayLine, units: str) -> Iterable[Line]:
    yield Line(f"{way.number}. {way.does}", is_strong=True)
    yield Line(way.costs, indent=_INSIDE)
    if way.share is not None:
        yield Line(share_told(way, units), indent=_INSIDE)
    if way.people:
        people = ", ".join(told_who(who) for who in way.people)
        yield Line(f"tell: {people}", indent=_INSIDE)
    if way.brings:
        yield Line(f"brings: {'; '.join(way.brings)}", indent=_INSIDE)
    for caution in way.cautions:
        yield Line(f"Caution: {caution}", indent=_INSIDE)


def _heading(id_: str, *lines: Line) -> Entry:
    return Entry(f"{EntriesPane.HEADING}{id_}", lines)
