"""A screen on which lines for the diary are typed.

Invariant: what is understood of a line is always of the line as it stands, never of an earlier one.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from textual import on
from textual.message import Message

from readiness.desk.listening import Heard, heard, wanted_of
from readiness.screens.line_pane import LinePane
from readiness.screens.writing_screen import WritingScreen

if TYPE_CHECKING:
    from readiness.screens.session import Session


@dataclass
class LineHeard(Message):
    """A line was understood as far as it goes."""

    text: str
    heard: Heard


class LineScreen(WritingScreen):
    """A screen with a line."""

    def __init__(self, session: Session) -> None:
        """Take what all screens share."""
        super().__init__(session)
        self.replaces = ""
        """The entry that the line corrects."""

    def show_answer(self) -> None:
        """Understand the line anew, since the job may be another one."""
        super().show_answer()
        self.hear(self.query_one(LinePane).text)

    def hear(self, text: str) -> None:
        """Understand a line as far as it goes."""
        self.run_worker(
            partial(self._hear, text),
            thread=True,
            exclusive=True,
            exit_on_error=False,
            group="hear",
        )

    def _hear(self, text: str) -> None:
        session, replaces = self.session, self.replaces
        found = session.asker.with_desk(lambda desk: heard(desk, text, session.writer, replaces))
        self.post_message(LineHeard(text, found))

    @on(LineHeard)
    def _take_heard(self, event: LineHeard) -> None:
        pane = self.query_one(LinePane)
        if event.text == pane.text:
            pane.show(event.heard)

    @on(LinePane.Typed)
    def _typed(self, event: LinePane.Typed) -> None:
        self.hear(event.text)

    @on(LinePane.Ended)
    def _ended(self, event: LinePane.Ended) -> None:
        if event.text.strip():
            self.propose(wanted_of(event.text, self.replaces))

    def written(self) -> None:
        """Clear the line."""
        self.query_one(LinePane).begin("")
