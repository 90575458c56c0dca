"""Who is where: rooms down, days across, two weeks at a time, as it hangs in the site office.

Invariant: every letter is explained below the grid, and a room that a keep-out shuts says so.
"""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

from readiness.pages.columns import columns_of, filled, wrapped
from readiness.pages.plan_cells import (
    ELSEWHERE,
    FREE,
    SIGNS,
    WEEK,
    cells_of,
    day_head,
    letters_of,
    letters_told,
    row_told,
    rows_of,
    weeks_of,
)

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from readiness.questions.plan import PlanAnswer

WIDTH = 96
CELL = 6
"""Columns of a day, its blank included, at least."""
NAME = 12
"""Columns of a room's name, if its letters need so many."""


def grid(answer: PlanAnswer) -> Iterator[str]:
    """Yield the grid of a plan, block by block; nothing where nobody has a place."""
    rows = rows_of(answer)
    if not rows:
        return
    letters = letters_of(answer)
    cells = cells_of(answer, letters)
    cell = max(CELL, 1 + max(map(columns_of, cells.values())))
    yield ""
    yield "Who is where (rooms down, days across):"
    for block in _blocks(answer, (WIDTH - NAME) // cell):
        is_outside = all(cells[row, day] == FREE for row in rows if row for day in block)
        yield from _block((ELSEWHERE,) if is_outside else rows, block, cells, cell)
    yield from wrapped(letters_told(answer, letters), WIDTH, "  ", "  ")
    yield from wrapped(SIGNS, WIDTH, "  ", "  ")


def _blocks(answer: PlanAnswer, most: int) -> Iterator[list[date]]:
    """Yield the days of one week, or of two that follow each other where both fit."""
    block: list[date] = []
    for week in weeks_of(answer):
        follows = block and week[0] - block[0] < timedelta(days=2 * WEEK - block[0].weekday())
        if block and not (follows and len(block) + len(week) <= most):
            yield block
            block = []
        block = [*block, *week]
    yield block


def _block(
    rows: tuple[str, ...], block: list[date], cells: Mapping[tuple[str, date], str], cell: int
) -> Iterator[str]:
    longest = max(columns_of(row_told(row)) for row in rows)
    width = min(longest, WIDTH - cell * len(block) - 2) + 2
    yield ""
    month = f"{block[0]:%b %Y}"
    first = month if len(month) <= width - 2 else f"{block[0]:%b}"
    heads = "".join(day_head(day).ljust(cell) for day in block)
    yield f"{first.ljust(width)}{heads}".rstrip()
    for row in rows:
        line = "".join(filled(cells[row, day], cell) for day in block)
        yield f"{filled(row_told(row), width - 2)}  {line}".rstrip()
