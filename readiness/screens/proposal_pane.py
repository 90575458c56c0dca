"""The pane of what is about to be written and what it changes.

Invariant: nothing is written before somebody agreed to what stands here.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from textual.binding import Binding
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.widgets import Static

from readiness.screens.head import Press
from readiness.screens.lines import Entry, Line, content_of

if TYPE_CHECKING:
    from textual.app import ComposeResult
    from textual.events import Resize

    from readiness.desk.proposing import Proposal


MANY = 4
"""Of more entries than these what they change stands first, or nobody would come to it."""


class ProposalPane(Vertical):
    """What is about to be written; Enter agrees, Esc leaves it."""

    HELP = (
        "What is about to be written into the diary, and which verdicts it changes. Enter writes"
        " it, Esc leaves it and nothing is written. Up and down, Page Up and Page Down read on. The"
        " diary is never changed afterwards: a correction is a new entry."
    )
    BINDINGS = [  # noqa: RUF012  the toolkit's
        Binding("enter", "agree", "write it", priority=True),
        Binding("escape", "leave", "leave it", priority=True),
        Binding("up", "read('up')", show=False),
        Binding("down", "read('down')", show=False),
        Binding("pageup", "read('page_up')", show=False),
        Binding("pagedown", "read('page_down')", show=False),
        Binding("home", "read('home')", show=False),
        Binding("end", "read('end')", show=False),
    ]
    can_focus = True

    @dataclass
    class Agreed(Message):
        """Somebody wants it written."""

        proposal: Proposal

    @dataclass
    class Left(Message):
        """Somebody does not want it written."""

    def __init__(self) -> None:
        """Start with nothing, and out of sight."""
        super().__init__(id="proposal", classes="pane")
        self.proposal: Proposal | None = None
        self.display = False

    def compose(self) -> ComposeResult:
        """Yield what would be written, and the two words that decide."""
        with VerticalScroll(can_focus=False):
            yield Static(id="proposal-lines", markup=False)
        with Horizontal(id="proposal-words"):
            yield Press("Enter writes it", "screen.agree", "press-agree")
            yield Press("Esc leaves it", "screen.leave", "press-leave")

    @property
    def lines(self) -> list[str]:
        """Return what the pane says, unwrapped."""
        return [text for entry in self._entries() for text in entry.texts()]

    def show(self, proposal: Proposal) -> None:
        """Show a proposal and wait for a yes or no."""
        self.proposal = proposal
        count = len(proposal.entries)
        self.border_title = "to be written" if count == 1 else f"to be written: {count} entries"
        self.display = True
        self._draw()
        self.query_one(VerticalScroll).scroll_home(animate=False)
        self.focus()

    def hide(self) -> None:
        """Take it away."""
        self.proposal = None
        self.display = False

    def _entries(self) -> list[Entry]:
        if self.proposal is None:
            return []
        said = tuple(Line(text, is_strong=True) for text in self.proposal.entries)
        changes = tuple(map(Line, self.proposal.changes))
        found = [Entry("said", said), Entry("changes", changes)]
        return found if len(said) <= MANY else found[::-1]

    def _draw(self) -> None:
        # Before it was laid out it has no width; drawn too narrow it would keep a scrollbar
        width = self.scrollable_content_region.width or self.screen.size.width - 1
        columns = max(width - 1, 20)
        rows = [content_of(entry, columns) for entry in self._entries()]
        self.query_one("#proposal-lines", Static).update(Content("\n").join(rows))

    def on_resize(self, event: Resize) -> None:
        """Draw again for another width."""
        del event
        self._draw()

    def action_read(self, way: str) -> None:
        """Scroll what is to be written: by a line, by as much as is seen of it, to an end."""
        getattr(self.query_one(VerticalScroll), f"scroll_{way}")(animate=False)

    def action_agree(self) -> None:
        """Say that it is to be written."""
        if self.proposal is not None:
            self.post_message(self.Agreed(self.proposal))

    def action_leave(self) -> None:
        """Say that it is not to be written."""
        self.post_message(self.Left())
