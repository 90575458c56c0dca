"""The grid into which depth readings are typed, number after number, with gloves on.

Every letter and digit that is typed while the grid has the keyboard is text or is told to be
wrong; none opens another screen or leaves.
Invariant: the grid owns what is drawn and not what was typed: each change is said to the screen,
which keeps it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from textual.content import Content
from textual.message import Message
from textual.widget import Widget

from readiness.screens.depth_typing import EDGE, SIGNS, Typed, wrong_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from textual.events import Click, Key

CELL_COLUMNS = 7
"""A sign in front, five of the number and its mark."""
LABEL_COLUMNS = 4
MOST_IN_ROW = 10
FEWEST_IN_ROW = 5


class DepthGrid(Widget):
    """Readings in rows of ten, the one that is being typed between brackets."""

    KEEPS_ARROWS = True
    HELP = (
        "Type a reading, then Enter or the space bar, and go on with the next. e behind a number"
        " says that it is at the perimeter. What the readings show so far stands above. The arrow"
        " keys go back to a number: typing there replaces it, Backspace mends it, Delete takes it"
        " out. w shows the line for the diary and what it changes; Esc goes back to the list, and"
        " what is typed stays."
    )
    can_focus = True

    @dataclass
    class Changed(Message):
        """Something else is typed, or another reading is being typed."""

        typed: Typed

    @dataclass
    class Refused(Message):
        """A key that is no part of a depth."""

        says: str

    @dataclass
    class Finished(Message):
        """Somebody wants it written."""

    def __init__(self) -> None:
        """Start empty."""
        super().__init__(id="grid")
        self.typed = Typed()
        self.units = "US"

    def show(self, typed: Typed, units: str) -> None:
        """Show what is typed."""
        self.typed, self.units = typed, units
        self.refresh(layout=True)

    @property
    def in_row(self) -> int:
        """Return how many readings stand in one row."""
        return _in_row(self.size.width)

    def get_content_height(self, container: object, viewport: object, width: int) -> int:
        """Return as many lines as there are rows."""
        del container, viewport
        return -(-len(self.typed.cells) // _in_row(width))

    def render(self) -> Content:
        """Return the rows."""
        wrong, cells, in_row = wrong_of(self.typed, self.units), self.typed.cells, self.in_row
        rows = []
        for first in range(0, len(cells), in_row):
            row = Content(f"{first + 1:>3} ")
            for place in range(first, min(first + in_row, len(cells))):
                row += self._cell(place, is_wrong=place in wrong)
            rows.append(row)
        return Content("\n").join(rows)

    def _cell(self, place: int, *, is_wrong: bool) -> Content:
        text = self.typed.cells[place]
        mark = "?" if is_wrong else ""
        if place == self.typed.at:
            return Content.styled(f"[{text + mark}]".ljust(CELL_COLUMNS), "bold")
        padded = f" {text}{mark} ".ljust(CELL_COLUMNS)
        return Content.styled(padded, "bold") if is_wrong else Content(padded)

    def check_consume_key(self, key: str, character: str | None) -> bool:
        """Say that every sign is taken here, so that the foot shows no key that would be text."""
        del key
        return character is not None and character.isprintable()

    def on_key(self, event: Key) -> None:
        """Type, move, go on; no letter or digit gets past."""
        typed = self._moved(event.key)
        if typed is None and event.character is not None and event.is_printable:
            event.stop()
            event.prevent_default()
            self._take_sign(event.character)
            return
        if typed is None:
            return
        event.stop()
        event.prevent_default()
        self._say(typed)

    def _moved(self, key: str) -> Typed | None:
        typed = self.typed
        moves: dict[str, Callable[[], Typed]] = {
            "enter": typed.following,
            "space": typed.following,
            "backspace": typed.taken_back,
            "delete": typed.taken_out,
            "left": lambda: typed.moved(-1),
            "right": lambda: typed.moved(1),
            "up": lambda: typed.moved(-self.in_row),
            "down": lambda: typed.moved(self.in_row),
            "home": lambda: typed.gone(0),
            "end": lambda: typed.gone(len(typed.cells)),
        }
        move = moves.get(key)
        return None if move is None else move()

    def _take_sign(self, sign: str) -> None:
        low = sign.casefold()
        if low == "w":
            self.post_message(self.Finished())
        elif low in SIGNS or low == EDGE:
            self._say(self.typed.put(low))
        else:
            says = f"{sign!r} is no part of a depth; numbers, a point, and e for the perimeter are"
            self.post_message(self.Refused(says))

    def _say(self, typed: Typed) -> None:
        before = wrong_of(self.typed, self.units)
        self.show(typed, self.units)
        if len(wrong_of(typed, self.units)) > len(before):
            self.app.bell()
        self.post_message(self.Changed(typed))

    def on_click(self, event: Click) -> None:
        """Go to the reading that was clicked."""
        row, column = event.y, (event.x - LABEL_COLUMNS) // CELL_COLUMNS
        if 0 <= column < self.in_row:
            self._say(self.typed.gone(row * self.in_row + column))


def _in_row(width: int) -> int:
    room = (width - LABEL_COLUMNS) // CELL_COLUMNS
    return MOST_IN_ROW if room >= MOST_IN_ROW else FEWEST_IN_ROW
