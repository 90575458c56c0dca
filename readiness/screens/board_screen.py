"""The screen of the board gate: may board start, what holds it up, and the depth of the foam.

Invariant: what is typed into the grid of a surface stays there until it is written, whatever else
is opened, read or resized; the day of the board is not that of the spray.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING

from textual import on
from textual.content import Content
from textual.widgets import OptionList, Static

from readiness.desk.proposing import Wanted
from readiness.exchange.call_answers import CallAnswer, answers_to
from readiness.facts.vocabulary import Gate
from readiness.gates.due import CallKind
from readiness.pages.moments import told
from readiness.questions.check import CheckAnswer, check
from readiness.screens.actions import BACK, Act, bindings, on_every_screen
from readiness.screens.answering_screen import AnsweringScreen
from readiness.screens.board_entries import (
    BLOCKER,
    DEPTH,
    DEPTHS,
    HOLDING,
    ITEMS,
    MILESTONES,
    ROOM,
    ROOMS,
    board_entries,
)
from readiness.screens.depth_grid import DepthGrid
from readiness.screens.depth_pane import DepthPane
from readiness.screens.entries_pane import EntriesPane

if TYPE_CHECKING:
    from datetime import date

    from textual.app import ComposeResult

    from readiness.screens.asker import Asked
    from readiness.screens.depth_typing import Typed
    from readiness.screens.question_screen import Progress
    from readiness.screens.session import Session
    from readiness.telling.board_asked import AskedLine
    from readiness.telling.case import Case

BOARD = Gate.BOARD.value
ONE_TYPED = "1 reading is typed and not written"


@dataclass(frozen=True, slots=True)
class _Found:
    """The answer, and the job it is of."""

    case: Case
    answer: CheckAnswer


def _answer(id_: str, key: str, name: str, does: str) -> Act:
    return Act(f"board-{id_}", key, name, does, f"answer({id_!r})")


def _list(id_: str, key: str, name: str, does: str, *, at_foot: bool = False) -> Act:
    return Act(f"board-{id_}", key, name, does, f"list({id_!r})", at_foot=at_foot)


ANSWERS = (
    _answer("yes", "y", "yes", "It is so, on what is shown."),
    _answer("no", "n", "no", "It is not so."),
    _answer("unknown", "u", "unknown", "Nobody knows yet."),
    _answer("promised", "p", "promised", "It is promised by a day, which you type."),
    _answer("done", "d", "done", "The work is done."),
    _answer("asked-for", "a", "asked for", "The office has been asked for its look."),
    _answer("passed", "s", "passed", "The look has passed."),
    _answer("failed", "f", "failed", "The look has failed."),
    _answer("cleaned", "w", "swept and cleaned", "The crew has cleaned up."),
    _answer("ventilated", "v", "ventilated", "Fans have run since the last foam."),
    _answer("may-enter", "m", "may enter", "A named person lets workers in again."),
)

OF_WORK = ("done", "promised")
"""What is answered here about work: a yes would only say that it will be done."""

LISTS = (
    _list(HOLDING, "h", "holding it", "Go to what holds the board up.", at_foot=True),
    _list(DEPTHS, "e", "depths", "Go to the depth of each surface.", at_foot=True),
    _list(ITEMS, "i", "items", "Go to what is seen, done and told after the spray.", at_foot=True),
    _list(MILESTONES, "l", "milestones", "Go to the milestones."),
    _list(ROOMS, "o", "rooms", "Go to the rooms that are released, and those that are not."),
)


class BoardScreen(AnsweringScreen):
    """May board start, and where."""

    ID = "board"
    HELP = (
        "Whether board may start, what holds it up by who clears it, which rooms are released, how"
        " deep the foam is, and what is still to be seen after the spray. A key or a click on its"
        " word answers the question under the cursor. Enter on a room shows only that room, and"
        " answers then speak for it alone; Enter on a depth opens the grid for its readings. The"
        " arrow keys left and right ask about another day for the board; b goes back to the agreed"
        " one."
    )
    ANSWERS = ANSWERS
    LEAD = "it is:"
    ACTS = on_every_screen(BACK, *LISTS, *ANSWERS, day_at_foot=False)
    BINDINGS = bindings(ACTS)
    CSS_PATH = "board_screen.tcss"
    FOLLOWS_DAY = True

    def __init__(self, session: Session) -> None:
        """Take what all screens share."""
        super().__init__(session)
        self.found: _Found | None = None
        self.typed: dict[str, Typed] = {}
        """What is typed and not written, by surface."""
        self._day: date | None = None
        """Another day for the board than the agreed one."""
        self._room = ""
        self._writes = ""
        """The surface whose readings stand in the pane of proposals."""

    def compose_own_panes(self) -> ComposeResult:
        """Yield the list, what is asked under its cursor, and the grid."""
        yield EntriesPane("board")
        yield Static(id="asks", markup=False)
        yield from self.compose_answers()
        yield DepthPane()

    def on_mount(self) -> None:
        """Begin in the list."""
        self.query_one(EntriesPane).focus()

    # The question

    @property
    def _is_shared(self) -> bool:
        """Say whether the day that all screens share is already one of the board."""
        return self.session.answered.answer.instants.gate == BOARD

    def question(self) -> tuple[object, ...]:
        """Return what tells one asking from another: the day of the board is one of its own."""
        return (*super().question(), self._is_shared, self._day)

    def work_out(self, case: Case, asked: Asked, progress: Progress) -> _Found:
        """Return whether board may start."""
        del progress
        on_day = asked.on if self._is_shared else self._day
        return _Found(case, check(case, on_day, Gate.BOARD))

    def show_found(self, found: object) -> None:
        """Show whether board may start."""
        assert isinstance(found, _Found)  # noqa: S101  as work_out returns it
        self.found = found
        self._draw()
        pane = self.query_one(DepthPane)
        if pane.display:
            pane.show(found.case, pane.surface, self.typed.get(pane.surface))

    def _draw(self) -> None:
        if self.found is None:
            return
        answer = self.found.answer
        rooms = {area.place: area.name for area in answer.board.areas} if answer.board else {}
        if self._room not in rooms:
            self._room = ""
        when = told(answer.instants.on)
        where = f" in {rooms[self._room]}" if self._room else ""
        pane = self.query_one(EntriesPane)
        pane.border_title = Content(f"may board start on {when}{where}?")
        typed = [surface for surface, each in self.typed.items() if each.count]
        shown = board_entries(answer, self._surfaces(), typed, tells_verdict=not self._is_shared)
        pane.show(shown)
        self.show_answers()

    def _surfaces(self) -> tuple[str, ...] | None:
        """Return what is shown; None means everything."""
        if not self._room or self.found is None:
            return None
        return self.found.case.site.places.surfaces_in[self._room]

    def action_move(self, days: int) -> None:
        """Ask about another day for the board."""
        if self._is_shared or self.found is None:
            super().action_move(days)
            return
        on_day = self._day or self.found.answer.instants.on.date()
        try:
            self._day = on_day + timedelta(days=days)
        except OverflowError:
            return
        self.show_answer()

    def action_booked(self) -> None:
        """Ask about the agreed day for the board."""
        self._day = None
        if self._is_shared:
            super().action_booked()
        else:
            self.show_answer()

    # Answers

    def _asked(self) -> list[AskedLine]:
        """Return what is asked under the cursor, place by place."""
        at = self.query_one(EntriesPane).at
        if self.found is None or self.found.answer.board is None or not at.startswith(BLOCKER):
            return []
        number, shown = int(at.removeprefix(BLOCKER)), self._surfaces()
        return [
            line
            for line in self.found.answer.board.asked
            if line.blocker == number
            and (shown is None or not set(shown).isdisjoint(line.surfaces))
        ]

    def possible(self) -> tuple[CallAnswer, ...]:
        """Return what can be answered to the question under the cursor."""
        asked = self._asked()
        if not asked:
            return ()
        first = asked[0]
        kinds = [CallKind(first.kind)]
        if kinds[0] is CallKind.LOOK:
            kinds.insert(0, CallKind.REQUEST)
        places = tuple(dict.fromkeys(place for line in asked for place in line.where))
        return tuple(
            answer
            for kind in kinds
            for answer in answers_to(kind, first.code, places, first.trip_id)
            if kind is not CallKind.WORK or answer.id in OF_WORK
        )

    @on(OptionList.OptionHighlighted)
    def show_answers(self) -> None:
        """Show what is asked under the cursor, and what can be answered."""
        self.query_one("#asks", Static).update(Content(self._asks()))
        super().show_answers()

    def _asks(self) -> str:
        at, asked = self.query_one(EntriesPane).at, self._asked()
        if asked:
            return f"Asked: {asked[0].says}"
        if at.startswith(DEPTH):
            return "Enter: type depth readings of this surface"
        if at.startswith(ROOM):
            is_all = at == f"{ROOM}{self._room}"
            return "Enter: show everything again" if is_all else "Enter: show only this place"
        return ""

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Leave the keys to the grid while it is open."""
        if action == "list" and self.is_mounted:
            return not self.query_one(DepthPane).display and not self.is_proposing
        return super().check_action(action, parameters)

    def action_list(self, name: str) -> None:
        """Go to a list."""
        pane = self.query_one(EntriesPane)
        ids = [entry.id for entry in pane.entries]
        heading = f"{EntriesPane.HEADING}{name}"
        if heading not in ids:
            return
        at = ids.index(heading)
        pane.focus()
        pane.highlighted = next(
            (n for n, id_ in enumerate(ids[at:], at) if not id_.startswith(EntriesPane.HEADING)),
            None,
        )
        pane.to_top(at)

    @on(OptionList.OptionSelected)
    def _open(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        id_ = event.option_id or ""
        if id_.startswith(ROOM):
            room = id_.removeprefix(ROOM)
            self._room = "" if room == self._room else room
            self._draw()
        elif id_.startswith(DEPTH):
            self.open_grid(id_.removeprefix(DEPTH))

    # The grid

    def open_grid(self, surface: str) -> None:
        """Open the grid of a surface, with what was typed before."""
        if self.found is None:
            return
        self.tell("")
        self.add_class("-grid")
        pane = self.query_one(DepthPane)
        pane.show(self.found.case, surface, self.typed.get(surface))
        pane.query_one(DepthGrid).focus()

    @on(DepthGrid.Changed)
    def _keep(self, event: DepthGrid.Changed) -> None:
        pane = self.query_one(DepthPane)
        self.typed[pane.surface] = event.typed
        if self.found is not None:
            self.tell("")
            pane.show(self.found.case, pane.surface, event.typed)

    @on(DepthGrid.Refused)
    def _refuse(self, event: DepthGrid.Refused) -> None:
        self.app.bell()
        self.tell(event.says)

    @on(DepthGrid.Finished)
    def action_write(self) -> None:
        """Show the line that the readings make, if none of them is wrong."""
        pane = self.query_one(DepthPane)
        typed = self.typed.get(pane.surface)
        if not pane.display or typed is None or not typed.count:
            self.tell("no reading is typed yet")
            return
        wrong = pane.wrong
        if wrong:
            place, why = next(iter(wrong.items()))
            self.tell(f"number {place + 1} is no reading yet: {why}")
            self._keep_at(place)
            return
        self._writes = pane.surface
        self.propose(Wanted((("depth", pane.surface, *typed.words),)))

    def _keep_at(self, place: int) -> None:
        pane = self.query_one(DepthPane)
        typed = self.typed[pane.surface].gone(place)
        self.typed[pane.surface] = typed
        if self.found is not None:
            pane.show(self.found.case, pane.surface, typed)

    def action_answer(self, id_: str) -> None:
        """Show what an answer would write."""
        self._writes = ""
        super().action_answer(id_)

    def action_back(self) -> None:
        """Leave the grid, then the screen; what is typed stays."""
        if not self.query_one(DepthPane).display:
            super().action_back()
            return
        self.remove_class("-grid")
        self._draw()
        self.query_one(EntriesPane).focus()
        self.tell(self.unwritten())

    def unwritten(self) -> str:
        """Return how many readings are typed and not written."""
        count = sum(each.count for each in self.typed.values())
        if not count:
            return ""
        return f"{count} readings are typed and not written" if count > 1 else ONE_TYPED

    def written(self) -> None:
        """Clear what was typed, of what was written."""
        if not self._writes:
            super().written()
            return
        del self.typed[self._writes]
        self._writes = ""
        self.remove_class("-grid")
        self._draw()
        self.query_one(EntriesPane).focus()
