"""A field to type in, for every screen.

Invariant: its cursor stands still, so that the same screen always looks the same, and going into it
selects nothing, so that the next key never wipes out what was typed.
"""

from __future__ import annotations

from textual.widgets import Input


class Field(Input):
    """One line that somebody types."""

    def __init__(self, id_: str, placeholder: str = "") -> None:
        """Take what stands there while nothing is typed."""
        super().__init__(id=id_, placeholder=placeholder, select_on_focus=False)

    def on_mount(self) -> None:
        """Keep the cursor from blinking."""
        self.cursor_blink = False
