"""The screen of calls: whom to call now, what to ask, and one key for each answer.

Invariant: a question offers only what can be answered to it, and an answer is shown with what it
changes before it is written.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import on
from textual.containers import Horizontal
from textual.content import Content
from textual.widgets import Input, OptionList, Static

from readiness.desk.proposing import Wanted
from readiness.exchange.call_answers import call_answers
from readiness.questions.calls import CallsAnswer, calls
from readiness.screens.actions import BACK, Act, bindings, on_every_screen
from readiness.screens.call_entries import call_entries
from readiness.screens.entries_pane import EntriesPane
from readiness.screens.field import Field
from readiness.screens.head import Press
from readiness.screens.key_map import told_acts
from readiness.screens.writing_screen import WritingScreen

if TYPE_CHECKING:
    from textual.app import ComposeResult

    from readiness.exchange.call_answers import CallAnswer
    from readiness.questions.calls import CallLine
    from readiness.screens.asker import Asked
    from readiness.screens.question_screen import Progress
    from readiness.screens.session import Session
    from readiness.telling.case import Case

BY_PHONE = "by phone"
"""How an answer of a call reaches the diary; it is then known as said, unless it says otherwise."""


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
)

LACKED = {"a day": "By which day? Like: thu 7 may 15:00", "why": "Why not?"}
"""How that is asked for which an answer lacks."""


class CallsScreen(WritingScreen):
    """Whom to call now."""

    ID = "calls"
    HELP = (
        "Whom to call now, those first whose cut-off comes first, with what to ask. A key or a"
        " click on its word answers the question under the cursor: what would be written and what"
        " it changes is shown, and Enter writes it. What is promised stands at the end and is not"
        " asked again before its time."
    )
    ACTS = on_every_screen(BACK, *ANSWERS, day_at_foot=False)
    BINDINGS = bindings(ACTS)
    CSS_PATH = "calls_screen.tcss"

    def __init__(self, session: Session) -> None:
        """Take what all screens share."""
        super().__init__(session)
        self._lines: dict[str, CallLine] = {}
        self._lacking: CallAnswer | None = None

    def compose_own_panes(self) -> ComposeResult:
        """Yield the list of calls and the answers to the one under the cursor."""
        yield EntriesPane("calls")
        with Horizontal(id="answers"):
            yield Static(Content("they say:"), markup=False)
            for act in told_acts(ANSWERS, self.session.keys):
                yield Press(f"{act.key} {act.name}", f"screen.{act.action}", f"press-{act.id}")
        yield Field("lacks")

    def on_mount(self) -> None:
        """Begin in the list."""
        self.query_one(EntriesPane).focus()

    def work_out(self, case: Case, asked: Asked, progress: Progress) -> CallsAnswer:
        """Return whom to call."""
        del asked, progress
        return calls([case])

    def show_found(self, found: object) -> None:
        """Show whom to call."""
        assert isinstance(found, CallsAnswer)  # noqa: S101  as work_out returns it
        pane = self.query_one(EntriesPane)
        people = "1 person" if len(found.people) == 1 else f"{len(found.people)} people"
        overdue = f", {found.overdue} overdue" if found.overdue else ""
        title = f"{people} to call{overdue}" if found.people else "nobody to call"
        pane.border_title = Content(title)
        entries = call_entries(found)
        self._lines = {entry.id: line for entry, line in entries if line is not None}
        pane.show(entry for entry, _ in entries)
        self._show_answers()

    def _possible(self) -> dict[str, CallAnswer]:
        """Return what can be answered to the question under the cursor, by id."""
        line = self._lines.get(self.query_one(EntriesPane).at)
        return {answer.id: answer for answer in call_answers(line)} if line is not None else {}

    @on(OptionList.OptionHighlighted)
    def _show_answers(self) -> None:
        possible = self._possible()
        for act in ANSWERS:
            id_ = act.id.removeprefix("calls-")
            self.query_one(f"#press-{act.id}").display = id_ in possible
        self.refresh_bindings()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Offer only what can be answered to the question under the cursor."""
        if action == "answer" and self.is_mounted:
            return not self.is_proposing and str(parameters[0]) in self._possible()
        return super().check_action(action, parameters)

    def action_answer(self, id_: str) -> None:
        """Show what an answer would write, or have typed what it lacks."""
        answer = self._possible().get(id_)
        if answer is None:
            return
        if not answer.lacks:
            self.propose(Wanted((answer.words,), via=BY_PHONE))
            return
        self._lacking = answer
        lacks = self.query_one("#lacks", Input)
        lacks.placeholder = f"{LACKED[answer.lacks]}, then Enter"
        lacks.display = True
        lacks.focus()

    @on(Input.Submitted, "#lacks")
    def _take_lacking(self, event: Input.Submitted) -> None:
        if self._lacking is not None and event.value.strip():
            words = (*self._lacking.words, *event.value.split(), *self._lacking.behind)
            self.propose(Wanted((words,), via=BY_PHONE))

    def action_back(self) -> None:
        """Leave what is typed, else what is worked out, else the screen."""
        lacks = self.query_one("#lacks", Input)
        if lacks.has_focus:
            self.written()
            return
        super().action_back()

    def written(self) -> None:
        """Clear what was typed."""
        lacks = self.query_one("#lacks", Input)
        lacks.value, lacks.display, self._lacking = "", False, None
        self.query_one(EntriesPane).focus()
