"""What tests of every screen need: wait until it is quiet, and open one by its digit.

Invariant: nothing sleeps longer than the work it waits for.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeVar

from readiness.screens.screen_table import row_of
from tests.screens.refresh import settled

if TYPE_CHECKING:
    from textual.pilot import Pilot

    from readiness.screens.app import JobApp
    from readiness.screens.question_screen import QuestionScreen

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
