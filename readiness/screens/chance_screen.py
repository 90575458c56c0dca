"""The screen of chances: how likely each day is, what holds it, what one call would be worth.

The trials import numpy, which takes as long as a first frame; so they are imported where they run,
in the thread, and not with the screen.
Invariant: nothing waits for the trials but the list itself, and whoever leaves or asks something
else ends them at the next block.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import on
from textual.content import Content
from textual.widgets import OptionList

from readiness.screens.actions import BACK, Act, bindings, on_every_screen
from readiness.screens.asker import Asked
from readiness.screens.chance_entries import (
    ASSUMED,
    DAYS,
    HOLDS,
    WORTH,
    chance_entries,
    day_of_entry,
)
from readiness.screens.entries_pane import EntriesPane
from readiness.screens.lines import Entry, Line
from readiness.screens.question_screen import QuestionScreen

if TYPE_CHECKING:
    from textual.app import ComposeResult

    from readiness.questions.chance import ChanceAnswer
    from readiness.screens.question_screen import Progress
    from readiness.screens.session import Session
    from readiness.telling.case import Case

TRIALS = 10_000
MOST_TRIALS = 160_000
TIMES_MORE = 4
"""So many more futures halve every error."""


class _LeftError(Exception):
    """Nobody waits for the trials any more."""


class ChanceScreen(QuestionScreen):
    """How likely each day is."""

    ID = "chance"
    HELP = (
        "How likely each day is, from thousands of futures drawn at random: in each of them work"
        " takes longer or shorter, a look may fail, a trade may stay away, it may rain. Every"
        " figure stands with its standard error (+-). Left and right ask about another day, Enter"
        " or a click on a day asks about that one. What a call is worth is told for the day asked"
        " about. It promises nothing: check says what holds the day up now."
    )
    ACTS = on_every_screen(
        Act("chance-days", "d", "days", "Go to the days.", f"part({DAYS!r})"),
        Act(
            "chance-holds",
            "h",
            "holds",
            "Go to what holds it most often.",
            f"part({HOLDS!r})",
            at_foot=True,
        ),
        Act(
            "chance-worth",
            "w",
            "worth",
            "Go to what one call would be worth.",
            f"part({WORTH!r})",
            at_foot=True,
        ),
        Act("chance-assumed", "a", "assumed", "Go to what it reckons with.", f"part({ASSUMED!r})"),
        Act(
            "chance-more",
            "m",
            "more futures",
            "Draw four times as many futures, which halves every error.",
            "more",
        ),
        BACK,
    )
    BINDINGS = bindings(ACTS)
    CSS_PATH = "chance_screen.tcss"
    FOLLOWS_DAY = True
    FOLLOWS_CLOCK = False

    def __init__(self, session: Session) -> None:
        """Take what all screens share."""
        super().__init__(session)
        self.trials = TRIALS
        self.found: ChanceAnswer | None = None

    def compose_panes(self) -> ComposeResult:
        """Yield the one list."""
        yield EntriesPane("chances")

    def on_mount(self) -> None:
        """Begin in the list."""
        pane = self.query_one(EntriesPane)
        pane.border_title = "how likely is each day?"
        pane.focus()

    # What takes time

    def work_out(self, case: Case, asked: Asked, progress: Progress) -> ChanceAnswer | str:
        """Return the chances, or why there are none for the day asked about."""
        from readiness.questions.chance import DayError, chance

        def watch(part: str, share: float) -> None:
            if progress.is_cancelled:
                raise _LeftError
            progress.tell(f"{part}: {share * 100:.0f} % of {self.trials:,}, Esc stops it")

        watch("drawing futures", 0.0)
        try:
            return chance(case, asked.on, trials=self.trials, watch=watch)
        except DayError as error:
            return str(error)
        except _LeftError:
            return ""

    def show_progress(self, says: str) -> None:
        """Show how far it is in the title, where it moves nothing."""
        self.query_one(EntriesPane).border_title = Content(says)

    def show_found(self, found: object) -> None:
        """Show the chances."""
        pane = self.query_one(EntriesPane)
        if isinstance(found, str):
            self.found = None
            pane.border_title = "no day for a rig"
            told = (Line(f"No rig can arrive then: {found}."), Line("left and right go on."))
            pane.show([Entry(f"{EntriesPane.HEADING}refused", told)])
            return
        self.found = answer = _answer_of(found)
        trip = f"chance of the {answer.trip_name} trip"
        pane.border_title = Content(f"{trip}: {answer.trials:,} futures drawn")
        pane.show(chance_entries(answer))
        self.refresh_bindings()

    # What keys and clicks do

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Draw no more futures than a command would."""
        if action == "more":
            return self.trials < MOST_TRIALS or None
        return super().check_action(action, parameters)

    def action_more(self) -> None:
        """Draw more futures."""
        self.trials = min(self.trials * TIMES_MORE, MOST_TRIALS)
        self.find()

    def action_back(self) -> None:
        """Stop, and say in the title what is shown now."""
        was_working = self._worker is not None
        super().action_back()
        if was_working and self.is_current:
            drawn = f"{self.found.trials:,} futures, as before" if self.found else "nothing drawn"
            self.show_progress(f"stopped: {drawn}")

    def action_part(self, part: str) -> None:
        """Go to one part of the list."""
        pane = self.query_one(EntriesPane)
        ids = [entry.id for entry in pane.entries]
        first = next((n for n, id_ in enumerate(ids) if id_.startswith(f"{part} ")), None)
        if first is None:
            self.tell("there is nothing of it for this day")
            return
        pane.focus()
        pane.highlighted = first
        pane.scroll_to_highlight(top=True)

    @on(OptionList.OptionSelected, "#chances")
    def _ask_about(self, event: OptionList.OptionSelected) -> None:
        line = day_of_entry(event.option.id or "", self.found) if self.found else None
        if line is not None:
            self.job_app.ask_on(line.arrival.date())


def _answer_of(found: object) -> ChanceAnswer:
    from readiness.questions.chance import ChanceAnswer

    assert isinstance(found, ChanceAnswer)  # noqa: S101  as work_out returns it
    return found
