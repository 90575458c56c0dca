"""The grid of one surface with what its readings show so far.

Invariant: what the readings show is worked out by the rule that judges them once they are written.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.geometry import Region
from textual.widgets import Static

from readiness.screens.board_entries import zone_lines
from readiness.screens.depth_grid import DepthGrid
from readiness.screens.depth_typing import Typed, readings, wrong_of
from readiness.screens.head import Press
from readiness.screens.lines import Entry, Line, content_of
from readiness.telling.depth_lines import depth_if_read

if TYPE_CHECKING:
    from collections.abc import Iterable

    from textual.app import ComposeResult
    from textual.events import Resize

    from readiness.telling.case import Case
    from readiness.telling.depth_lines import DepthLine

NOT_AGREED = (
    "No depth with its meaning is agreed, so readings are kept and not judged: write depth at the"
    " surface and means under [depth] of the job file."
)
NOT_SPRAYED = (
    "The diary does not say yet that it is sprayed: say so first, or these readings count for"
    " nothing."
)


class DepthPane(Vertical):
    """What is typed, and what follows from it."""

    def __init__(self) -> None:
        """Start empty, and out of sight."""
        super().__init__(id="depth", classes="pane")
        self.surface = ""
        self.line: DepthLine | None = None
        self.entry = Entry("depth", ())
        self.wrong: dict[int, str] = {}

    def compose(self) -> ComposeResult:
        """Yield the verdict, the grid and the keys."""
        yield Static(id="depth-lines", markup=False)
        with VerticalScroll(id="grid-scroll", can_focus=False):
            yield DepthGrid()
        with Horizontal(id="depth-words"):
            yield Static(Content("Enter or space: next"), markup=False)
            yield Static(Content("e: at the perimeter"), markup=False)
            yield Press("w writes it", "screen.write", "press-write")
            yield Press("Esc: back to the list", "screen.back", "press-back")

    def show(self, case: Case, surface: str, typed: Typed | None) -> None:
        """Show what is typed for a surface, and what it shows so far."""
        typed = typed or Typed()
        self.surface = surface
        units = case.site.job.units
        self.wrong = wrong_of(typed, units)
        if surface in case.site.job.surfaces:
            self.border_title = Content(f"depth of {case.teller.place(surface)}")
            self.entry = Entry("depth", tuple(self._lines(case, typed)))
        else:
            self.border_title = Content(f"depth of {surface}")
            said = "This surface is not in the job any more; what is typed is kept."
            self.entry = Entry("depth", (Line(said, is_strong=True),))
        self._draw()
        grid = self.query_one(DepthGrid)
        grid.show(typed, units)
        row = Region(0, typed.at // grid.in_row, 1, 1)
        self.query_one("#grid-scroll", VerticalScroll).scroll_to_region(
            row, animate=False, force=True
        )

    def _lines(self, case: Case, typed: Typed) -> Iterable[Line]:
        units = case.site.job.units
        good = [each for each in readings(typed, units) if each.value is not None]
        field = [each.value for each in good if not each.is_edge and each.value is not None]
        edge = [each.value for each in good if each.is_edge and each.value is not None]
        line = self.line = depth_if_read(case, self.surface, field, edge)
        unit = "millimetres" if units == "metric" else "inches"
        if case.judge.lives.get(self.surface) is None:
            yield Line(NOT_SPRAYED, is_strong=True)
        yield Line(f"Agreed: {line.agreed}; readings in {unit}" if line.agreed else NOT_AGREED)
        yield Line(self._so_far(line, typed), is_strong=True)
        yield from zone_lines(line, units)
        if line.refill:
            yield Line(f"spraying again: {line.refill}")
        for place, why in list(self.wrong.items())[:1]:
            others = f"; {len(self.wrong) - 1} more are wrong" if len(self.wrong) > 1 else ""
            yield Line(f"number {place + 1} is left out: {why}{others}", is_strong=True)

    def _so_far(self, line: DepthLine, typed: Typed) -> str:
        before = self._before(line, typed)
        count = f"{typed.count} typed" + (f", {before} in the diary" if before else "")
        if not line.agreed:
            return count
        return f"So far: {line.outcome or 'nothing'} ({count})"

    def _before(self, line: DepthLine, typed: Typed) -> int:
        read = sum(zone.readings for zone in (line.field, line.perimeter) if zone is not None)
        return max(0, read - typed.count + len(self.wrong)) if read else 0

    def _draw(self) -> None:
        columns = max(self.scrollable_content_region.width - 1, 20)
        self.query_one("#depth-lines", Static).update(content_of(self.entry, columns))

    def on_resize(self, event: Resize) -> None:
        """Draw again for another width."""
        del event
        self._draw()
