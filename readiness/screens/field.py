"""A field to type in, for every screen.

Invariant: its cursor stands still, so that the same screen always looks the same.
"""

from __future__ import annotations

from textual.widgets import Input


class Field(Input):
    """One line that somebody types."""

    def on_mount(self) -> None:
        """Keep the cursor from blinking."""
        self.cursor_blink = False
