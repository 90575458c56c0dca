"""A screen on which the question under the cursor is answered by one key.

Invariant: a question offers only what can be answered to it, and an answer is shown with what it
changes before it is written.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.containers import Horizontal
from textual.content import Content
from textual.widgets import Input, OptionList, Static

from readiness.desk.proposing import Wanted
from readiness.screens.entries_pane import EntriesPane
from readiness.screens.field import Field
from readiness.screens.head import Press
from readiness.screens.key_map import told_acts
from readiness.screens.writing_screen import WritingScreen

if TYPE_CHECKING:
    from collections.abc import Iterable

    from textual.app import ComposeResult

    from readiness.exchange.call_answers import CallAnswer
    from readiness.screens.actions import Act
    from readiness.screens.session import Session

LACKED = {"a day": "By which day? Like: thu 7 may 15:00", "why": "Why not?"}
"""How that is asked for which an answer lacks."""


class AnsweringScreen(WritingScreen):
    """A screen with a list of questions."""

    ANSWERS: ClassVar[tuple[Act, ...]] = ()
    """The keys of the answers; each id ends in that of an answer."""
    VIA: ClassVar[str] = ""
    """How an answer reaches the diary."""
    LEAD: ClassVar[str] = "they say:"

    def __init__(self, session: Session) -> None:
        """Take what all screens share."""
        super().__init__(session)
        self._lacking: CallAnswer | None = None

    def possible(self) -> Iterable[CallAnswer]:
        """Return what can be answered to the question under the cursor."""
        return ()

    def compose_answers(self) -> ComposeResult:
        """Yield the answers to the question under the cursor, and the field of what one lacks."""
        with Horizontal(id="answers"):
            yield Static(Content(self.LEAD), markup=False)
            for act in told_acts(self.ANSWERS, self.session.keys):
                yield Press(f"{act.key} {act.name}", f"screen.{act.action}", f"press-{act.id}")
        yield Field("lacks")

    def _answers(self) -> dict[str, CallAnswer]:
        return {answer.id: answer for answer in self.possible()}

    def _answer_of(self, act: Act) -> str:
        return act.id.removeprefix(f"{self.ID}-")

    @on(OptionList.OptionHighlighted)
    def show_answers(self) -> None:
        """Show what can be answered to the question under the cursor."""
        possible = self._answers()
        for act in self.ANSWERS:
            self.query_one(f"#press-{act.id}").display = self._answer_of(act) in possible
        self.query_one("#answers").display = bool(possible)
        self.refresh_bindings()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Offer only what can be answered to the question under the cursor."""
        if action == "answer" and self.is_mounted:
            return not self.is_proposing and str(parameters[0]) in self._answers()
        return super().check_action(action, parameters)

    def action_answer(self, id_: str) -> None:
        """Show what an answer would write, or have typed what it lacks."""
        answer = self._answers().get(id_)
        if answer is None:
            return
        if not answer.lacks:
            self.propose(Wanted((answer.words,), via=self.VIA))
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
            self.propose(Wanted((words,), via=self.VIA))

    def action_back(self) -> None:
        """Leave what is typed, else what is worked out, else the screen."""
        lacks = self.query_one("#lacks", Input)
        if lacks.has_focus:
            self.clear_lacking()
            return
        super().action_back()

    def written(self) -> None:
        """Clear what was typed."""
        self.clear_lacking()

    def clear_lacking(self) -> None:
        """Take the field of what an answer lacks away, and go back to the list."""
        lacks = self.query_one("#lacks", Input)
        lacks.value, lacks.display, self._lacking = "", False, None
        self.query_one(EntriesPane).focus()
