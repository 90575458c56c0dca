"""Readings of one surface while they are typed, number after number, as plain values.

What is typed is read by the same rule as a line for `note`, as soon as it stands there.
Invariant: nothing that was typed goes away but by the key that takes it away, and every change
gives a new value of the same kind.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from readiness.exchange.note_listener import NoteRefused
from readiness.exchange.note_site_forms import depth_read
from readiness.job.quantities import Length

EDGE = "e"
"""Behind a reading: it is at the perimeter."""
SIGNS = "0123456789.,"
MOST_SIGNS = 5
"""Of one reading, its mark not counted."""


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading as it was typed."""

    text: str
    value: Length | None
    """None if it is wrong, or not yet whole."""
    is_edge: bool
    wrong: str
    """Why it is no depth; empty if it is one."""


@dataclass(frozen=True, slots=True)
class Typed:
    """What is typed for one surface, and which reading is being typed."""

    cells: tuple[str, ...] = ("",)
    """The last one is always empty, or being typed."""
    at: int = 0
    is_fresh: bool = True
    """The next number takes the place of what stands there."""

    @property
    def count(self) -> int:
        """Return how many readings there are, wrong ones too."""
        return sum(1 for cell in self.cells if cell)

    @property
    def words(self) -> tuple[str, ...]:
        """Return the readings as a line for the diary says them."""
        return tuple(cell for cell in self.cells if cell)

    def put(self, sign: str) -> Typed:
        """Type one sign into the reading under the cursor, or mark it as at the perimeter."""
        cell = self.cells[self.at]
        if sign == EDGE:
            if not cell:
                return self
            is_edge = cell.endswith(EDGE)
            return self._with(cell.removesuffix(EDGE) if is_edge else cell + EDGE)
        edge = EDGE if cell.endswith(EDGE) and not self.is_fresh else ""
        before = "" if self.is_fresh else cell.removesuffix(EDGE)
        if len(before) >= MOST_SIGNS:
            return self
        return self._with(before + sign + edge)

    def _with(self, cell: str) -> Typed:
        cells = (*self.cells[: self.at], cell, *self.cells[self.at + 1 :])
        return replace(self, cells=cells, is_fresh=False)

    def following(self) -> Typed:
        """Go on to the next reading; an empty one is not left behind."""
        if not self.cells[self.at]:
            return self
        cells = self.cells if self.at < len(self.cells) - 1 else (*self.cells, "")
        return Typed(cells, self.at + 1)

    def taken_back(self) -> Typed:
        """Take the last sign back; in an empty reading, go back to the one before."""
        cell = self.cells[self.at]
        if cell:
            return replace(self._with(cell[:-1]), is_fresh=False)
        return replace(self.moved(-1), is_fresh=False) if self.at else self

    def taken_out(self) -> Typed:
        """Take the reading under the cursor out."""
        if self.at == len(self.cells) - 1:
            return replace(self, cells=(*self.cells[:-1], ""), is_fresh=True)
        return Typed((*self.cells[: self.at], *self.cells[self.at + 1 :]), self.at)

    def moved(self, by: int) -> Typed:
        """Go so many readings on or back; the end is the one after the last."""
        return self.gone(self.at + by)

    def gone(self, to: int) -> Typed:
        """Go to a reading; what was emptied on the way closes up."""
        filled = [(number, cell) for number, cell in enumerate(self.cells) if cell]
        at = sum(1 for number, _ in filled if number < to)
        return Typed((*(cell for _, cell in filled), ""), at)


def readings(typed: Typed, units: str) -> tuple[Reading, ...]:
    """Return every reading as it is read, the one that is being typed too."""
    return tuple(_read(cell, units) for cell in typed.cells if cell)


def _read(cell: str, units: str) -> Reading:
    is_edge = cell.endswith(EDGE)
    try:
        value, is_edge = depth_read(cell, units)
    except NoteRefused as refused:
        return Reading(cell, None, is_edge, refused.what)
    return Reading(cell, Length.parse(value), is_edge, "")


def wrong_of(typed: Typed, units: str) -> dict[int, str]:
    """Return why readings are no depth, by their place; one that is half typed is not wrong yet."""
    found = {}
    for place, cell in enumerate(typed.cells):
        if not cell:
            continue
        half = place == typed.at and not typed.is_fresh and cell[-1] in ".,"
        wrong = _read(cell, units).wrong
        if wrong and not half:
            found[place] = wrong
    return found
