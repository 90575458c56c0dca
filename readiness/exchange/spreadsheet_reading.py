"""The rows of a spreadsheet that came back, told by their ids and not by their place.

Rows may be in another order, some may be gone, columns may have moved, and lines may stand above
the head. What can't be read is told with its row, all of it at once.

Invariant: a row that is returned has its id once, and no cell of it is a formula or merged.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from readiness.exchange.spreadsheet_rows import COLUMNS, id_in, stamp_in
from readiness.exchange.text import clean_line
from readiness.job.problems import Problem, did_you_mean
from readiness.job.written import shown

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.exchange.grid import Grid, GridRow, Value
    from readiness.exchange.spreadsheet_rows import Stamp

ROWS_SEARCHED_FOR_HEAD = 10
WORK = COLUMNS[0]


@dataclass(frozen=True, slots=True)
class CameBack:
    """One row that came back."""

    number: int
    """As spreadsheet programs count it."""
    id: str
    values: Mapping[str, Value]
    """By column; columns that the file does not have are left out."""


@dataclass(frozen=True, slots=True)
class Reading:
    """What a spreadsheet holds."""

    rows: tuple[CameBack, ...]
    stamp: Stamp | None
    remarks: tuple[str, ...]
    problems: tuple[Problem, ...]


@dataclass(slots=True)
class _Told:
    file: str
    problems: list[Problem] = field(default_factory=list)

    def __call__(self, row: int | None, column: str, what: str, hint: str = "") -> None:
        self.problems.append(row_problem(self.file, row, column, what, hint))


def row_problem(file: str, row: int | None, column: str, what: str, hint: str = "") -> Problem:
    """Return what is wrong with a cell, or with a row, or with the file."""
    return Problem(file, row, column, what, hint=hint)


def read_grid(grid: Grid, file: str, known: Collection[str]) -> Reading:
    """Return the rows of a grid.

    Args:
        grid: The cells.
        file: What problems call the file.
        known: The ids of the rows that the job has.
    """
    tell = _Told(file)
    head = next((row for row in grid.rows[:ROWS_SEARCHED_FOR_HEAD] if _is_head(row)), None)
    if head is None:
        tell(None, "", "no row names the columns", f"the first row is: {', '.join(COLUMNS)}")
        return Reading((), None, grid.remarks, tuple(tell.problems))
    columns = _columns(head, tell)
    stamp = None
    rows: dict[str, CameBack] = {}
    for row in grid.rows:
        found = next((s for v in row.values if (s := stamp_in(str(v))) is not None), None)
        stamp = found or stamp
        if row.number <= head.number or found is not None:
            continue
        came = _row(row, columns, known, tell)
        if came is None:
            continue
        if came.id in rows:
            what = f"{came.id} stands in row {rows[came.id].number} already"
            tell(row.number, WORK, what, "keep one of them")
            continue
        rows[came.id] = came
    extra = [name for at, name in enumerate(_names(head)) if name and at not in columns.values()]
    remarks = [f"the column {shown(name)} is not read" for name in extra]
    return Reading(tuple(rows.values()), stamp, (*grid.remarks, *remarks), tuple(tell.problems))


def _names(row: GridRow) -> list[str]:
    return [clean_line(str(value or "")).casefold() for value in row.values]


def _is_head(row: GridRow) -> bool:
    return WORK in (names := _names(row)) and len(set(COLUMNS).intersection(names)) > 1


def _columns(head: GridRow, tell: _Told) -> dict[str, int]:
    names = _names(head)
    for column in COLUMNS:
        if names.count(column) > 1:
            tell(head.number, column, "it is there twice", "keep one of them")
    return {column: names.index(column) for column in COLUMNS if column in names}


def _row(
    row: GridRow, columns: Mapping[str, int], known: Collection[str], tell: _Told
) -> CameBack | None:
    """Return a row of ours; one that holds nothing in our columns is passed over."""
    values = {
        column: row.values[at] if at < len(row.values) else None for column, at in columns.items()
    }
    if not any(str(value or "").strip() for value in values.values()):
        return None
    name = id_in(str(values[WORK] or ""))
    if not _cells_are_plain(row, columns, tell):
        return None
    if not name:
        hint = "each row ends its work with an id in brackets; new work is written in the job file"
        tell(row.number, WORK, "the row says of no work, trip or look what it is about", hint)
        return None
    if name not in known:
        hint = did_you_mean(name, known) or "new work is written in the job file"
        tell(row.number, WORK, f"{shown(name)!r} is no row of this job", hint)
        return None
    return CameBack(row.number, name, values)


def _cells_are_plain(row: GridRow, columns: Mapping[str, int], tell: _Told) -> bool:
    good = True
    for column, at in columns.items():
        if at in row.merged:
            tell(row.number, column, "its cell is merged with others", "split them again")
        elif at in row.formulas:
            tell(row.number, column, "it holds a formula", "write the value itself")
        else:
            continue
        good = False
    return good


def missing_from(reading: Reading, known: Iterable[str]) -> tuple[str, ...]:
    """Return the ids of the rows that the job has and the file has not; they stay as they are."""
    came = {row.id for row in reading.rows}
    return tuple(name for name in known if name not in came)
