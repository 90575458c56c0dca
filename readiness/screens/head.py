"""The head of every screen: the verdict, and the two lines that say what was asked.

On the first screen the verdict is followed by the four lines that go with it.
Invariant: the head takes the first lines of the screen and no pane moves it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Static

from readiness.pages.columns import columns_of
from readiness.pages.marks import MARKS
from readiness.screens.head_lines import COUNT, asked_day, asked_gate, five_lines, known_as_of
from readiness.screens.lines import marked_content, spread

if TYPE_CHECKING:
    from textual.app import ComposeResult
    from textual.events import Resize

    from readiness.questions.check import CheckAnswer
    from readiness.screens.asker import Answered

BEFORE, AFTER = "day before", "day after"
GAP = 2
"""Columns between the words of the line of the day."""


class Press(Static):
    """A word that does what a key does when it is clicked."""

    def __init__(self, text: str, action: str, id_: str) -> None:
        """Take the word, and what a click does."""
        super().__init__(Content(text), id=id_, markup=False, classes="press")
        self._press_action = action

    async def on_click(self) -> None:
        """Do it."""
        await self.run_action(self._press_action)


def verdict_content(answer: CheckAnswer, columns: int, count: int = COUNT) -> Content:
    """Return the first so many of the five lines, the verdict with its mark in front."""
    first, *rest = five_lines(answer, columns)[:count]
    mark = MARKS[answer.verdict]
    verdict = marked_content(answer.verdict) + Content.styled(first[len(mark) :], "bold")
    return Content("\n").join([verdict, *(Content(line) for line in rest)])


class Head(Vertical):
    """Verdict, what clears last, who clears it, when, the next call; job, day and gate."""

    def __init__(self, count: int = COUNT) -> None:
        """Start empty; so many of the five lines are shown."""
        super().__init__(id="head", classes="" if count == COUNT else "-short")
        self._count = count
        self._answered: Answered | None = None

    def compose(self) -> ComposeResult:
        """Yield the lines."""
        yield Static(id="five-lines", markup=False)
        yield Static(id="job-line", markup=False)
        with Horizontal(id="day-line"):
            yield Press(BEFORE, "screen.move(-1)", "press-before")
            yield Static(id="asked-day", markup=False)
            yield Press(AFTER, "screen.move(1)", "press-after")
            yield Press("", "screen.gate", "asked-gate")

    def show(self, answered: Answered) -> None:
        """Show an answer."""
        self._answered = answered
        self._draw()

    def on_resize(self, event: Resize) -> None:
        """Draw again for another width."""
        del event
        self._draw()

    def _draw(self) -> None:
        if self._answered is None or not self.size.width:
            return
        answer, columns = self._answered.answer, self.size.width
        verdict = verdict_content(answer, columns, self._count)
        self.query_one("#five-lines", Static).update(verdict)
        job_line = spread(answer.job, known_as_of(answer), columns)
        self.query_one("#job-line", Static).update(Content(job_line))
        day = asked_day(self._answered)
        self.query_one("#asked-day", Static).update(Content(day))
        room = columns - columns_of(BEFORE) - columns_of(AFTER) - columns_of(day) - 3 * GAP
        self.query_one("#asked-gate", Static).update(Content(asked_gate(answer, room)))
