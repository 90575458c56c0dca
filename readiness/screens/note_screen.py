"""The screen of one line for the diary: everything that `note` writes, understood as it is typed.

Invariant: a line is shown with what it changes before it is written, and stays until it is.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.screens.actions import BACK, bindings, on_every_screen
from readiness.screens.line_pane import LinePane
from readiness.screens.line_screen import LineScreen

if TYPE_CHECKING:
    from textual.app import ComposeResult


class NoteScreen(LineScreen):
    """A line for the diary."""

    ID = "note"
    HELP = LinePane.HELP
    ACTS = on_every_screen(BACK, day_at_foot=False)
    BINDINGS = bindings(ACTS)
    CSS_PATH = "line_screen.tcss"

    def compose_own_panes(self) -> ComposeResult:
        """Yield the line."""
        yield LinePane()

    def on_mount(self) -> None:
        """Begin in the line."""
        writer = self.session.writer
        role = writer.trade or (writer.role.value if writer.role else "role not known")
        self.tell(f"writing as {writer.name}, {role}")
        self.query_one(LinePane).begin("")
        self.hear("")
