"""The screen of the diary: newest first; a correction is a new entry that names the old one.

Invariant: nothing of the diary is changed; what was corrected stays to be read.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content

from readiness.desk.leafing import Leaf, Leaves, leaves_of
from readiness.screens.actions import BACK, Act, bindings, on_every_screen
from readiness.screens.entries_pane import EntriesPane
from readiness.screens.line_pane import LinePane
from readiness.screens.line_screen import LineScreen
from readiness.screens.lines import Entry, Line

if TYPE_CHECKING:
    from textual.app import ComposeResult

    from readiness.screens.asker import Asked
    from readiness.screens.question_screen import Progress
    from readiness.screens.session import Session
    from readiness.telling.case import Case

PAGE = 200
"""So many entries are shown at first, and so many more each time."""


class DiaryScreen(LineScreen):
    """The diary of the job."""

    ID = "diary"
    HELP = (
        "What was seen, said and decided, newest first, with whose word it is and how it is known."
        " Nothing is ever taken out: a correction is a new entry that names the old one, and the"
        " old one says by which it was corrected and counts no longer. What somebody else has said"
        " you can't correct; write what you know, and both are shown."
    )
    ACTS = on_every_screen(
        BACK,
        Act(
            "diary-correct",
            "c",
            "correct",
            "Correct the entry under the cursor by a new one.",
            "correct",
            at_foot=True,
        ),
        Act("diary-older", "o", "older", "Show older entries too.", "older", at_foot=True),
        day_at_foot=False,
    )
    BINDINGS = bindings(ACTS)
    CSS_PATH = ["line_screen.tcss", "diary_screen.tcss"]  # noqa: RUF012  the toolkit's

    def __init__(self, session: Session) -> None:
        """Take what all screens share."""
        super().__init__(session)
        self._most = PAGE
        self._leaves = Leaves((), 0)

    def compose_own_panes(self) -> ComposeResult:
        """Yield the entries, and the line in which one is corrected."""
        yield EntriesPane("diary")
        yield LinePane()

    def on_mount(self) -> None:
        """Begin in the list; the line comes when something is corrected."""
        self.query_one(LinePane).display = False
        self.query_one("#diary", EntriesPane).focus()

    def work_out(self, case: Case, asked: Asked, progress: Progress) -> Leaves:
        """Return the newest entries."""
        del case, asked, progress
        session, most = self.session, self._most
        return session.asker.with_desk(lambda desk: leaves_of(desk, session.writer, most))

    def show_found(self, found: object) -> None:
        """Show the entries."""
        assert isinstance(found, Leaves)  # noqa: S101  as work_out returns it
        self._leaves = found
        pane = self.query_one("#diary", EntriesPane)
        count = len(found.leaves) + found.older
        entries = "1 entry" if count == 1 else f"{count} entries"
        pane.border_title = Content(f"diary, newest first: {entries}")
        pane.show(entries_of(found))
        self.refresh_bindings()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Offer only what can be done to the entry under the cursor."""
        if action in {"correct", "older"} and self.is_mounted and self.is_proposing:
            return False
        if action == "older":
            return self._leaves.older > 0
        return super().check_action(action, parameters)

    def action_older(self) -> None:
        """Show older entries too."""
        self._most += PAGE
        self.find()

    def action_correct(self) -> None:
        """Begin to correct the entry under the cursor, or say why it can't be."""
        leaf = self._at()
        if leaf is None:
            return
        if leaf.refused:
            self.tell(leaf.refused)
            return
        self.replaces = leaf.name
        self.tell(f"instead of {leaf.name}: {leaf.says}")
        pane = self.query_one(LinePane)
        pane.display = True
        pane.begin(leaf.line)

    def _at(self) -> Leaf | None:
        name = self.query_one("#diary", EntriesPane).at
        return next((leaf for leaf in self._leaves.leaves if leaf.name == name), None)

    def action_back(self) -> None:
        """Leave the correction, else the screen."""
        if self.query_one(LinePane).display:
            self.tell("nothing was corrected")
            self._end()
            return
        super().action_back()

    def written(self) -> None:
        """Go back to the list."""
        self._end()

    def _end(self) -> None:
        pane = self.query_one(LinePane)
        pane.begin("")
        pane.display = False
        self.replaces = ""
        self.query_one("#diary", EntriesPane).focus()


def entries_of(found: Leaves) -> list[Entry]:
    """Return the entries as they are shown."""
    entries = [_entry(leaf) for leaf in found.leaves]
    if found.older:
        told = Line(f"and {found.older} older ones; o shows more")
        entries.append(Entry(f"{EntriesPane.HEADING}older", (told,)))
    if not entries:
        told = Line("Nothing is written yet. What is seen, said or decided goes in on screen 3.")
        entries.append(Entry(f"{EntriesPane.HEADING}nothing", (told,)))
    return entries


def _entry(leaf: Leaf) -> Entry:
    lines = [Line(f"{leaf.when}  {leaf.by}", is_strong=True), Line(leaf.says, indent=2)]
    if leaf.corrects:
        lines.append(Line(f"instead of {leaf.corrects}", indent=2))
    if leaf.corrected_by:
        lines.append(Line(f"NO LONGER COUNTS: corrected by {leaf.corrected_by}", indent=2))
    lines.append(Line(f"{leaf.known}; entry {leaf.name}" if leaf.known else leaf.name, indent=2))
    return Entry(leaf.name, tuple(lines))
