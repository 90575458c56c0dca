"""Puts the screens of a job together with their themes, and asks and reads for all of them.

Nothing of a job is imported before the first frame is drawn: whoever opens a job sees its name at
once, and its screens as soon as it is read.
Invariant: what the screens share stands in the session; the app itself holds no state of the job,
and a screen that was opened keeps what is on it until the app ends.
"""

from __future__ import annotations

from dataclasses import replace
from importlib import import_module
from typing import TYPE_CHECKING

from textual import on, work
from textual.app import App, SystemCommand
from textual.binding import Binding
from textual.worker import Worker, WorkerState, get_current_worker

from readiness.facts.vocabulary import Gate
from readiness.job.problems import JobFileError
from readiness.screens.messages import AnswerCame, FileWasRead, JobWasOpened
from readiness.screens.screen_table import JOB, row_of
from readiness.screens.themes import NAMES, THEMES, next_name
from readiness.screens.waiting_screen import WaitingScreen

if TYPE_CHECKING:
    from collections.abc import Awaitable, Callable, Iterable
    from datetime import date

    from textual.screen import Screen

    from readiness.screens.question_screen import QuestionScreen
    from readiness.screens.session import Session

HINT = "Try:  right  a day later    e  when each surface is open    p  whom to call"
"""Under the verdict of a starter: three keys, by what they are for."""

GATES = (None, Gate.PROMISE, Gate.ROLL, Gate.GUN)
"""In the order in which the key goes through them; None is the one the two instants name."""

FILE_SECONDS = 1.0
"""How often the files are looked at."""
CLOCK_SECONDS = 30.0
"""How often the question is asked again while time goes on."""


class JobApp(App[None]):
    """The terminal screens of one job."""

    TITLE = "readiness"
    CSS_PATH = ["question_screen.tcss", "job_screen.tcss"]  # noqa: RUF012  the toolkit's
    BINDINGS = [  # noqa: RUF012  the toolkit's
        Binding("ctrl+q", "quit", "quit", show=False, priority=True, system=True)
    ]

    session: Session
    """Not there before the job is read."""

    def __init__(
        self, opens: Session | Callable[[], Session], *, name: str = "", theme: str = NAMES[0]
    ) -> None:
        """Take an open job with its first answer, or what opens it, and the name of a theme.

        Args:
            opens: The session, or what returns it and may take its time.
            name: What is read, in words, while it is.
            theme: One of `NAMES`.
        """
        super().__init__()
        self.failed: Exception | None = None
        """Why the job could not be opened, once the app has ended."""
        self._opens = opens if callable(opens) else None
        self._waiting = WaitingScreen(name)
        self._opened: dict[str, QuestionScreen] = {}
        self._is_unread = False
        """The notice says that the files could not be read."""
        self._warned = ""
        """What was said to be lost when somebody wanted to leave."""
        for known in THEMES:
            self.register_theme(known)
        self.theme = theme
        if not callable(opens):
            self._take_in(opens)

    def get_default_screen(self) -> Screen[None]:
        """Return the screen of the job, which lies under all others, or what comes before."""
        return self._opened.get(JOB, self._waiting)

    def on_mount(self) -> None:
        """Open the job, or begin to look at its files."""
        if self._opens is None:
            self._begin_to_look()
        else:
            self.open_job()

    def _take_in(self, session: Session) -> None:
        from readiness.screens.job_screen import JobScreen

        self.session = session
        self.set_keymap(dict(session.keys))
        self._opened[JOB] = JobScreen(session)

    def _begin_to_look(self) -> None:
        """Begin to look at the files and at the clock."""
        self.set_interval(FILE_SECONDS, self.look_at_file)
        if not self.session.asker.has_fixed_clock:
            self.set_interval(CLOCK_SECONDS, self.ask)

    @property
    def shown(self) -> QuestionScreen:
        """Return the screen that answers a question, though a window may lie on it."""
        from readiness.screens.question_screen import QuestionScreen

        return next(
            screen for screen in reversed(self.screen_stack) if isinstance(screen, QuestionScreen)
        )

    def get_system_commands(self, screen: Screen[object]) -> Iterable[SystemCommand]:
        """Yield our commands by name; the toolkit's own are among them."""
        if not self._opened:
            return
        for act in self.shown.ACTS:
            yield SystemCommand(act.name, act.does, _doer(screen, act.action))

    # What keys and clicks do

    def action_next_theme(self) -> None:
        """Take the next theme."""
        self.theme = next_name(self.theme)

    async def action_quit(self) -> None:
        """Leave; what is typed and not written is told first, and the same key again leaves."""
        typed = next((said for each in self._opened.values() if (said := each.unwritten())), "")
        if typed and typed != self._warned:
            self._warned = typed
            self.shown.tell(f"{typed}: q again leaves")
            return
        self.exit()

    def action_go(self, id_: str) -> None:
        """Open a screen."""
        self.go(id_)

    def go(self, id_: str) -> None:
        """Open a screen, as it was left if it was open before."""
        if id_ == self.shown.ID:
            return
        if id_ == JOB:
            _ = self.pop_screen()
            return
        screen = self.opened(id_)
        _ = self.push_screen(screen) if self.shown.ID == JOB else self.switch_screen(screen)

    def opened(self, id_: str) -> QuestionScreen:
        """Return a screen, made if it was not open before."""
        if id_ not in self._opened:
            screen = row_of(id_).made(self.session)
            self.install_screen(screen, id_)
            self._opened[id_] = screen
        return self._opened[id_]

    def move(self, days: int) -> None:
        """Ask about another day."""
        session = self.session
        session.asked = session.asked.moved(days, session.answered.answer.instants.on)
        self.ask()

    def ask_on(self, day: date) -> None:
        """Ask about a day."""
        self.session.asked = replace(self.session.asked, on=day)
        self.ask()

    def ask_booked(self) -> None:
        """Ask about the booked day."""
        self.session.asked = replace(self.session.asked, on=None)
        self.ask()

    def ask_next_gate(self) -> None:
        """Ask the next gate."""
        following = (GATES.index(self.session.asked.gate) + 1) % len(GATES)
        self.session.asked = replace(self.session.asked, gate=GATES[following])
        self.ask()

    def take_written(self) -> None:
        """Ask again after something was written."""
        self.session.reading += 1
        self.ask()

    # What comes in

    @on(AnswerCame)
    def _take_answer(self, event: AnswerCame) -> None:
        if event.asked == self.session.asked:
            self.session.take(event.answered)
            self.shown.show_answer()

    @on(FileWasRead)
    def _take_file(self, event: FileWasRead) -> None:
        if event.problems:
            more = len(event.problems) - 1
            others = f" (and {more} more)" if more else ""
            told = f"not read again, this is the job as it was: {event.problems[0]}{others}"
            self.shown.tell(told)
            self._is_unread = True
            return
        self.session.reading += 1
        if self._is_unread:
            self.shown.tell("")
        self._is_unread = False
        self.ask()

    @on(JobWasOpened)
    def _take_job(self, event: JobWasOpened) -> None:
        if event.session is None:
            self.failed = event.failed
            self.exit()
            return
        from readiness.screens.head import verdict_content

        self._take_in(event.session)
        answer = event.session.answered.answer
        self._waiting.show(verdict_content(answer, self.size.width))
        self.call_after_refresh(self._show_job)

    async def _show_job(self) -> None:
        """Put the screen of the job where its verdict stands already."""
        await self.push_screen(self._opened[JOB])
        self._begin_to_look()
        for key in self._waiting.kept:
            self.simulate_key(key)

    @on(Worker.StateChanged)
    def _tell_failure(self, event: Worker.StateChanged) -> None:
        if event.state is WorkerState.ERROR and self._opened:
            self.shown.tell(f"a fault of this program: {event.worker.error}")

    def on_app_focus(self) -> None:
        """Look at the files when somebody comes back to the terminal."""
        if self._opened:
            self.look_at_file()

    def look_at_file(self) -> None:
        """Read the files again if they have changed."""
        if self.session.asker.has_changed():
            self.read_again()

    # What takes time

    @work(thread=True, exit_on_error=False, group="open")
    def open_job(self) -> None:
        """Open the job; what goes wrong is told once the terminal is whole again."""
        assert self._opens is not None  # noqa: S101  asked by the caller
        try:
            session = self._opens()
            import_module("readiness.screens.job_screen")
        except Exception as error:  # noqa: BLE001  raised again by whoever ran the app
            self.post_message(JobWasOpened(None, error))
        else:
            self.post_message(JobWasOpened(session))

    @work(thread=True, exclusive=True, exit_on_error=False, group="ask")
    def ask(self) -> None:
        """Ask what is asked now; a question that was overtaken while it waited is left out."""
        asked = self.session.asked
        if get_current_worker().is_cancelled:
            return
        self.post_message(AnswerCame(asked, self.session.asker.ask(asked)))

    @work(thread=True, exclusive=True, exit_on_error=False, group="read")
    def read_again(self) -> None:
        """Read the files, then ask."""
        try:
            self.session.asker.read_again()
        except JobFileError as error:
            self.post_message(FileWasRead(tuple(str(problem) for problem in error.problems)))
        else:
            self.post_message(FileWasRead(()))


def _doer(screen: Screen[object], action: str) -> Callable[[], Awaitable[None]]:
    async def do() -> None:
        await screen.run_action(action)

    return do
