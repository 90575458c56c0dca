"""Edge lines: for each surface one line over the days, drawn from the two edges of its spray window.

Both edges carry their culprit in words, so that the picture needs neither colour nor key to be
read: what opens the spray window, and what closes it.
Invariant: no line is wider than asked, and a quarter of a day is drawn open exactly when an arrival
in it lies inside the spray window.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

from readiness.pages.columns import columns_of, cut, filled
from readiness.pages.marks import MARKS
from readiness.pages.moments import day_told, told

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readiness.questions.check import SurfaceLine
    from readiness.telling.window_lines import WindowLine

WIDTH = 80
LEGEND = ".  not open   [ opens   = open   $ open, costs the finish   ]> closed by"
LEGEND_WITH_DAY = ".  not open  [ opens  = open  $ open, costs the finish  ]> closed by  * asked"

QUARTER_ENDS = (9, 12, 15)
"""Hours of the day at which the first three quarters of a working day end; the rest is the last."""
SHORTEST_NAME, LONGEST_NAME = 8, 16
"""Columns of the names."""
MARK_COLUMNS = 6
"""A blank, the mark and two blanks."""
DAY_COLUMNS = 4
WEEK_COLUMNS = 2
"""The stroke between two weeks."""
SHORTEST_CULPRIT = 20
"""With fewer columns to the right the closing culprit goes below."""

_SHORT = ("Mo", "Tu", "We", "Th", "Fr", "Sa", "Su")


def edge_lines(
    surfaces: Sequence[SurfaceLine],
    first: date,
    last: date,
    *,
    asked: date | None = None,
    width: int = WIDTH,
) -> list[str]:
    """Return the picture: a line of days, one or two lines for each surface, the legend.

    Weekends are left out unless an edge lies on them or they are asked about.

    Args:
        surfaces: As `check` answers them.
        first: The first day drawn.
        last: The last day drawn.
        asked: The day asked about, marked in the line of days.
        width: Columns of the picture; days that leave no room are not drawn.
    """
    widest = max((columns_of(line.name) for line in surfaces), default=0)
    name_columns = min(max(widest, SHORTEST_NAME), LONGEST_NAME)
    left = name_columns + MARK_COLUMNS
    edges = {day for line in surfaces for day in _edge_days(line.window)}
    days = _shown_days(first, last, edges | {asked}, width - left)
    picture = _Picture(days, left, name_columns, width)
    lines = [picture.head(asked)]
    for line in surfaces:
        lines.extend(picture.surface(line))
    return [*lines, cut(LEGEND if asked is None else LEGEND_WITH_DAY, width)]


def days_that_fit(first: date, width: int = WIDTH) -> date:
    """Return the last day of a picture so wide that it still leaves room for the culprits."""
    room = width - SHORTEST_NAME - MARK_COLUMNS - SHORTEST_CULPRIT - WEEK_COLUMNS
    day, used = first, DAY_COLUMNS
    while True:
        following = day + timedelta(days=1)
        used += 0 if following.weekday() > _FRIDAY else DAY_COLUMNS
        used += WEEK_COLUMNS if following.weekday() == 0 else 0
        if used > room:
            return day
        day = following


_FRIDAY = 4


def _edge_days(window: WindowLine | None) -> set[date]:
    if window is None:
        return set()
    return {edge.date() for edge in (window.opens, window.last_start) if edge is not None}


def _shown_days(first: date, last: date, wanted: set[date | None], columns: int) -> list[date]:
    """Return the days drawn: working days and those with something to show, as far as they fit."""
    days: list[date] = []
    day = first
    used = 0
    while day <= last:
        if day.weekday() <= _FRIDAY or day in wanted:
            used += DAY_COLUMNS + (WEEK_COLUMNS if _begins_week(day, days) else 0)
            if used > columns:
                break
            days.append(day)
        day += timedelta(days=1)
    return days


def _begins_week(day: date, earlier: Sequence[date]) -> bool:
    return bool(earlier) and day.isocalendar()[:2] != earlier[-1].isocalendar()[:2]


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
            letters = _SHORT[day.weekday()]
            cell = f"{letters}{day.day}" if day.day < _TWO_DIGITS else f"{letters[0]}{day.day}"
            cells.append(self._bar(at) + filled(cell + ("*" if day == asked else ""), DAY_COLUMNS))
        return (filled(month, self.left) + "".join(cells)).rstrip()

    def _bar(self, at: int) -> str:
        return "| " if _begins_week(self.days[at], self.days[:at]) else ""

    def surface(self, line: SurfaceLine) -> list[str]:
        """Return the one or two lines of a surface."""
        before = f"{filled(line.name, self.name_columns)} {MARKS[line.word]}  "
        if line.window is None or not self.days:
            return [cut(before + line.word, self.width)]
        drawn, end = self._days_of(line.window)
        row = before + drawn
        closing = line.window.closes_by if end is not None else ""
        below = [_opening(line.window, self.days[0])]
        if closing and self.width - columns_of(row) - 2 >= min(
            SHORTEST_CULPRIT, columns_of(closing)
        ):
            row = f"{row}  {_culprit(closing, self.width - columns_of(row) - 2)}"
        else:
            below.append(_closing(line.window))
        return [row.rstrip(), " " * self.left + _joined(below, self.width - self.left)]

    def _days_of(self, window: WindowLine) -> tuple[str, int | None]:
        """Return the drawn days, and where they are closed; nothing is drawn behind that."""
        signs = _signs(window, self.days)
        end = signs.index("]") if "]" in signs else None
        drawn = ""
        for at in range(len(self.days)):
            quarters = "".join(signs[at * DAY_COLUMNS : (at + 1) * DAY_COLUMNS])
            if "]" in quarters:
                return drawn + self._bar(at) + _tidied(quarters.partition("]")[0]) + "]>", end
            drawn += self._bar(at) + _tidied(quarters)
        return drawn, end


_TWO_DIGITS = 10


def _tidied(quarters: str) -> str:
    """Return a day that is not open with one dot for its quarters."""
    dots = len(quarters) - len(quarters.lstrip("."))
    return ("." + " " * (dots - 1) if dots else "") + quarters[dots:]


def _signs(window: WindowLine, days: Sequence[date]) -> list[str]:
    """Return one sign for each quarter of each day, up to the one that is closed."""
    signs: list[str] = []
    for day in days:
        for quarter in range(DAY_COLUMNS):
            sign = _sign(window, (day, quarter))
            signs.append(sign)
            if sign == "]":
                return signs + ["."] * DAY_COLUMNS
    return signs


def _sign(window: WindowLine, here: tuple[date, int]) -> str:
    """Return the sign of one quarter of a day."""
    opens, last = _quarter(window.opens), _quarter(window.last_start)
    if window.is_closed_for_ever or (last is not None and here > last):
        return "]"
    if window.has_no_opening_date or (opens is not None and here < opens):
        return "."
    if opens == here:
        return "["
    costs = _quarter(window.costs_from)
    return "$" if costs is not None and here > costs else "="


def _quarter(moment: datetime | None) -> tuple[date, int] | None:
    """Return the day and the quarter of it in which a moment lies."""
    if moment is None:
        return None
    return moment.date(), sum(moment.hour >= end for end in QUARTER_ENDS)


def _opening(window: WindowLine, first: date) -> str:
    """Return what opens a spray window, and when."""
    if window.has_no_opening_date:
        return f"no date to open: {window.opens_by}"
    if window.opens is None:
        return "open from the start"
    day = day_told(window.opens, first.year)
    if window.is_empty:
        return f"opens only {day}: {window.opens_by}"
    return f"opens after {window.opens_by}, {day}"


def _culprit(closing: str, columns: int) -> str:
    """Return what closes a spray window, cut so that whose it is and the day stay if they can."""
    if columns_of(closing) <= columns:
        return closing
    what, *rest = closing.rsplit(", ", _PARTS_THAT_STAY)
    kept = "".join(f", {part}" for part in rest)
    room = columns - columns_of(kept)
    return cut(what, room) + kept if room >= SHORTEST_NAME else cut(closing, columns)


_PARTS_THAT_STAY = 2
"""Whose it is, and the day."""


def _closing(window: WindowLine) -> str:
    """Return what closes a spray window, where the line itself has no room for it."""
    if window.last_start is None:
        return f"closed by {window.closes_by}" if window.is_closed_for_ever else window.closes_by
    return f"last arrival {told(window.last_start, window.last_start.year)}: {window.closes_by}"


def _joined(parts: Sequence[str], columns: int) -> str:
    """Return one line of at most two parts, each cut to its share if both do not fit."""
    whole = "; ".join(parts)
    if columns_of(whole) <= columns or len(parts) == 1:
        return cut(whole, columns)
    room = columns - 2
    first, second = (columns_of(part) for part in parts)
    share = max(room - second, min(first, room // 2))
    return f"{cut(parts[0], share)}; {cut(parts[1], room - min(share, first))}"
