"""The pane of what holds it up.

Invariant: which things are unfolded survives a new answer; the pane itself decides nothing else.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.widgets import OptionList
from textual.widgets.option_list import Option

from readiness.screens.further_entries import IN_VAIN, further, in_vain
from readiness.screens.holding_entries import (
    BLOCKER,
    blocker_key,
    by_clearing,
    by_person,
    holders_of,
)
from readiness.screens.lines import Entry, Line, content_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from textual.events import Resize

    from readiness.questions.check import CheckAnswer


class HoldingPane(OptionList):
    """What holds it up, by what clears last or by person."""

    HELP = (
        "What holds it up, each thing once, with how many surfaces it holds, who clears it and"
        " when, and whose work has to come first. Enter or a click unfolds what it hangs on and its"
        " caution."
    )

    def __init__(self) -> None:
        """Start empty."""
        super().__init__(id="holding", classes="pane", markup=False)
        self._answer: CheckAnswer | None = None
        self._surfaces: Sequence[str] | None = None
        self._unfolded: set[str] = set()
        self._is_by_person = False
        self._tells_why = False
        self.entries: list[Entry] = []

    def show(
        self,
        answer: CheckAnswer,
        surfaces: Sequence[str] | None,
        *,
        by_people: bool,
        why: bool,
    ) -> None:
        """Show what holds some surfaces up; None means all of them."""
        is_other_list = (surfaces, by_people) != (self._surfaces, self._is_by_person)
        self._answer, self._surfaces = answer, surfaces
        self._is_by_person, self._tells_why = by_people, why
        self._draw(to_top=is_other_list)

    def _draw(self, *, to_top: bool = False) -> None:
        if self._answer is None:
            return
        to_top = to_top or not self.entries
        at = 0 if to_top else self.highlighted or 0
        id_ = self.entries[at].id if not to_top and at < len(self.entries) else ""
        self.entries = self._entries(self._answer)
        columns = self.scrollable_content_region.width
        self.clear_options()
        self.add_options(Option(content_of(entry, columns), entry.id) for entry in self.entries)
        ids = [entry.id for entry in self.entries]
        # Enter unfolds what holds it up, so the cursor begins there and not on what stands above
        top = sum(entry.id == IN_VAIN for entry in self.entries[:1])
        self.highlighted = ids.index(id_) if id_ in ids else top if to_top else at

    def _entries(self, answer: CheckAnswer) -> list[Entry]:
        numbers = holders_of(answer, self._surfaces)
        order = by_person if self._is_by_person else by_clearing
        entries = order(answer, numbers, self._unfolded, why=self._tells_why)
        if not entries:
            entries = [Entry("nothing", (Line("Nothing holds it up.", is_strong=True),))]
        if self._surfaces is None:
            entries = [*in_vain(answer), *entries]
            entries += [Entry("between", (Line(""),)), *further(answer, why=self._tells_why)]
        return entries

    def on_resize(self, event: Resize) -> None:
        """Draw again for another width."""
        del event
        self._draw()

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Unfold what was chosen, or fold it again."""
        event.stop()
        id_ = event.option_id or ""
        if not id_.startswith(BLOCKER) or self._answer is None:
            return
        key = blocker_key(self._answer.blockers[int(id_.removeprefix(BLOCKER))])
        self._unfolded ^= {key}
        self._draw()
