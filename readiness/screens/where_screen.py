"""The screen of who is where: the whole plan as places and days, and what sets the start of board.

The plan imports a solver, which takes longer than a first frame; so it is imported where it runs,
in the thread, and not with the screen.
Invariant: the cells are those of `plan`, and its dates are shown with every verdict they change
before they are written.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import on
from textual.containers import Container
from textual.content import Content
from textual.widgets import OptionList, Static

from readiness.desk.proposing import Wanted
from readiness.pages.columns import cut
from readiness.screens.actions import BACK, Act, bindings, on_every_screen
from readiness.screens.entries_pane import EntriesPane
from readiness.screens.lines import Entry, Line, content_of
from readiness.screens.lines_pane import LinesPane
from readiness.screens.where_entries import (
    begin_at,
    cell_entries,
    cell_of_entry,
    list_entries,
    place_told,
    says_entry,
    without_grid,
)
from readiness.screens.where_grid import WhereGrid
from readiness.screens.where_sheet import sheet_of
from readiness.screens.writing_screen import WritingScreen

if TYPE_CHECKING:
    from collections.abc import Callable

    from textual.app import ComposeResult
    from textual.events import Resize

    from readiness.pages.plan_cells import Cell
    from readiness.questions.plan import PlanAnswer
    from readiness.screens.asker import Asked
    from readiness.screens.question_screen import Progress
    from readiness.screens.session import Session
    from readiness.telling.case import Case

BY_PLAN = "by plan"
"""How the dates of a plan reach the diary."""
LIST = "steps, moves, letters"


class _LeftError(Exception):
    """Nobody waits for the plan any more."""


class _Search:
    """One search for a plan, and what ends the part of it that runs now."""

    def __init__(self, progress: Progress) -> None:
        self._progress = progress
        self.stop: Callable[[], None] = lambda: None

    def watch(self, says: str, stop: Callable[[], None]) -> None:
        """Say what is looked at next, or end the search because nobody waits for it."""
        self.stop = stop
        if self._progress.is_cancelled:
            raise _LeftError
        self._progress.tell(f"working out the plan: {says}; Esc stops it")


class CellPane(LinesPane):
    """Who is in a place on a day."""

    HELP = (
        "Who is in the place under the cursor on that day, from when to when, with the number to"
        " call, what for, why then, and whether it is a step of what sets the start of board."
    )


class WhereScreen(WritingScreen):
    """Who is where."""

    ID = "where"
    HELP = (
        "The whole plan: dates for everything that is open, places down and days across, and what"
        " sets the start of board, numbered in its cells and written out. Below the grid stands who"
        " is in the place under the cursor that day. In the grid the arrow keys move the cursor;"
        " in the lists left and right ask about another day, as everywhere. A plan makes no"
        " evidence: whether a surface may be sprayed on the day, the first screen says."
    )
    ACTS = on_every_screen(
        Act(
            "where-write",
            "w",
            "write dates",
            "Show the dates of the plan as entries for the diary, and what they change.",
            "take",
            at_foot=True,
        ),
        Act(
            "where-list",
            "s",
            "steps",
            "Go to what sets the start of board, what moves and what is not proven, or back.",
            "list",
            at_foot=True,
        ),
        BACK,
        day_at_foot=False,
    )
    BINDINGS = bindings(ACTS)
    CSS_PATH = "where_screen.tcss"
    FOLLOWS_CLOCK = False

    def __init__(self, session: Session) -> None:
        """Take what all screens share."""
        super().__init__(session)
        self.found: PlanAnswer | None = None
        self._search: _Search | None = None
        self._said: Entry | None = None
        """What stands above the grid."""
        self._was_stopped = False

    def compose_own_panes(self) -> ComposeResult:
        """Yield what the plan comes to, the grid, and below it a cell and the list."""
        with Container(id="where-panes"):
            yield Static(id="where-says", markup=False)
            yield WhereGrid()
            yield Static(id="where-letters", markup=False)
            with Container(id="where-lower"):
                yield CellPane("where-cell")
                yield EntriesPane("where-list")

    def on_mount(self) -> None:
        """Begin in the grid."""
        self.query_one("#where-list", EntriesPane).border_title = LIST
        self.query_one(WhereGrid).focus()
        self._say(Entry("says", (Line("working out the plan; Esc stops it"),)))

    def on_unmount(self) -> None:
        """End a search that nobody waits for any more."""
        if self._search is not None:
            self._search.stop()

    # What takes time

    def find(self) -> None:
        """Ask for the plan anew; a search that still runs ends."""
        before = self._search
        super().find()
        if before is not None:
            before.stop()

    def work_out(self, case: Case, asked: Asked, progress: Progress) -> PlanAnswer | None:
        """Return the plan; None if nobody waits for it any more."""
        from readiness.questions.plan import plan

        del asked
        search = self._search = _Search(progress)
        try:
            return plan(case, search.watch)
        except _LeftError:
            return None

    def show_progress(self, says: str) -> None:
        """Show how far it is where the plan will stand, or in the title of the one before."""
        if self.found is None:
            self._say(Entry("says", (Line(says),)))
        else:
            self.query_one(WhereGrid).border_title = Content(says)

    def show_found(self, found: object) -> None:
        """Show the plan."""
        answer = _answer_of(found)
        if answer is None:
            return
        self.found = answer
        if self._was_stopped:
            self.tell("")
        self._was_stopped = False
        self._show_plan(answer)
        self.refresh_bindings()

    def _show_plan(self, answer: PlanAnswer) -> None:
        sheet = sheet_of(answer)
        self._say(says_entry(answer))
        grid, pane = self.query_one(WhereGrid), self.query_one("#where-list", EntriesPane)
        at = grid.view.at
        if at is None or at not in sheet.cells:
            at = begin_at(answer, sheet.rows, sheet.days)
        grid.show(sheet, at)
        self.set_class(at is None, "-none")
        if at is None:
            pane.show([*without_grid(answer), *list_entries(answer)])
            if not self.is_proposing:
                pane.focus()
            return
        pane.show(list_entries(answer))
        self._show_cell(at)
        if self.focused is None:
            grid.focus()

    def _say(self, entry: Entry) -> None:
        self._said = entry
        columns = max(self.size.width, 20)
        self.query_one("#where-says", Static).update(content_of(entry, columns))

    def on_resize(self, event: Resize) -> None:
        """Wrap what stands above the grid anew."""
        del event
        if self._said is not None:
            self._say(self._said)

    def _show_cell(self, cell: Cell) -> None:
        if self.found is None:
            return
        pane = self.query_one("#where-cell", LinesPane)
        year = self.found.instants.as_of.year
        pane.border_title = Content(place_told(cell, year))
        pane.show(cell_entries(self.found, cell))

    # What keys and clicks do

    @on(WhereGrid.Turned)
    def _tell_letters(self, event: WhereGrid.Turned) -> None:
        """Tell what the letters in sight mean; where lines are few, in one that is cut."""
        legend = cut(event.legend, self.size.width) if self.has_class("-low") else event.legend
        self.query_one("#where-letters", Static).update(Content(legend))

    @on(WhereGrid.Moved)
    def _take_cell(self, event: WhereGrid.Moved) -> None:
        self._show_cell(event.cell)

    @on(WhereGrid.Chosen)
    def _ask_about(self, event: WhereGrid.Chosen) -> None:
        self.job_app.ask_on(event.day)

    @on(OptionList.OptionHighlighted, "#where-list")
    def _follow(self) -> None:
        """Move the cursor of the grid to the step that is read."""
        if self.query_one("#where-list", EntriesPane).has_focus:
            self._go_to_entry()

    @on(OptionList.OptionSelected, "#where-list")
    def _choose(self) -> None:
        if self._go_to_entry():
            self._show_list(shows=False)

    def _go_to_entry(self) -> bool:
        grid, pane = self.query_one(WhereGrid), self.query_one("#where-list", EntriesPane)
        if self.found is None:
            return False
        cell = cell_of_entry(pane.at, self.found, grid.view.sheet.rows)
        if cell is not None:
            grid.go_to(cell)
        return cell is not None

    def action_list(self) -> None:
        """Go to the list, or back into the grid."""
        self._show_list(shows=not self.query_one("#where-list", EntriesPane).has_focus)

    def _show_list(self, *, shows: bool) -> None:
        self.set_class(shows, "-list")
        pane = self.query_one("#where-list", EntriesPane)
        (pane if shows else self.query_one(WhereGrid)).focus()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Offer to write only where the plan has dates to write."""
        if action == "take" and self.is_mounted:
            return not self.is_proposing and self.found is not None
        if action == "list" and self.is_mounted:
            return not self.is_proposing and not self.has_class("-none")
        return super().check_action(action, parameters)

    def action_take(self) -> None:
        """Show the dates of the plan as entries, and what they change."""
        answer = self.found
        if answer is None:
            return
        if answer.board is None:
            self.tell(f"nothing is written: {answer.sentence}")
        elif not answer.lines:
            self.tell("there is nothing to write: every date stands as the plan has it")
        else:
            self.propose(Wanted(fields=answer.lines, via=BY_PLAN))

    def action_back(self) -> None:
        """Stop, and say what is shown now; from the list go back into the grid."""
        was_working = self._worker is not None
        if not was_working and self.has_class("-list"):
            self._show_list(shows=False)
            return
        super().action_back()
        if was_working and self._search is not None:
            self._search.stop()
            self._was_stopped = True
            self.show_progress(
                f"stopped: {'the plan from before' if self.found else 'there is no plan yet'}"
            )


def _answer_of(found: object) -> PlanAnswer | None:
    from readiness.questions.plan import PlanAnswer

    assert found is None or isinstance(found, PlanAnswer)  # noqa: S101  as work_out returns it
    return found
