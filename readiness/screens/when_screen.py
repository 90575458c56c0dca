"""The screen of days: each with its verdict, and the first and last spray day of every part.

Invariant: a day's verdict is that of `check` for this day and the gate that is asked.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING

from textual import on
from textual.containers import Container, VerticalScroll
from textual.content import Content
from textual.widgets import OptionList, Static

from readiness.pages.columns import wrapped
from readiness.pages.when_text import when_text
from readiness.questions.check import CheckAnswer, check
from readiness.questions.when import WhenAnswer, when
from readiness.screens.actions import BACK, Act, bindings, on_every_screen
from readiness.screens.day_entries import DAY, day_entries, day_of
from readiness.screens.entries_pane import EntriesPane
from readiness.screens.question_screen import QuestionScreen

if TYPE_CHECKING:
    from textual.app import ComposeResult
    from textual.events import Resize

    from readiness.screens.asker import Asked
    from readiness.screens.question_screen import Progress
    from readiness.screens.session import Session
    from readiness.telling.case import Case

DAYS = 28
"""So many days are asked about at first, and so many more each time."""
WEEK = 7
"""How far it is, is told this often."""


@dataclass(frozen=True, slots=True)
class Days:
    """What was found."""

    answers: tuple[CheckAnswer, ...]
    """One for each day, in order."""
    when: WhenAnswer


class WindowsPane(VerticalScroll):
    """The answer of `when`, wrapped to the width."""

    HELP = (
        "What `when` says: for each trip and each surface the first and the last spray day, what"
        " opens it and what closes it, and the fewest trips that would do."
    )

    def __init__(self) -> None:
        """Start empty."""
        super().__init__(id="windows", classes="pane")
        self._text = ""
        self.border_title = "first and last spray day"

    def compose(self) -> ComposeResult:
        """Yield what holds the text."""
        yield Static(id="windows-lines", markup=False)

    def show(self, answer: WhenAnswer) -> None:
        """Show an answer; its first line stands in the head already."""
        self._text = when_text(answer).partition("\n")[2].strip("\n")
        self._draw()

    def on_resize(self, event: Resize) -> None:
        """Draw again for another width."""
        del event
        self._draw()

    def _draw(self) -> None:
        columns = max(self.scrollable_content_region.width, 20)
        rows = [row for line in self._text.splitlines() for row in _rows(line, columns)]
        self.query_one("#windows-lines", Static).update(Content("\n".join(rows)))


def _rows(line: str, columns: int) -> list[str]:
    indent = " " * (len(line) - len(line.lstrip()))
    return wrapped(line.strip(), columns, indent + "  ", indent) if line.strip() else [""]


class WhenScreen(QuestionScreen):
    """The days."""

    ID = "when"
    HELP = (
        "Day by day whether the rig may come, from the day of what is known on, and what clears"
        " last. Enter or a click on a day asks about it on all screens. Beside or below it stands"
        " what `when` says: first and last spray day of each trip and surface, and by what."
    )
    ACTS = on_every_screen(
        BACK, Act("when-later", "l", "later", "Ask about later days too.", "later", at_foot=True)
    )
    BINDINGS = bindings(ACTS)
    CSS_PATH = "when_screen.tcss"
    FOLLOWS_CLOCK = False

    def __init__(self, session: Session) -> None:
        """Take what all screens share."""
        super().__init__(session)
        self._count = DAYS
        self._days: Days | None = None

    def compose_panes(self) -> ComposeResult:
        """Yield the days and the windows."""
        with Container(id="when-panes"):
            yield EntriesPane("days")
            yield WindowsPane()

    def on_mount(self) -> None:
        """Begin in the list of days."""
        self.query_one(EntriesPane).focus()

    def question(self) -> tuple[object, ...]:
        """Ask again for another gate and on another day of what is known, not for another day."""
        known = self.session.answered.answer.instants.as_of.date()
        return self.session.reading, self.session.asked.gate, known

    def show_answer(self) -> None:
        """Move the sign of the asked day too."""
        super().show_answer()
        self._show_days()

    def work_out(self, case: Case, asked: Asked, progress: Progress) -> Days | None:
        """Return the verdict of each day, and the windows."""
        found: list[CheckAnswer] = []
        moment = case.teller.moment(case.outlook.seen.as_of)
        assert moment is not None  # noqa: S101  as_of is a real instant
        for number in range(self._count):
            if progress.is_cancelled:
                return None
            found.append(check(case, moment.date() + timedelta(days=number), asked.gate))
            if number % WEEK == 0:
                progress.tell(f"{number} of {self._count} days; Esc stops it")
        return Days(tuple(found), when(case))

    def show_found(self, found: object) -> None:
        """Show the days."""
        if not isinstance(found, Days):
            return
        is_first = self._days is None
        self._days = found
        self.query_one(WindowsPane).show(found.when)
        self._show_days()
        if is_first:
            asked = self.session.answered.answer.instants.on.date()
            self.query_one(EntriesPane).go_to(f"{DAY}{asked.isoformat()}")

    def _show_days(self) -> None:
        if self._days is None:
            return
        answered = self.session.answered
        asked = answered.answer.instants.on.date()
        booked = answered.booked.date() if answered.booked else None
        pane = self.query_one(EntriesPane)
        pane.border_title = Content(f"{len(self._days.answers)} days; Enter asks about one")
        pane.show(day_entries(self._days.answers, asked, booked))

    @on(OptionList.OptionSelected, "#days")
    def _ask_day(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        day = day_of(event.option_id or "")
        if day is not None:
            self.job_app.ask_on(day)

    def action_later(self) -> None:
        """Ask about later days too."""
        self._count += DAYS
        self.find()
