"""The screen of ways: what would make that day work, what it costs, and one key to take it.

The search imports a solver, which takes longer than a first frame; so it is imported where it runs,
in the thread, and not with the screen.
Invariant: a way is shown with every entry it writes and every verdict it changes before it is
written, and whoever leaves or asks something else ends the search at its next forecast.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import on
from textual.content import Content
from textual.widgets import OptionList

from readiness.desk.proposing import Wanted
from readiness.screens.actions import BACK, Act, bindings, on_every_screen
from readiness.screens.entries_pane import EntriesPane
from readiness.screens.ways_entries import way_of_entry, ways_entries
from readiness.screens.writing_screen import WritingScreen

if TYPE_CHECKING:
    from textual.app import ComposeResult

    from readiness.questions.ways import WayLine, WaysAnswer
    from readiness.screens.asker import Asked
    from readiness.screens.question_screen import Progress
    from readiness.screens.session import Session
    from readiness.telling.case import Case

BY_WAYS = "by ways"
"""How a way reaches the diary."""


class _LeftError(Exception):
    """Nobody waits for the search any more."""


class WaysScreen(WritingScreen):
    """What would make that day work."""

    ID = "ways"
    HELP = (
        "The smallest sets of changes that make the day asked about work, the best first: what is"
        " done, what it costs by your own prices, whom to tell. Enter or a click on one shows every"
        " entry it would write and what changes by it; Enter again writes it, Esc leaves it. Where"
        " nothing works, what stands against the day is told. Left and right ask about another day."
    )
    ACTS = on_every_screen(
        Act(
            "ways-take",
            "a",
            "take it",
            "Show what the way under the cursor writes.",
            "take",
            at_foot=True,
        ),
        BACK,
    )
    BINDINGS = bindings(ACTS)
    FOLLOWS_DAY = True
    FOLLOWS_CLOCK = False

    def __init__(self, session: Session) -> None:
        """Take what all screens share."""
        super().__init__(session)
        self.found: WaysAnswer | None = None

    def compose_own_panes(self) -> ComposeResult:
        """Yield the one list."""
        yield EntriesPane("ways")

    def on_mount(self) -> None:
        """Begin in the list."""
        pane = self.query_one(EntriesPane)
        pane.border_title = "what would make that day work?"
        pane.focus()

    # What takes time

    def work_out(self, case: Case, asked: Asked, progress: Progress) -> WaysAnswer | None:
        """Return the ways; None if nobody waits for them any more."""
        from readiness.questions.ways import ways

        def watch(forecasts: int) -> None:
            if progress.is_cancelled:
                raise _LeftError
            progress.tell(f"looking for ways: {forecasts} sets of changes forecast, Esc stops it")

        try:
            return ways(case, asked.on, watch=watch)
        except _LeftError:
            return None

    def show_progress(self, says: str) -> None:
        """Show how far it is in the title, where it moves nothing."""
        self.query_one(EntriesPane).border_title = Content(says)

    def show_found(self, found: object) -> None:
        """Show the ways, or what stands against the day."""
        answer = _answer_of(found)
        if answer is None:
            return
        self.found = answer
        pane = self.query_one(EntriesPane)
        count = len(answer.ways)
        told = {0: "no way", 1: "1 way"}.get(count, f"{count} ways")
        pane.border_title = Content(f"{told}, of {answer.offered} changes that could be made")
        pane.show(ways_entries(answer))
        self.refresh_bindings()

    # What keys and clicks do

    def _under_the_cursor(self) -> WayLine | None:
        if self.found is None:
            return None
        return way_of_entry(self.query_one(EntriesPane).at, self.found)

    @on(OptionList.OptionHighlighted)
    def _offer(self) -> None:
        self.refresh_bindings()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Offer to take only what is a way."""
        if action == "take" and self.is_mounted:
            return not self.is_proposing and self._under_the_cursor() is not None
        return super().check_action(action, parameters)

    def action_take(self) -> None:
        """Show what the way under the cursor writes and changes."""
        way = self._under_the_cursor()
        if way is not None and way.lines:
            self.propose(Wanted(fields=way.lines, via=BY_WAYS))
        elif way is not None:
            self.tell("there is nothing to write: the day works as it stands")

    @on(OptionList.OptionSelected, "#ways")
    def _take(self) -> None:
        self.action_take()

    def action_back(self) -> None:
        """Stop, and say in the title what is shown now."""
        was_working = self._worker is not None
        super().action_back()
        if was_working and self.is_current:
            shown = "the ways from before" if self.found else "nothing was found yet"
            self.show_progress(f"stopped: {shown}")


def _answer_of(found: object) -> WaysAnswer | None:
    from readiness.questions.ways import WaysAnswer

    assert found is None or isinstance(found, WaysAnswer)  # noqa: S101  as work_out returns it
    return found
