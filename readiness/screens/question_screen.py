"""What every screen has: head, notice and foot, the shared day, and work in the background.

A screen says what it asks in `work_out`, which runs in a thread and touches nothing that is shown,
and shows what came back in `show_found`. It asks again when the job was read anew or written, when
time goes on, and, where it follows the day, when another day or gate is asked about.

Invariant: only handlers here change what is shown, and an answer to an earlier question than the
last one is dropped.
"""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, ClassVar, cast

from textual import on
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Input, Static
from textual.worker import Worker, WorkerState, get_current_worker

from readiness.screens.actions import BACK, on_every_screen
from readiness.screens.foot import Foot
from readiness.screens.head import Head
from readiness.screens.help_screen import HelpScreen
from readiness.screens.key_map import told_acts
from readiness.screens.messages import Found, Progressed
from readiness.screens.screen_table import JOB
from readiness.screens.screens_list import ScreensList

if TYPE_CHECKING:
    from collections.abc import Callable

    from textual.app import ComposeResult

    from readiness.screens.actions import Act
    from readiness.screens.app import JobApp
    from readiness.screens.asker import Asked
    from readiness.screens.session import Session
    from readiness.telling.case import Case

WORKING = "working it out; Esc stops it"


class Progress:
    """How far something is that takes long: whoever works says so and looks whether to go on."""

    def __init__(self, tell: Callable[[str], object], is_over: Callable[[], bool]) -> None:
        """Take what is called with a sentence, and what says whether nobody waits any more."""
        self.tell = tell
        self._is_over = is_over

    @property
    def is_cancelled(self) -> bool:
        """Say whether nobody waits for the answer any more."""
        return self._is_over()


class QuestionScreen(Screen[None]):
    """A screen that answers one question about the open job."""

    ID: ClassVar[str]
    """As in the table of screens."""
    HELP: ClassVar[str]
    """What F1 says of the screen where the focused pane has no help of its own."""
    ACTS: ClassVar[tuple[Act, ...]] = on_every_screen(BACK)
    """All its keys."""
    HEAD_LINES: ClassVar[int] = 1
    FOLLOWS_DAY: ClassVar[bool] = False
    """Another day or gate is another question."""
    FOLLOWS_CLOCK: ClassVar[bool] = True
    """Asks again as time goes on; a question that takes long had better not."""

    HORIZONTAL_BREAKPOINTS = [  # noqa: RUF012  the toolkit's
        (0, "-slim"),
        (76, "-narrow"),
        (100, "-wide"),
    ]
    VERTICAL_BREAKPOINTS = [  # noqa: RUF012  the toolkit's
        (0, "-low"),
        (34, "-tall"),
    ]

    def __init__(self, session: Session) -> None:
        """Take what all screens share."""
        super().__init__()
        self.session = session
        self._run = 0
        self._shown: tuple[object, ...] = ()
        """What was shared when the answer was shown last."""
        self._told_progress = False
        """The notice says how far the question is."""
        self._found_for: tuple[object, ...] | None = None
        self._worker: Worker[None] | None = None

    @property
    def job_app(self) -> JobApp:
        """Return the app, which asks and reads for all screens."""
        return cast("JobApp", self.app)

    def compose(self) -> ComposeResult:
        """Yield head, panes and foot."""
        yield Head(self.HEAD_LINES)
        yield Static(id="notice", markup=False)
        yield from self.compose_panes()
        yield Foot()

    def compose_panes(self) -> ComposeResult:
        """Yield what stands between notice and foot."""
        yield from ()

    def on_mount(self) -> None:
        """Show the answer there is, and ask."""
        self._catch_up()

    def _catch_up(self) -> None:
        self._shown = self._shared()
        self.show_answer()

    def _shared(self) -> tuple[object, ...]:
        session = self.session
        return session.asking, session.reading, session.surfaces

    def on_screen_resume(self) -> None:
        """Catch up with what has changed while another screen was open."""
        if self.is_mounted and self._shown != self._shared():
            self._catch_up()

    def tell(self, text: str) -> None:
        """Say something in the line under the head; nothing takes the line away."""
        notice = self.query_one("#notice", Static)
        notice.update(Content(text))
        notice.display = bool(text)

    def show_answer(self) -> None:
        """Show the shared answer, and ask the screen's own question anew if it is another one."""
        self.query_one(Head).show(self.session.answered)
        asked = self.question()
        if asked != self._found_for:
            self._found_for = asked
            self.find()

    def question(self) -> tuple[object, ...]:
        """Return what tells one asking from another: where it is the same, nothing is asked."""
        session = self.session
        day = session.asked if self.FOLLOWS_DAY else None
        moment = session.answered.answer.instants.as_of if self.FOLLOWS_CLOCK else None
        return session.reading, day, moment

    # The screen's own question

    def work_out(self, case: Case, asked: Asked, progress: Progress) -> object:
        """Return the answer of this screen; runs in a thread and touches nothing that is shown."""
        raise NotImplementedError

    def show_found(self, found: object) -> None:
        """Show what `work_out` returned."""

    def show_progress(self, says: str) -> None:
        """Show how far it is."""
        self._told_progress = True
        self.tell(says)

    def unwritten(self) -> str:
        """Return what is typed here and would be lost, as a sentence; empty if nothing is."""
        return ""

    def find(self) -> None:
        """Ask the screen's own question, if it has one beside the shared one."""
        self._run += 1
        if getattr(self.work_out, "__func__", None) is QuestionScreen.work_out:
            return
        self._worker = self.run_worker(
            partial(self._work_out, self._run, self.session.asked),
            thread=True,
            exclusive=True,
            exit_on_error=False,
            group="find",
        )

    def _work_out(self, run: int, asked: Asked) -> None:
        worker = get_current_worker()
        if worker.is_cancelled:
            return
        progress = Progress(
            lambda says: self.post_message(Progressed(run, says)), lambda: worker.is_cancelled
        )
        found = self.work_out(self.session.asker.case(), asked, progress)
        if not worker.is_cancelled:
            self.post_message(Found(run, found))

    @on(Found)
    def _take_found(self, event: Found) -> None:
        if event.run == self._run:
            self._worker = None
            if self._told_progress:
                self.tell("")
            self._told_progress = False
            self.show_found(event.found)

    @on(Progressed)
    def _take_progress(self, event: Progressed) -> None:
        if event.run == self._run:
            self.show_progress(event.says)

    @on(Worker.StateChanged)
    def _tell_failure(self, event: Worker.StateChanged) -> None:
        if event.state is WorkerState.ERROR:
            self.tell(f"a fault of this program: {event.worker.error}")

    # What keys and clicks do

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Leave the arrow keys to what somebody is typing in."""
        del parameters
        if action != "move":
            return True
        focused = self.focused
        return not (isinstance(focused, Input) or getattr(focused, "KEEPS_ARROWS", False))

    def action_move(self, days: int) -> None:
        """Ask about another day."""
        self.job_app.move(days)

    def action_booked(self) -> None:
        """Ask about the booked day."""
        self.job_app.ask_booked()

    def action_gate(self) -> None:
        """Ask the next gate."""
        self.job_app.ask_next_gate()

    def action_read_again(self) -> None:
        """Read the file again."""
        self.job_app.read_again()

    def action_back(self) -> None:
        """Stop what is being worked out, else go to the first screen."""
        if self._worker is not None and self._worker.is_running:
            self._worker.cancel()
            self._worker = None
            self._run += 1
            self.tell("stopped; r reads and asks again")
            return
        self.job_app.go(JOB)

    async def action_help(self) -> None:
        """Tell about the focused pane."""
        # The toolkit's own widgets have the name too, with nothing in it
        told = getattr(self.focused, "HELP", None) or self.HELP
        await self.app.push_screen(
            HelpScreen(str(told), told_acts(self.ACTS, self.session.keys)), self._do
        )

    async def _do(self, action: str | None) -> None:
        if action:
            await self.run_action(action)

    async def action_screens(self) -> None:
        """Show the list of screens."""
        await self.app.push_screen(ScreensList(self.ID, self.session.keys), self._go)

    def _go(self, id_: str | None) -> None:
        if id_:
            self.job_app.go(id_)
