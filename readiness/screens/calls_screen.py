"""The screen of calls: whom to call now, what to ask, and one key for each answer.

Invariant: it asks what `calls` asks, in its order, and nothing else.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content

from readiness.exchange.call_answers import call_answers
from readiness.questions.calls import CallsAnswer, calls
from readiness.questions.today import TodayAnswer, today
from readiness.screens.actions import BACK, Act, bindings, on_every_screen
from readiness.screens.answering_screen import AnsweringScreen
from readiness.screens.call_entries import call_entries, today_entries
from readiness.screens.entries_pane import EntriesPane

if TYPE_CHECKING:
    from textual.app import ComposeResult

    from readiness.exchange.call_answers import CallAnswer
    from readiness.questions.calls import CallLine
    from readiness.screens.asker import Asked
    from readiness.screens.question_screen import Progress
    from readiness.screens.session import Session
    from readiness.telling.case import Case


def _answer(id_: str, key: str, name: str, does: str) -> Act:
    return Act(f"calls-{id_}", key, name, does, f"answer({id_!r})")


ANSWERS = (
    _answer("yes", "y", "yes", "They say yes."),
    _answer("no", "n", "no", "They say no."),
    _answer("unknown", "u", "unknown", "They do not know."),
    _answer("promised", "p", "promised", "They promise it by a day, which you type."),
    _answer("done", "d", "done", "The work is done."),
    _answer("not-done", "o", "not done", "The work is not done, after all."),
    _answer("asked-for", "a", "asked for", "The office has been asked for its look."),
    _answer("passed", "s", "passed", "The look has passed."),
    _answer("failed", "f", "failed", "The look has failed."),
    _answer("pulled", "l", "pulled", "The thing is out of the way."),
    _answer("will-be-pulled", "i", "will be pulled", "It will be pulled on a day you type."),
    _answer("confirmed", "c", "confirmed", "The dispatcher confirms the trip."),
    _answer("refused", "e", "refused", "The dispatcher refuses the trip, and you type why."),
    _answer("cleaned", "w", "swept and cleaned", "The crew has cleaned up."),
    _answer("ventilated", "v", "ventilated", "Fans have run since the last foam."),
    _answer("may-enter", "m", "may enter", "A named person lets workers in again."),
)

TODAY = Act(
    "calls-today",
    "k",
    "work today",
    "Show what is still useful today when a trip has slipped, or the calls again.",
    "today",
    at_foot=True,
)


class CallsScreen(AnsweringScreen):
    """Whom to call now."""

    ID = "calls"
    HELP = (
        "Whom to call now, those first whose cut-off comes first, with what to ask. A key or a"
        " click on its word answers the question under the cursor: what would be written and what"
        " it changes is shown, and Enter writes it. What is promised stands at the end and is not"
        " asked again before its time; k shows what is still useful today."
    )
    ANSWERS = ANSWERS
    VIA = "by phone"
    """What was said on a call is known as said, unless it says otherwise."""
    ACTS = on_every_screen(BACK, *ANSWERS, TODAY, day_at_foot=False)
    BINDINGS = bindings(ACTS)

    def __init__(self, session: Session) -> None:
        """Take what all screens share."""
        super().__init__(session)
        self._lines: dict[str, CallLine] = {}
        self._asks_today = False

    def compose_own_panes(self) -> ComposeResult:
        """Yield the list of calls and the answers to the one under the cursor."""
        yield EntriesPane("calls")
        yield from self.compose_answers()

    def on_mount(self) -> None:
        """Begin in the list."""
        self.query_one(EntriesPane).focus()

    def work_out(self, case: Case, asked: Asked, progress: Progress) -> CallsAnswer | TodayAnswer:
        """Return whom to call, or what is still useful today."""
        del asked, progress
        return today(case) if self._asks_today else calls([case])

    def show_found(self, found: object) -> None:
        """Show whom to call, or what is still useful today."""
        pane = self.query_one(EntriesPane)
        if isinstance(found, TodayAnswer):
            self._lines = {}
            pane.border_title = "still useful today; k shows the calls"
            pane.show(today_entries(found))
            self.show_answers()
            return
        assert isinstance(found, CallsAnswer)  # noqa: S101  as work_out returns it
        people = "1 person" if len(found.people) == 1 else f"{len(found.people)} people"
        overdue = f", {found.overdue} overdue" if found.overdue else ""
        title = f"{people} to call{overdue}" if found.people else "nobody to call"
        pane.border_title = Content(title)
        entries = call_entries(found)
        self._lines = {entry.id: line for entry, line in entries if line is not None}
        pane.show(entry for entry, _ in entries)
        self.show_answers()

    def action_today(self) -> None:
        """Show what is still useful today, or the calls again."""
        self._asks_today = not self._asks_today
        self.find()

    def possible(self) -> tuple[CallAnswer, ...]:
        """Return what can be answered to the question under the cursor."""
        line = self._lines.get(self.query_one(EntriesPane).at)
        return call_answers(line) if line is not None else ()
