"""What stands on the terminal while a job is read: its name, then its verdict.

Loading a job takes longer than drawing, and nobody in a cold truck waits before typing.
Invariant: no key is lost: what is pressed here is pressed again on the screen that comes after.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static

from readiness.pages.columns import plain

if TYPE_CHECKING:
    from textual.app import ComposeResult
    from textual.events import Key


class WaitingScreen(Screen[None]):
    """The first frame."""

    def __init__(self, name: str) -> None:
        """Take what is read, in words."""
        super().__init__()
        self._told = plain(f"reading {name} ...")
        self.kept: list[str] = []
        """Keys pressed so far."""

    def compose(self) -> ComposeResult:
        """Yield one line."""
        yield Static(Content(self._told), markup=False)

    def show(self, verdict: Content) -> None:
        """Show the verdict, while the panes below it are still being made."""
        self.query_one(Static).update(verdict)

    def on_key(self, event: Key) -> None:
        """Keep a key for the screen that comes after."""
        event.stop()
        self.kept.append(event.key)
