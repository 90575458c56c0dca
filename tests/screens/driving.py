"""What tests of every screen need: wait until it is quiet, and open one by its digit.

Invariant: nothing sleeps longer than the work it waits for.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeVar

from readiness.screens.screen_table import JOB, SCREENS, row_of
from tests.screens.refresh import settled

if TYPE_CHECKING:
    from collections.abc import AsyncIterator

    from textual.pilot import Pilot

    from readiness.screens.app import JobApp
    from readiness.screens.question_screen import QuestionScreen
    from readiness.screens.screen_table import ScreenRow

Kind = TypeVar("Kind", bound="QuestionScreen")


async def press(pilot: Pilot[None], *keys: str) -> None:
    """Press keys one after another, each once the one before has done its work."""
    for key in keys:
        await pilot.press(key)
        await settled(pilot)


async def opened(pilot: Pilot[None], app: JobApp, kind: type[Kind]) -> Kind:
    """Open a screen by its digit and return it."""
    await press(pilot, row_of(kind.ID).key)
    screen = app.shown
    assert isinstance(screen, kind)
    return screen


async def each_screen(pilot: Pilot[None], app: JobApp) -> AsyncIterator[ScreenRow]:
    """Open one screen after another from the first one, and go back there by Esc in between.

    One app for all of them, because starting an app takes longer than opening a screen.
    """
    for row in SCREENS:
        await press(pilot, row.key)
        assert row.id == app.shown.ID
        yield row
        for _ in range(MOST_STEPS_BACK):
            if app.screen_stack[-1] is not app.shown or app.shown.ID != JOB:
                await press(pilot, "escape")
        assert app.shown.ID == JOB, f"Esc does not leave {row.id}"


MOST_STEPS_BACK = 4
"""Out of a window, a field and a pane to the first screen."""
