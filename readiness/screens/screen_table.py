"""Every screen, in one table: its number, its name, the one question it answers, where it is.

A screen's module is imported when the screen is opened and not before, so that the first frame
comes as fast with ten screens as with one.
Invariant: no two numbers are alike, and an id never changes once it was published.
"""

from __future__ import annotations

from dataclasses import dataclass
from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from readiness.screens.question_screen import QuestionScreen
    from readiness.screens.session import Session


@dataclass(frozen=True, slots=True)
class ScreenRow:
    """One screen."""

    id: str
    key: str
    """A digit, in the order in which a day's work needs the screens."""
    name: str
    question: str
    home: str
    """Module below `readiness.screens` and class."""

    @property
    def kind(self) -> type[QuestionScreen]:
        """Return the class of the screen; its module is imported now."""
        module, _, name = self.home.partition(":")
        kind: type[QuestionScreen] = getattr(import_module(f"readiness.screens.{module}"), name)
        return kind

    def made(self, session: Session) -> QuestionScreen:
        """Return a new screen of this kind."""
        return self.kind(session)


JOB = "job"
"""The first screen, which lies under all others."""

SCREENS = (
    ScreenRow(JOB, "1", "job", "Is it ready, and what holds it up?", "job_screen:JobScreen"),
    ScreenRow(
        "calls", "2", "calls", "Whom to call now, and what do they say?", "calls_screen:CallsScreen"
    ),
    ScreenRow(
        "note", "3", "note", "What was seen, said or decided just now?", "note_screen:NoteScreen"
    ),
    ScreenRow(
        "diary", "4", "diary", "What was seen, said and decided so far?", "diary_screen:DiaryScreen"
    ),
    ScreenRow("when", "5", "when", "On which days may the rig come?", "when_screen:WhenScreen"),
    ScreenRow(
        "hours",
        "6",
        "hours",
        "How does the asked day go, hour by hour?",
        "hours_screen:HoursScreen",
    ),
    ScreenRow("ways", "7", "ways", "What would make that day work?", "ways_screen:WaysScreen"),
    ScreenRow("chance", "8", "chance", "How likely is each day?", "chance_screen:ChanceScreen"),
    ScreenRow(
        "where",
        "9",
        "where",
        "Who is where, and what sets the start of board?",
        "where_screen:WhereScreen",
    ),
    ScreenRow(
        "board",
        "0",
        "board",
        "May board start, and is the foam deep enough?",
        "board_screen:BoardScreen",
    ),
)
"""In the order of their numbers."""


def row_of(id_: str) -> ScreenRow:
    """Return the row of a screen."""
    return next(row for row in SCREENS if row.id == id_)
