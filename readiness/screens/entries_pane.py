"""A pane of entries that are chosen one by one, for any screen that lists things.

Invariant: the entry under the cursor stays under it when the list is drawn anew, as long as it is
there.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.widgets import OptionList
from textual.widgets.option_list import Option

from readiness.screens.lines import content_of

if TYPE_CHECKING:
    from collections.abc import Iterable

    from textual.events import Resize

    from readiness.screens.lines import Entry


class EntriesPane(OptionList):
    """Entries of lines; ids that begin with HEADING can't be chosen."""

    HEADING = "heading "

    def __init__(self, id_: str) -> None:
        """Start empty."""
        super().__init__(id=id_, classes="pane", markup=False)
        self.entries: list[Entry] = []
        self._columns = 0

    @property
    def at(self) -> str:
        """Return the id of the entry under the cursor; empty if there is none."""
        at = self.highlighted
        return self.entries[at].id if at is not None and at < len(self.entries) else ""

    def go_to(self, id_: str) -> None:
        """Put the cursor on an entry, if it is there."""
        ids = [entry.id for entry in self.entries]
        if id_ in ids:
            self.highlighted = ids.index(id_)

    def show(self, entries: Iterable[Entry]) -> None:
        """Show other entries."""
        id_, at = self.at, self.highlighted or 0
        self.entries = list(entries)
        self._draw(id_, at)

    def _draw(self, id_: str, at: int) -> None:
        columns = self._columns = self.scrollable_content_region.width
        self.clear_options()
        self.add_options(
            Option(content_of(entry, columns), entry.id, disabled=entry.id.startswith(self.HEADING))
            for entry in self.entries
        )
        ids = [entry.id for entry in self.entries]
        wanted = ids.index(id_) if id_ in ids else at
        can = [n for n, each in enumerate(ids) if not each.startswith(self.HEADING)]
        self.highlighted = min(can, key=lambda n: (abs(n - wanted), n), default=None)

    def on_resize(self, event: Resize) -> None:
        """Draw again for another width."""
        del event
        if self.scrollable_content_region.width == self._columns:
            self.scroll_to_highlight()
            return
        self._draw(self.at, self.highlighted or 0)

    def to_top(self, at: int) -> None:
        """Scroll so that an entry stands at the top, as far as there is anything below it."""
        columns = self.scrollable_content_region.width
        above = (content_of(entry, columns) for entry in self.entries[:at])
        self.scroll_to(
            y=sum(each.plain.count("\n") + 1 for each in above), animate=False, force=True
        )
