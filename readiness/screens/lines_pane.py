"""A pane of lines that are only read, for any screen that explains what its cursor is on.

Invariant: other lines are read from their beginning.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from readiness.screens.lines import content_of

if TYPE_CHECKING:
    from collections.abc import Iterable

    from textual.app import ComposeResult
    from textual.events import Resize

    from readiness.screens.lines import Entry

LEAST_COLUMNS = 20


class LinesPane(VerticalScroll):
    """Entries to read, wrapped to the width."""

    def __init__(self, id_: str) -> None:
        """Start empty."""
        super().__init__(id=id_, classes="pane")
        self.entries: list[Entry] = []

    def compose(self) -> ComposeResult:
        """Yield what holds the lines."""
        yield Static(id=f"{self.id}-lines", markup=False)

    def show(self, entries: Iterable[Entry]) -> None:
        """Show other entries, from the first on."""
        self.entries = list(entries)
        self._draw()
        self.scroll_home(animate=False)

    def on_resize(self, event: Resize) -> None:
        """Draw again for another width."""
        del event
        self._draw()

    def _draw(self) -> None:
        columns = max(self.scrollable_content_region.width, LEAST_COLUMNS)
        rows = [content_of(entry, columns) for entry in self.entries]
        self.query_one(Static).update(Content("\n").join(rows))
