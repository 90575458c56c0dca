"""The grid of who is where: a cursor on a cell, moved by the arrow keys or by a click.

Invariant: the names of the places and of the days are always in sight, and so is the cursor.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from textual.content import Content
from textual.message import Message
from textual.widget import Widget

from readiness.screens.where_sheet import HEAD_ROWS, Sheet, View

if TYPE_CHECKING:
    from datetime import date

    from textual.events import Click, Key, MouseScrollDown, MouseScrollUp, Resize

    from readiness.pages.plan_cells import Cell

STEPS = {"left": (0, -1), "right": (0, 1), "up": (-1, 0), "down": (1, 0)}
"""Rows and days by which a key moves the cursor."""
WEEKS = {"shift+left": -1, "shift+right": 1}


class WhereGrid(Widget):
    """Places down, days across."""

    KEEPS_ARROWS = True
    HELP = (
        "Places down, days across. A cell holds two letters of the trade, explained at the end of"
        " the list; the number behind them is a step of what sets the start of board, a number"
        " before them how many crews are there at once, + says that somebody else comes as well,"
        " and out that the keep-out shuts the room. A colon before a week says that weeks are left"
        " out in which nobody comes. The arrow keys move the cursor, Shift with left or right a"
        " week, Home and End to the first and the last day, Page Up and Page Down through the"
        " places; a click goes to a cell, and one on < or > above turns a week. Enter, or a click"
        " on the cell under the cursor, asks about that day on all screens."
    )
    can_focus = True

    @dataclass
    class Moved(Message):
        """The cursor is on another cell."""

        cell: Cell

    @dataclass
    class Turned(Message):
        """Another part is shown, with these letters."""

        legend: str

    @dataclass
    class Chosen(Message):
        """Somebody wants to ask about this day."""

        day: date

    def __init__(self) -> None:
        """Start empty."""
        super().__init__(id="where-grid", classes="pane")
        self.view = View()

    def show(self, sheet: Sheet, cell: Cell | None) -> None:
        """Show a sheet, with the cursor on a cell of it."""
        row = sheet.rows.index(cell[0]) if cell is not None else 0
        day = cell[1] if cell is not None else None
        self._take(replace(self.view, sheet=sheet, row=row, day=day))
        self.refresh(layout=True)

    def go_to(self, cell: Cell) -> None:
        """Put the cursor on a cell."""
        self._take(replace(self.view, row=self.view.sheet.rows.index(cell[0]), day=cell[1]))

    def _take(self, view: View) -> None:
        before = self.view.at
        self.view = view.held()
        self.border_title = Content(self.view.title()) if self.view.sheet.rows else ""
        self.refresh()
        self.post_message(self.Turned(self.view.legend()))
        if self.view.at is not None and self.view.at != before:
            self.post_message(self.Moved(self.view.at))

    def get_content_height(self, container: object, viewport: object, width: int) -> int:
        """Return as many lines as there are places, and two for the head."""
        del container, viewport, width
        return HEAD_ROWS + len(self.view.sheet.rows)

    def on_resize(self, event: Resize) -> None:
        """Show as much as fits now."""
        del event
        size = self.content_size
        lines = max(size.height - HEAD_ROWS, 1)
        view = replace(self.view, columns=size.width, lines=lines, first_row=0, first_piece=0)
        self._take(view)

    def render(self) -> Content:
        """Return the part that is shown."""
        view = self.view
        if not view.sheet.rows:
            return Content("")
        rows, shown = [Content(line) for line in view.heads()], view.shown()
        for row in view.shown_rows():
            line = Content.styled(view.name(row), "bold" if row == view.row else "")
            for piece in shown:
                line += Content(piece.rule)
                for day in piece.days:
                    line += self._cell((view.sheet.rows[row], day))
            rows.append(line)
        return Content("\n").join(rows)

    def _cell(self, cell: Cell) -> Content:
        text = self.view.text(cell)
        if cell == self.view.at:
            return Content.styled(text, "bold reverse" if self.has_focus else "bold")
        return Content.styled(text, "bold") if cell in self.view.sheet.steps else Content(text)

    # Keys and mouse

    def on_key(self, event: Key) -> None:
        """Move the cursor."""
        view = self._moved(event.key)
        if view is None:
            return
        event.stop()
        event.prevent_default()
        self._take(view)

    def _moved(self, key: str) -> View | None:
        view = self.view
        if key == "enter" and view.day is not None:
            self.post_message(self.Chosen(view.day))
            return view
        if key in STEPS:
            return view.moved(*STEPS[key])
        if key in WEEKS:
            return view.turned(WEEKS[key])
        if key in ("pageup", "pagedown"):
            return view.moved(rows=view.lines if key == "pagedown" else -view.lines)
        if key in ("home", "end") and view.sheet.days:
            return view.to(view.row, view.sheet.days[0 if key == "home" else -1])
        return None

    def on_click(self, event: Click) -> None:
        """Go to the cell that was clicked; a click on the signs above turns a week."""
        at = event.get_content_offset(self)
        if at is None:
            return
        cell = self.view.cell_at(at.x, at.y)
        if cell is not None and cell == self.view.at:
            self.post_message(self.Chosen(cell[1]))
        elif cell is not None:
            self.go_to(cell)
        elif at.y == 0:
            names = self.view.sheet.name_columns(self.view.columns)
            self._take(self.view.turned(-1 if at.x < names else 1))

    def on_mouse_scroll_down(self, event: MouseScrollDown) -> None:
        """Go down."""
        event.stop()
        self._take(self.view.moved(rows=1))

    def on_mouse_scroll_up(self, event: MouseScrollUp) -> None:
        """Go up."""
        event.stop()
        self._take(self.view.moved(rows=-1))
