"""A line for the diary, typed: what it says so far stands below it, and what may follow.

Invariant: what somebody typed is changed by nothing but their own keys, and by being written.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from textual import on
from textual.containers import Vertical
from textual.content import Content
from textual.message import Message
from textual.widgets import Input, OptionList, Static

from readiness.desk.listening import with_word
from readiness.screens.entries_pane import EntriesPane
from readiness.screens.field import Field
from readiness.screens.lines import Entry, Line

if TYPE_CHECKING:
    from textual.app import ComposeResult

    from readiness.desk.listening import Heard

HELP = (
    "A line for the diary, like: remark the drive is clear; or done, then a work and its places."
    " While you type, the form of the line stands below it, then what is understood, then the"
    " words that may stand next: down goes to them, Enter or a click takes one. Enter in the line"
    " shows what would be written."
)


class LineField(Field):
    """The field of the line."""

    HELP = HELP


class LinePane(Vertical):
    """A field, what is understood of it, and the words that may stand next."""

    HELP = HELP

    @dataclass
    class Typed(Message):
        """Somebody typed."""

        text: str

    @dataclass
    class Ended(Message):
        """Somebody wants the line written."""

        text: str

    def __init__(self) -> None:
        """Start empty."""
        super().__init__(id="line-pane")
        self.heard: Heard | None = None

    def compose(self) -> ComposeResult:
        """Yield field, what is understood, and words."""
        yield LineField("line", "for example: remark the drive is clear")
        yield Static(id="line-form", markup=False)
        yield Static(id="line-reading", markup=False)
        yield EntriesPane("line-words")

    @property
    def text(self) -> str:
        """Return what is typed."""
        return self.query_one("#line", Input).value

    def begin(self, text: str) -> None:
        """Put a line there to go on with, and go to its end."""
        field = self.query_one("#line", Input)
        field.value = text
        field.focus()
        field.cursor_position = len(text)

    def show(self, heard: Heard) -> None:
        """Show what is understood of the line."""
        self.heard = heard
        form = f"{heard.form}   {heard.says}" if heard.form else "Begin with one of these words."
        self.query_one("#line-form", Static).update(Content(form))
        told = f"it says   {heard.reading}" if heard.reading else f"not yet   {heard.refused}"
        reading = self.query_one("#line-reading", Static)
        reading.update(Content(told))
        reading.display = bool(heard.reading or heard.refused)
        words = self.query_one(EntriesPane)
        words.show(
            Entry(word, (Line(f"{word}: {says}" if says else word),))
            for word, says in heard.following
        )
        words.border_title = (
            "may stand next, down to choose" if heard.following else "nothing has to follow"
        )

    @on(Input.Changed, "#line")
    def _typed(self, event: Input.Changed) -> None:
        event.stop()
        self.post_message(self.Typed(event.value))

    @on(Input.Submitted, "#line")
    def _ended(self, event: Input.Submitted) -> None:
        event.stop()
        self.post_message(self.Ended(event.value))

    @on(OptionList.OptionSelected, "#line-words")
    def _take_word(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        self.begin(with_word(self.text, event.option_id or ""))

    def key_down(self) -> None:
        """Go from the line to the words below it."""
        words = self.query_one(EntriesPane)
        if self.query_one("#line", Input).has_focus and words.entries:
            words.focus()
