"""Puts the screen of a job together with its themes and its list of commands.

Invariant: the app composes and holds no state of the job.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.app import App, SystemCommand
from textual.binding import Binding

from readiness.screens.actions import ACTS
from readiness.screens.job_screen import JobScreen
from readiness.screens.themes import NAMES, THEMES, next_name

if TYPE_CHECKING:
    from collections.abc import Awaitable, Callable, Iterable

    from textual.screen import Screen

    from readiness.screens.asker import Answered, Asked, Asker

HINT = "Try:  right  a day later    e  when each surface is open    p  whom to call"
"""Under the verdict of a starter: three keys, by what they are for."""


class JobApp(App[None]):
    """The terminal screen of one job."""

    TITLE = "readiness"
    CSS_PATH = "job_screen.tcss"
    BINDINGS = [  # noqa: RUF012  the toolkit's
        Binding("ctrl+q", "quit", "quit", show=False, priority=True, system=True)
    ]

    def __init__(
        self,
        asker: Asker,
        answered: Answered,
        asked: Asked,
        *,
        theme: str = NAMES[0],
        hint: str = "",
    ) -> None:
        """Take an open job, its first answer and the name of a theme."""
        super().__init__()
        self._first = JobScreen(asker, answered, asked, hint)
        for known in THEMES:
            self.register_theme(known)
        self.theme = theme

    def get_default_screen(self) -> Screen[None]:
        """Return the screen of the job."""
        return self._first

    def get_system_commands(self, screen: Screen[object]) -> Iterable[SystemCommand]:
        """Yield our commands by name; the toolkit's own are among them."""
        for act in ACTS:
            yield SystemCommand(act.name, act.does, _doer(screen, act.action))

    def action_next_theme(self) -> None:
        """Take the next theme."""
        self.theme = next_name(self.theme)


def _doer(screen: Screen[object], action: str) -> Callable[[], Awaitable[None]]:
    async def do() -> None:
        await screen.run_action(action)

    return do
