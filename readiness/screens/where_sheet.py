"""Who is where as a sheet that is larger than the screen: which part of it is shown, and how.

Places down, days across, week by week; what does not fit is reached by moving the cursor, and the
names of the places and of the days stay. Plain values only; the widget draws them.
Invariant: the cursor is on a cell of the sheet and within what is shown.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from readiness.pages.columns import columns_of, filled
from readiness.pages.plan_cells import (
    FREE,
    cells_of,
    day_head,
    letters_of,
    row_told,
    rows_of,
    told_in,
    weeks_of,
)

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from readiness.pages.plan_cells import Cell
    from readiness.questions.plan import PlanAnswer

LEAST_CELL = 6
"""Columns of a day: the letters with a blank or a bracket on either side."""
LEAST_NAME = 8
RULE = "|"
"""Stands before each week."""
GAP = ":"
"""Stands there instead where weeks are left out, because nobody comes."""
WEEK = 7
HEAD_ROWS = 2


@dataclass(frozen=True, slots=True)
class Sheet:
    """The whole of it."""

    rows: tuple[str, ...] = ()
    weeks: tuple[tuple[date, ...], ...] = ()
    cells: Mapping[Cell, str] = field(default_factory=dict)
    steps: frozenset[Cell] = frozenset()
    """Cells of what sets the start of board."""
    letters: Mapping[Cell, str] = field(default_factory=dict)
    """The letters in each cell that has some."""
    parties: Mapping[str, str] = field(default_factory=dict)
    """What each letters are short for."""
    cell_columns: int = LEAST_CELL

    @property
    def days(self) -> tuple[date, ...]:
        """Return all days, week after week."""
        return tuple(day for week in self.weeks for day in week)

    def name_columns(self, columns: int) -> int:
        """Return how many columns the names of the places take."""
        longest = max((columns_of(row_told(row)) for row in self.rows), default=0)
        return min(max(longest, LEAST_NAME), max(columns // 4, LEAST_NAME))


def sheet_of(answer: PlanAnswer) -> Sheet:
    """Return the sheet of a plan; an empty one where nobody has a room."""
    rows = rows_of(answer)
    if not rows:
        return Sheet()
    letters = letters_of(answer)
    cells, told = cells_of(answer, letters), told_in(answer)
    trades = Counter(who.trade for who in letters)
    widest = max(map(columns_of, cells.values()))
    return Sheet(
        rows=rows,
        weeks=weeks_of(answer),
        cells=cells,
        steps=frozenset(cell for cell, each in told.items() if each.steps),
        letters={cell: letters[each.line.who] for cell, each in told.items()},
        parties={
            short: who.trade if who.trade and trades[who.trade] == 1 else who.name
            for who, short in letters.items()
        },
        cell_columns=max(LEAST_CELL, widest + 2),
    )


@dataclass(frozen=True, slots=True)
class Piece:
    """Days side by side that belong to one week; a week that is too wide is several pieces."""

    days: tuple[date, ...]
    rule: str
    """What stands before it."""


@dataclass(frozen=True, slots=True)
class View:
    """What is shown of a sheet."""

    sheet: Sheet = Sheet()
    row: int = 0
    """Of the cursor."""
    day: date | None = None
    """Of the cursor."""
    first_row: int = 0
    first_piece: int = 0
    columns: int = 80
    lines: int = 10
    """Of the places, below the two lines of the head."""

    @property
    def at(self) -> Cell | None:
        """Return the cell under the cursor; None if there is none."""
        if self.day is None or self.row >= len(self.sheet.rows):
            return None
        return self.sheet.rows[self.row], self.day

    @property
    def pieces(self) -> list[Piece]:
        """Return the weeks, cut to the width."""
        room = self.columns - self.sheet.name_columns(self.columns) - 1
        most = max(room // self.sheet.cell_columns, 1)
        found: list[Piece] = []
        last: date | None = None
        for week in self.sheet.weeks:
            is_next = last is None or (week[0] - last).days <= WEEK
            for start in range(0, len(week), most):
                rule = " " if start else RULE if is_next else GAP
                found.append(Piece(week[start : start + most], rule))
            last = week[-1]
        return found

    def shown(self) -> list[Piece]:
        """Return the pieces that fit, from the first that is shown."""
        room = self.columns - self.sheet.name_columns(self.columns)
        found: list[Piece] = []
        for piece in self.pieces[self.first_piece :]:
            room -= 1 + self.sheet.cell_columns * len(piece.days)
            if room < 0 and found:
                break
            found.append(piece)
        return found

    def shown_rows(self) -> range:
        """Return the numbers of the rows that are shown."""
        last = min(self.first_row + max(self.lines, 1), len(self.sheet.rows))
        return range(self.first_row, last)

    # Moving

    def held(self) -> View:
        """Return the view moved as little as shows the cursor, and without waste at its end."""
        rows, lines = len(self.sheet.rows), max(self.lines, 1)
        row = min(max(self.row, 0), max(rows - 1, 0))
        first = min(max(self.first_row, row - lines + 1, 0), row, max(rows - lines, 0))
        view = replace(self, row=row, first_row=max(first, row - lines + 1))
        pieces = view.pieces
        at = next((n for n, piece in enumerate(pieces) if view.day in piece.days), None)
        if at is None:
            return view
        view = replace(view, first_piece=min(view.first_piece, at))
        while not any(view.day in piece.days for piece in view.shown()):
            view = replace(view, first_piece=view.first_piece + 1)
        while view.first_piece:
            earlier = replace(view, first_piece=view.first_piece - 1)
            if earlier.is_more[1]:
                break
            view = earlier
        return view

    def to(self, row: int, day: date | None) -> View:
        """Return the view with the cursor on a cell."""
        return replace(self, row=row, day=day).held()

    def moved(self, rows: int = 0, days: int = 0) -> View:
        """Return the view with the cursor moved; at an edge it stays there."""
        all_days = self.sheet.days
        if self.day not in all_days:
            return self
        at = min(max(all_days.index(self.day) + days, 0), len(all_days) - 1)
        return self.to(min(max(self.row + rows, 0), len(self.sheet.rows) - 1), all_days[at])

    def turned(self, weeks: int) -> View:
        """Return the view so many weeks on, the cursor on the same day of that week."""
        number = next((n for n, week in enumerate(self.sheet.weeks) if self.day in week), None)
        if number is None or self.day is None:
            return self
        other = self.sheet.weeks[min(max(number + weeks, 0), len(self.sheet.weeks) - 1)]
        wanted = self.day.weekday()
        return self.to(self.row, min(other, key=lambda day: abs(day.weekday() - wanted)))

    def cell_at(self, x: int, y: int) -> Cell | None:
        """Return the cell that is drawn at a column and a line; None if there is none."""
        line = y - HEAD_ROWS
        if line < 0 or line >= len(self.shown_rows()):
            return None
        left = self.sheet.name_columns(self.columns)
        for piece in self.shown():
            left += 1
            width = self.sheet.cell_columns * len(piece.days)
            if left <= x < left + width:
                day = piece.days[(x - left) // self.sheet.cell_columns]
                return self.sheet.rows[self.shown_rows()[line]], day
            left += width
        return None

    # What is said of it

    @property
    def is_more(self) -> tuple[bool, bool]:
        """Say whether there are days before and behind what is shown."""
        return self.first_piece > 0, self.first_piece + len(self.shown()) < len(self.pieces)

    def title(self) -> str:
        """Return what part of the sheet is shown."""
        weeks, shown = self.sheet.weeks, {day for piece in self.shown() for day in piece.days}
        numbers = [n for n, week in enumerate(weeks, 1) if not shown.isdisjoint(week)]
        told = ["who is where"]
        if len(numbers) < len(weeks):
            told.append(f"{_span('week', numbers[0], numbers[-1])} of {len(weeks)}")
        rows = self.shown_rows()
        if len(rows) < len(self.sheet.rows):
            told.append(f"{_span('place', rows[0] + 1, rows[-1] + 1)} of {len(self.sheet.rows)}")
        return ", ".join(told)

    def legend(self) -> str:
        """Return what the letters mean that are shown."""
        days = [day for piece in self.shown() for day in piece.days]
        shown = {
            self.sheet.letters.get((self.sheet.rows[row], day))
            for row in self.shown_rows()
            for day in days
        }
        told = (f"{short}: {what}" for short, what in self.sheet.parties.items() if short in shown)
        return "; ".join(told)

    def heads(self) -> tuple[str, str]:
        """Return the two lines above the places: from which day a week is, and the days."""
        names = self.sheet.name_columns(self.columns)
        before, behind = self.is_more
        over = filled("<" if before else "", names)
        under = filled("places", names)
        for number, piece in enumerate(self.shown()):
            width = self.sheet.cell_columns * len(piece.days)
            last = number == len(self.shown()) - 1 and behind
            room = width - 1 if last else width
            told = filled(f" {_months(piece.days, room - 1)}", room)
            over += piece.rule + told + (">" if last else "")
            days = (filled(f" {day_head(day)}", self.sheet.cell_columns) for day in piece.days)
            under += piece.rule + "".join(days)
        return over, under

    def name(self, row: int) -> str:
        """Return the name of a row as it is drawn."""
        return filled(row_told(self.sheet.rows[row]), self.sheet.name_columns(self.columns))

    def text(self, cell: Cell) -> str:
        """Return a cell as it is drawn, between brackets if the cursor is on it."""
        said = self.sheet.cells.get(cell, FREE)
        is_at = cell == self.at
        return filled(f"[{said}]" if is_at else f" {said}", self.sheet.cell_columns)


def _months(days: tuple[date, ...], room: int) -> str:
    """Return the month of some days, or both: `Aug, Sep 2026`; the first alone in little room."""
    names = dict.fromkeys(f"{day:%b}" for day in days)
    told = f"{', '.join(names)} {days[-1].year}"
    return told if len(told) <= room else f"{days[0]:%b}"


def _span(what: str, first: int, last: int) -> str:
    return f"{what} {first}" if first == last else f"{what}s {first} to {last}"
