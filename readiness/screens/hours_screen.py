"""The screen of hours: how the day asked about goes, from the first hour to the release.

Invariant: what is shown beside the answer of all screens was asked for the same day and trip.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import on
from textual.content import Content
from textual.widgets import OptionList

from readiness.job.problems import JobFileError
from readiness.questions.check import check
from readiness.questions.conditions import conditions
from readiness.questions.foam import foam
from readiness.questions.record import record
from readiness.screens.actions import BACK, Act, bindings, on_every_screen
from readiness.screens.entries_pane import EntriesPane
from readiness.screens.hours_entries import hours_entries, hours_title
from readiness.screens.hours_rows import ROW, row_at
from readiness.screens.hours_steps import Answers
from readiness.screens.question_screen import QuestionScreen

if TYPE_CHECKING:
    from datetime import date

    from textual.app import ComposeResult

    from readiness.foam.hours import Forecast
    from readiness.screens.asker import Asked
    from readiness.screens.question_screen import Progress
    from readiness.screens.session import Session
    from readiness.telling.case import Case


class HoursScreen(QuestionScreen):
    """The day by hours."""

    ID = "hours"
    HELP = (
        "How the day asked about goes: each hour against the limits, if there is a forecast, beside"
        " what the crew does then, from the rig's arrival to its leaving; from when nobody may be"
        " inside, who is booked inside meanwhile, and before when nobody may come in again. Enter"
        " or a click on an hour tells each group of surfaces. A forecast.csv or forecast.json"
        " beside the job file is taken, or the one that --forecast names. The crew lead decides on"
        " the spot, and a named person releases; nothing here is a go."
    )
    ACTS = on_every_screen(
        Act("hours-now", "n", "now", "Go to the hour that is now.", "now", at_foot=True), BACK
    )
    BINDINGS = bindings(ACTS)
    CSS_PATH = "hours_screen.tcss"
    FOLLOWS_DAY = True

    def __init__(self, session: Session) -> None:
        """Take what all screens share."""
        super().__init__(session)
        self.found: Answers | None = None
        self._opened: set[str] = set()
        self._drawn_day: date | None = None

    def compose_panes(self) -> ComposeResult:
        """Yield the one list."""
        yield EntriesPane("hours")

    def on_mount(self) -> None:
        """Begin in the list."""
        self.query_one(EntriesPane).focus()

    def show_answer(self) -> None:
        """Show the shared answer in the rows too."""
        super().show_answer()
        self._draw()

    def work_out(self, case: Case, asked: Asked, progress: Progress) -> Answers:
        """Return the hours, the foam and what is noted of the trip asked about."""
        del progress
        forecast: Forecast | None = None
        refused = ""
        try:
            forecast = self.session.asker.forecast()
        except JobFileError as error:
            more = len(error.problems) - 1
            refused = f"{error.problems[0]}{f' (and {more} more)' if more else ''}"
        weather = conditions(case, forecast, asked.on)
        return Answers(
            conditions=weather,
            foam=foam(case, asked.on, weather.trip),
            trip=next((each for each in record(case).trips if each.trip == weather.trip), None),
            others=tuple(
                check(case, None, None, trip)
                for trip in case.outlook.closures
                if trip != weather.trip
            ),
            refused=refused,
        )

    def show_found(self, found: object) -> None:
        """Show the day."""
        assert isinstance(found, Answers)  # noqa: S101  as work_out returns it
        self.found = found
        self._draw()

    def _draw(self) -> None:
        answer, found = self.session.answered.answer, self.found
        if found is None or found.conditions.instants.on.date() != answer.instants.on.date():
            return
        pane = self.query_one(EntriesPane)
        pane.border_title = Content(hours_title(found))
        pane.show(hours_entries(answer, found, self._opened))
        if self._drawn_day != answer.instants.on.date():
            # Another day begins at its top, and what was said of the one before is over
            if self._drawn_day is not None:
                self.tell("")
                pane.action_first()
                pane.scroll_home(animate=False)
            self._drawn_day = answer.instants.on.date()

    # What keys and clicks do

    @on(OptionList.OptionSelected, "#hours")
    def _open(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        id_ = event.option_id or ""
        if id_.startswith(ROW):
            self._opened ^= {id_}
            self._draw()

    def action_now(self) -> None:
        """Go to the hour that is now."""
        pane = self.query_one(EntriesPane)
        row = row_at(pane.entries, self.session.answered.answer.instants.as_of)
        if not row:
            self.tell("now is on another day")
            return
        pane.focus()
        pane.go_to(row)
