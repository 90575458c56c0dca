"""Edge lines as pictures on a page: the same signs as in text, drawn in ink.

A line is drawn without colour: dots where it is not open, two strokes where it is, coin signs where
it costs the finish, a bracket and an arrow where it closes. The words stand beside it on the page.
Invariant: no word that people wrote gets into a picture but as escaped text, and the picture of a
spray window says in its title what it shows.
"""

from __future__ import annotations

from dataclasses import dataclass
from html import escape
from typing import TYPE_CHECKING

from readiness.pages.columns import plain
from readiness.pages.edge_days import (
    DAY_COLUMNS,
    begins_week,
    day_label,
    edge_days,
    shown_days,
    signs_of,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from datetime import date

    from readiness.questions.check import SurfaceLine
    from readiness.telling.window_lines import WindowLine

QUARTER = 9
"""Units that a quarter of a day takes."""
WEEK_GAP = 10
ARROW = 12
HEIGHT = 22
MIDDLE = 11
MOST_COLUMNS = 54
"""As many columns of the picture in text as a page takes days."""


@dataclass(frozen=True, slots=True)
class Frame:
    """The days that all lines of one page share."""

    days: tuple[date, ...]
    asked: date | None

    @property
    def width(self) -> int:
        """Return the units that the days and the arrow behind the last one take."""
        return self.left_of(len(self.days)) + ARROW

    def left_of(self, at: int) -> int:
        """Return where a day begins."""
        weeks = sum(begins_week(day, self.days[:n]) for n, day in enumerate(self.days[: at + 1]))
        return at * DAY_COLUMNS * QUARTER + weeks * WEEK_GAP

    def head(self) -> str:
        """Return the picture of the line of days."""
        parts = []
        for at, day in enumerate(self.days):
            star = "*" if day == self.asked else ""
            left = self.left_of(at)
            parts.append(f'<text x="{left + 2}" y="15">{day_label(day)}{star}</text>')
        return self._picture("".join((*self._strokes(), *parts)), "Days")

    def line(self, window: WindowLine, says: str) -> str:
        """Return the picture of one spray window.

        Args:
            window: The spray window.
            says: What the picture shows, for those who hear it.
        """
        signs = signs_of(window, self.days)
        parts = [*self._strokes(), *self._asked()]
        for number, sign in enumerate(signs[: len(self.days) * DAY_COLUMNS]):
            at, quarter = divmod(number, DAY_COLUMNS)
            left = self.left_of(at) + quarter * QUARTER
            parts.append(_drawn(sign, left, is_first=quarter == 0))
            if sign == "]":
                break
        return self._picture("".join(parts), says)

    def _strokes(self) -> Iterable[str]:
        """Yield the strokes between weeks."""
        for at, day in enumerate(self.days):
            if begins_week(day, self.days[:at]):
                x = self.left_of(at) - WEEK_GAP / 2
                yield f'<path class="week" d="M{x:g} 2V{HEIGHT - 2}"/>'

    def _asked(self) -> Iterable[str]:
        if self.asked in self.days:
            x = self.left_of(self.days.index(self.asked))
            width = DAY_COLUMNS * QUARTER
            yield f'<rect class="asked" x="{x}" y="1" width="{width}" height="{HEIGHT - 2}"/>'

    def _picture(self, parts: str, says: str) -> str:
        title = escape(plain(says))
        return (
            f'<svg class="edge" viewBox="0 0 {self.width} {HEIGHT}" role="img" '
            f'aria-label="{title}"><title>{title}</title>{parts}</svg>'
        )


def frame_of(surfaces: Sequence[SurfaceLine], first: date, last: date, asked: date | None) -> Frame:
    """Return the days of a page: working days and those with an edge, as far as they fit."""
    wanted = {day for line in surfaces for day in edge_days(line.window)}
    if asked is not None:
        wanted.add(asked)
    return Frame(tuple(shown_days(first, last, wanted, MOST_COLUMNS)), asked)


def _drawn(sign: str, left: int, *, is_first: bool) -> str:
    """Return one quarter of a day."""
    right, upper, lower = left + QUARTER, MIDDLE - 3, MIDDLE + 3
    match sign:
        case ".":
            return f'<circle cx="{left + 3}" cy="{MIDDLE}" r="1.3"/>' if is_first else ""
        case "[":
            bracket = f"M{right} {upper - 4}H{left + 3}V{lower + 4}H{right}"
            strokes = f"M{left + 3} {upper}H{right}M{left + 3} {lower}H{right}"
            return f'<path class="edge-of" d="{bracket}"/><path d="{strokes}"/>'
        case "]":
            bracket = f"M{left - 1} {upper - 4}H{left + 4}V{lower + 4}H{left - 1}"
            arrow = f"M{left + 7} {upper - 1}L{left + 12} {MIDDLE}L{left + 7} {lower + 1}"
            return f'<path class="edge-of" d="{bracket}{arrow}"/>'
        case "$":
            coin = f'<text class="coin" x="{left + 2}" y="{MIDDLE + 4}">$</text>'
            return f"{_strokes_of_open(left)}{coin}"
        case _:
            return _strokes_of_open(left)


def _strokes_of_open(left: int) -> str:
    right, upper, lower = left + QUARTER, MIDDLE - 3, MIDDLE + 3
    return f'<path d="M{left} {upper}H{right}M{left} {lower}H{right}"/>'
