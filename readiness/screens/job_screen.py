"""The screen of one job: verdict first, then what holds it up, then when each surface is open.

Invariant: only handlers here change what the panes show; an answer to an earlier question than the
last one is dropped.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import on, work
from textual.containers import Horizontal
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Footer, Static
from textual.worker import Worker, WorkerState, get_current_worker

from readiness.facts.vocabulary import Gate
from readiness.job.problems import JobFileError
from readiness.screens.actions import bindings
from readiness.screens.asker import Asked
from readiness.screens.edges_pane import EdgesPane
from readiness.screens.head import Head
from readiness.screens.help_screen import HelpScreen
from readiness.screens.holding_entries import holders_of
from readiness.screens.holding_pane import HoldingPane
from readiness.screens.messages import AnswerCame, FileWasRead
from readiness.screens.places_pane import PlacesPane, places_of

if TYPE_CHECKING:
    from textual.app import ComposeResult

    from readiness.screens.asker import Answered, Asker

GATES = (None, Gate.PROMISE, Gate.ROLL, Gate.GUN)
"""In the order in which the key goes through them; None is the one the two instants name."""

FILE_SECONDS = 1.0
"""How often the file is looked at."""
CLOCK_SECONDS = 30.0
"""How often the question is asked again while time goes on."""

LOOKS = ("holding", "people", "edges")


class JobScreen(Screen[None]):
    """One job."""

    BINDINGS = bindings()
    HORIZONTAL_BREAKPOINTS = [  # noqa: RUF012  the toolkit's
        (0, "-slim"),
        (76, "-narrow"),
        (100, "-wide"),
    ]
    VERTICAL_BREAKPOINTS = [  # noqa: RUF012  the toolkit's
        (0, "-low"),
        (34, "-tall"),
    ]

    def __init__(self, asker: Asker, answered: Answered, asked: Asked, hint: str = "") -> None:
        """Take an open job and the first answer.

        Args:
            asker: Asks the job.
            answered: The answer that is shown at once.
            asked: The question it answers.
            hint: A line under the head until something else has to be said.
        """
        super().__init__()
        self._asker = asker
        self.answered = answered
        self.asked = asked
        self._hint = hint
        self.surfaces: tuple[str, ...] | None = None
        """The chosen surfaces; None means all."""
        self._chosen_name = ""
        self.look = "holding"
        self._tells_why = False

    def compose(self) -> ComposeResult:
        """Yield head, panes and foot."""
        yield Head()
        yield Static(id="notice", markup=False)
        with Horizontal(id="panes"):
            yield PlacesPane()
            yield HoldingPane()
        yield EdgesPane()
        yield Footer(show_command_palette=False, compact=True)

    def on_mount(self) -> None:
        """Show the first answer and begin to look at the file."""
        self.add_class("-look-holding")
        self.tell(self._hint)
        self.show_answer()
        self.query_one(PlacesPane).focus()
        self.set_interval(FILE_SECONDS, self.look_at_file)
        if not self._asker.has_fixed_clock:
            self.set_interval(CLOCK_SECONDS, self.ask)

    def tell(self, text: str) -> None:
        """Say something in the line under the head; nothing takes the line away."""
        notice = self.query_one("#notice", Static)
        notice.update(Content(text))
        notice.display = bool(text)

    def show_answer(self) -> None:
        """Show the answer in every pane."""
        answer = self.answered.answer
        self.query_one(Head).show(self.answered)
        self.query_one(PlacesPane).show(places_of(answer))
        self.show_panes()

    def show_panes(self) -> None:
        """Show the answer in the panes that depend on what was chosen."""
        answer = self.answered.answer
        holding = self.query_one(HoldingPane)
        is_by_people = self.look == "people"
        holding.show(answer, self.surfaces, by_people=is_by_people, why=self._tells_why)
        of = self._chosen_name or "all places"
        order = "by person" if is_by_people else "what clears last first"
        count = len(holders_of(answer, self.surfaces))
        holding.border_title = Content(f"holding {of} up: {count}, {order}")
        self.query_one(PlacesPane).border_title = "rooms and surfaces"
        edges = self.query_one(EdgesPane)
        edges.border_title = Content(f"edges of {of}")
        edges.show(answer, self.surfaces)

    # What keys and clicks do

    def action_move(self, days: int) -> None:
        """Ask about another day."""
        self.asked = self.asked.moved(days, self.answered.answer.instants.on)
        self.ask()

    def action_booked(self) -> None:
        """Ask about the booked day."""
        self.asked = Asked(None, self.asked.gate)
        self.ask()

    def action_gate(self) -> None:
        """Ask the next gate."""
        following = (GATES.index(self.asked.gate) + 1) % len(GATES)
        self.asked = Asked(self.asked.on, GATES[following])
        self.ask()

    def action_look(self, look: str) -> None:
        """Show one of the looks, and go to its pane."""
        for name in LOOKS:
            self.set_class(name == look, f"-look-{name}")
        self.look = look
        self.show_panes()
        self.query_one(EdgesPane if look == "edges" else HoldingPane).focus()

    def action_why(self) -> None:
        """Tell sources, or leave them out."""
        self._tells_why = not self._tells_why
        self.show_panes()

    def action_everything(self) -> None:
        """Show what holds any surface."""
        self.surfaces, self._chosen_name = None, ""
        self.show_panes()

    async def action_help(self) -> None:
        """Tell about the focused pane."""
        told = getattr(self.focused, "HELP", PlacesPane.HELP)
        await self.app.push_screen(HelpScreen(str(told)), self._do)

    async def _do(self, action: str | None) -> None:
        if action:
            await self.run_action(action)

    def action_read_again(self) -> None:
        """Read the file again."""
        self.read_again()

    # What comes in

    @on(PlacesPane.Chosen)
    def _choose(self, event: PlacesPane.Chosen) -> None:
        place = event.place
        self.surfaces = place.surfaces
        self._chosen_name = "" if place.surfaces is None else place.name
        self.show_panes()

    @on(AnswerCame)
    def _take_answer(self, event: AnswerCame) -> None:
        if event.asked != self.asked:
            return
        self.answered = event.answered
        known = {line.surface for line in self.answered.answer.surfaces}
        if self.surfaces is not None and not known.issuperset(self.surfaces):
            self.surfaces, self._chosen_name = None, ""
        self.show_answer()

    @on(FileWasRead)
    def _take_file(self, event: FileWasRead) -> None:
        if event.problems:
            more = len(event.problems) - 1
            others = f" (and {more} more)" if more else ""
            self.tell(f"not read again, this is the job as it was: {event.problems[0]}{others}")
            return
        self.tell("")
        self.ask()

    @on(Worker.StateChanged)
    def _tell_failure(self, event: Worker.StateChanged) -> None:
        if event.state is WorkerState.ERROR:
            self.tell(f"a fault of this program: {event.worker.error}")

    def on_app_focus(self) -> None:
        """Look at the file when somebody comes back to the terminal."""
        self.look_at_file()

    def look_at_file(self) -> None:
        """Read the file again if it has changed."""
        if self._asker.has_changed():
            self.read_again()

    # What takes time

    @work(thread=True, exclusive=True, exit_on_error=False, group="ask")
    def ask(self) -> None:
        """Ask what is asked now; a question that was overtaken while it waited is left out."""
        asked = self.asked
        if get_current_worker().is_cancelled:
            return
        self.post_message(AnswerCame(asked, self._asker.ask(asked)))

    @work(thread=True, exclusive=True, exit_on_error=False, group="read")
    def read_again(self) -> None:
        """Read the file, then ask."""
        try:
            self._asker.read_again()
        except JobFileError as error:
            self.post_message(FileWasRead(tuple(str(problem) for problem in error.problems)))
        else:
            self.post_message(FileWasRead(()))
