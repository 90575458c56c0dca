"""Edge lines: a line over the days for each surface, drawn from the edges of its spray window.

Both edges carry their culprit in words, so that the picture needs neither colour nor key to be
read: what opens the spray window, and what closes it.
Invariant: no line is wider than asked, and a quarter of a day is drawn open exactly when an arrival
in it lies inside the spray window.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from readiness.pages.columns import columns_of, cut, filled, wrapped
from readiness.pages.edge_days import (
    DAY_COLUMNS,
    FRIDAY,
    WEEK_COLUMNS,
    begins_week,
    day_label,
    edge_days,
    shown_days,
    signs_of,
)
from readiness.pages.marks import MARKS
from readiness.pages.moments import day_told

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readiness.questions.check import SurfaceLine
    from readiness.telling.window_lines import WindowLine

WIDTH = 80
LEGEND = ".  not open   [ opens   = open   $ open, costs the finish   ]> closed by"
LEGEND_WITH_DAY = ".  not open  [ opens  = open  $ open, costs the finish  ]> closed by  * asked"

SHORTEST_NAME = 8
"""Columns that the names take at least; at most a fifth of the picture."""
MARK_COLUMNS = 6
"""A blank, the mark and two blanks."""
SHORTEST_CULPRIT = 20
"""With fewer columns to the right the closing culprit goes below."""
SHORTEST_PART = 12
"""Columns that a cut culprit keeps at least."""


def edge_lines(
    surfaces: Sequence[SurfaceLine],
    first: date,
    last: date,
    *,
    asked: date | None = None,
    width: int = WIDTH,
) -> list[str]:
    """Return the picture: a line of days, one or two lines for each surface, the legend.

    Weekends are left out unless an edge lies on them or they are asked about; edges give way if
    they would push the asked day out.

    Args:
        surfaces: As `check` answers them.
        first: The first day drawn.
        last: The last day drawn.
        asked: The day asked about, marked in the line of days.
        width: Columns of the picture; days that leave no room are not drawn.
    """
    widest = max((columns_of(line.name) for line in surfaces), default=0)
    name_columns = min(max(widest, SHORTEST_NAME), _longest_name(width))
    left = name_columns + MARK_COLUMNS
    edges = {day for line in surfaces for day in edge_days(line.window)}
    asked_days = set() if asked is None else {asked}
    days = shown_days(first, last, edges | asked_days, width - left)
    if not asked_days.issubset(days):
        days = shown_days(first, last, asked_days, width - left)
    picture = _Picture(days, left, name_columns, width)
    lines = [picture.head(asked)]
    for line in surfaces:
        lines.extend(picture.surface(line))
    return [*lines, cut(LEGEND if asked is None else LEGEND_WITH_DAY, width)]


def days_that_fit(first: date, width: int = WIDTH) -> date:
    """Return the last day of a picture so wide that it still leaves room for the culprits."""
    left = _longest_name(width) + MARK_COLUMNS
    room = width - left - max(SHORTEST_CULPRIT, width // 4)
    day, used = first, DAY_COLUMNS
    while True:
        following = day + timedelta(days=1)
        used += 0 if following.weekday() > FRIDAY else DAY_COLUMNS
        used += WEEK_COLUMNS if following.weekday() == 0 else 0
        if used > room:
            return day
        day = following


def _longest_name(width: int) -> int:
    return max(SHORTEST_NAME, width // 5)


@dataclass(frozen=True, slots=True)
class _Picture:
    """The days and the width that all lines of one picture share."""

    days: list[date]
    left: int
    name_columns: int
    width: int

    def head(self, asked: date | None) -> str:
        """Return the line of days, with the month of its first."""
        month = f"{self.days[0]:%b %Y}" if self.days else ""
        cells = []
        for at, day in enumerate(self.days):
            cell = day_label(day)
            cells.append(self._bar(at) + filled(cell + ("*" if day == asked else ""), DAY_COLUMNS))
        return (filled(month, self.left) + "".join(cells)).rstrip()

    def _bar(self, at: int) -> str:
        return "| " if begins_week(self.days[at], self.days[:at]) else ""

    def surface(self, line: SurfaceLine) -> list[str]:
        """Return the one or two lines of a surface."""
        name, rest = _name_in_two(line.name, self.name_columns)
        before = f"{filled(name, self.name_columns)} {MARKS[line.word]}  "
        if line.window is None or not self.days:
            return [cut(before + line.word, self.width), rest][: 2 if rest else 1]
        drawn, end = self._days_of(line.window)
        row = before + drawn
        closing = line.window.closes_by if end is not None else ""
        opening = _opening(line)
        below = self.width - self.left
        room = self.width - columns_of(row) - 2
        if closing and room >= min(SHORTEST_CULPRIT, columns_of(closing)):
            row = f"{row}  {_culprit(closing, room)}"
            under = opening.within(below)
        else:
            under = _both(opening, _closing(line.window), below)
        return [row.rstrip(), filled(rest, self.left) + under]

    def _days_of(self, window: WindowLine) -> tuple[str, int | None]:
        """Return the drawn days, and where they are closed; nothing is drawn behind that."""
        signs = signs_of(window, self.days)
        end = signs.index("]") if "]" in signs else None
        drawn = ""
        for at in range(len(self.days)):
            quarters = "".join(signs[at * DAY_COLUMNS : (at + 1) * DAY_COLUMNS])
            if "]" in quarters:
                return drawn + self._bar(at) + _tidied(quarters.partition("]")[0]) + "]>", end
            drawn += self._bar(at) + _tidied(quarters)
        return drawn, end


def _name_in_two(name: str, columns: int) -> tuple[str, str]:
    """Return a name for the first line, and what of it goes on in the second."""
    first, *more = wrapped(name, columns)
    return first, cut(" ".join(more), columns)


def _tidied(quarters: str) -> str:
    """Return a day that is not open with one dot for its quarters."""
    dots = len(quarters) - len(quarters.lstrip("."))
    return ("." + " " * (dots - 1) if dots else "") + quarters[dots:]


@dataclass(frozen=True, slots=True)
class _Words:
    """A sentence whose middle may be cut, because its ends say more."""

    head: str
    middle: str
    tail: str = ""

    def __len__(self) -> int:
        """Return the columns of the whole."""
        return columns_of(self.head) + columns_of(self.middle) + columns_of(self.tail)

    def within(self, columns: int) -> str:
        """Return the sentence in at most so many columns."""
        room = columns - columns_of(self.head) - columns_of(self.tail)
        if room < min(SHORTEST_NAME, columns_of(self.middle)):
            return cut(self.head + self.middle + self.tail, columns)
        return self.head + cut(self.middle, room) + self.tail


def opening_told(line: SurfaceLine) -> str:
    """Return what opens the spray window of a surface, and when, in full."""
    words = _opening(line)
    return words.within(len(words))


def closing_told(window: WindowLine) -> str:
    """Return what closes a spray window, and when, in full."""
    words = _closing(window)
    return words.within(len(words))


def _opening(line: SurfaceLine) -> _Words:
    """Return what opens the spray window of a surface, and when."""
    window = line.window
    assert window is not None  # noqa: S101  told by the caller
    by = window.opens_by.removesuffix(f", {line.name}")
    if window.has_no_opening_date:
        return _Words("no date to open: ", by)
    if window.opens is None:
        return _Words("", "open from the start")
    day = day_told(window.opens, window.opens.year)
    if window.is_empty:
        return _Words(f"opens only {day}: ", by)
    return _Words("opens after ", by, f", {day}")


def _culprit(closing: str, columns: int) -> str:
    """Return what closes a spray window, cut so that whose it is and the day stay if they can."""
    if columns_of(closing) <= columns:
        return closing
    what, *rest = closing.rsplit(", ", _PARTS_THAT_STAY)
    kept = "".join(f", {part}" for part in rest)
    room = columns - columns_of(kept)
    return cut(what, room) + kept if room >= SHORTEST_PART else cut(closing, columns)


_PARTS_THAT_STAY = 2
"""Whose it is, and the day."""


def _closing(window: WindowLine) -> _Words:
    """Return what closes a spray window, where the line itself has no room for it."""
    if window.last_start is not None:
        day = day_told(window.last_start, window.last_start.year)
        return _Words(f"last arrival {day}: ", window.closes_by)
    return _Words("closed by " if window.is_closed_for_ever else "", window.closes_by)


def _both(first: _Words, second: _Words, columns: int) -> str:
    """Return two sentences on one line, each cut to its share if both do not fit."""
    room = columns - len(_BETWEEN)
    share = min(len(first), max(room - len(second), room // 2))
    return f"{first.within(share)}{_BETWEEN}{second.within(room - share)}"


_BETWEEN = "; "
