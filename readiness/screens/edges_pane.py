"""The pane of edge lines: when each surface opens and closes, and by what.

Invariant: the asked day is always among the days drawn.
"""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from readiness.pages.edge_lines import WIDTH, days_that_fit, edge_lines
from readiness.screens.themes import needs_somebody

if TYPE_CHECKING:
    from collections.abc import Sequence

    from textual.app import ComposeResult
    from textual.events import Resize

    from readiness.questions.check import CheckAnswer

NARROWEST, WIDEST = 60, 160
"""Columns of the picture."""


def first_day(asked: date, as_of: date, columns: int) -> date:
    """Return the Monday the picture begins with.

    It is the week of what is known as long as the asked day fits beside it, so that the picture
    stands still while the day moves; else the week asked about.
    """
    monday = min(as_of, asked) - timedelta(days=min(as_of, asked).weekday())
    if asked <= days_that_fit(monday, columns):
        return monday
    return asked - timedelta(days=asked.weekday())


def picture_of(answer: CheckAnswer, surfaces: Sequence[str] | None, columns: int) -> list[str]:
    """Return the edge lines of some surfaces in a width, those that are held up first.

    None means all of them.
    """
    width = max(NARROWEST, min(columns, WIDEST))
    asked = answer.instants.on.date()
    first = first_day(asked, answer.instants.as_of.date(), width)
    drawn = [line for line in answer.surfaces if surfaces is None or line.surface in surfaces]
    last = max(days_that_fit(first, width), asked)
    drawn.sort(key=lambda line: not needs_somebody(line.word))
    return edge_lines(drawn, first, last, asked=asked, width=width)


class EdgesPane(VerticalScroll):
    """Edge lines of all surfaces, or of the chosen ones."""

    HELP = (
        "One line for each surface: a dot is not open, = is open, $ is open but costs the finish,"
        " ]> is where something booked closes it; a day has four columns. Below stands what opens"
        " it. The star is the day asked about; left and right move it."
    )

    def __init__(self) -> None:
        """Start empty."""
        super().__init__(id="edges", classes="pane")
        self._answer: CheckAnswer | None = None
        self._surfaces: Sequence[str] | None = None
        self.lines: list[str] = []

    def compose(self) -> ComposeResult:
        """Yield what holds the picture."""
        yield Static(id="edge-lines", markup=False)

    def show(self, answer: CheckAnswer, surfaces: Sequence[str] | None) -> None:
        """Show the edge lines of some surfaces; None means all of them."""
        self._answer, self._surfaces = answer, surfaces
        self._draw()

    def on_resize(self, event: Resize) -> None:
        """Draw again for another width."""
        del event
        self._draw()

    def _draw(self) -> None:
        if self._answer is None:
            return
        columns = self.scrollable_content_region.width or WIDTH
        self.lines = picture_of(self._answer, self._surfaces, columns)
        self.query_one("#edge-lines", Static).update(Content("\n".join(self.lines)))
