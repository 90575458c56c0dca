"""Spreadsheets as workbooks (.xlsx), written by one library and read by another.

Invariant: a text is written as a text and never as a formula, and equal rows give equal bytes; what
is read was looked over first.
"""

from __future__ import annotations

import warnings
from datetime import date, datetime
from typing import IO, TYPE_CHECKING, cast

from readiness.exchange.grid import (
    LONGEST_TEXT,
    MOST_COLUMNS,
    Grid,
    GridError,
    GridRow,
    Value,
    plain_value,
)
from readiness.exchange.xlsx_gate import Looked, look_over

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from openpyxl.cell.cell import Cell as BookCell
    from openpyxl.cell.cell import MergedCell
    from openpyxl.workbook import Workbook
    from openpyxl.worksheet.worksheet import Worksheet

    from readiness.exchange.spreadsheet_rows import Cell

WIDTHS = (46, 20, 30, 17, 12, 40, 40, 18, 22)
"""Of the columns, in signs."""
EXTRA = "install it with: pip install '.[spreadsheet]', or use a .csv"


def write_xlsx(
    head: Sequence[str], rows: Iterable[Sequence[Cell]], foot: str, file: IO[bytes]
) -> None:
    """Write rows under a head that stays in sight, and a last row over all of it.

    Raises:
        GridError: The library for it is not installed.
    """
    try:
        from xlsxwriter import Workbook
    except ImportError:
        raise GridError("a workbook needs a library that is not installed", EXTRA) from None
    options = {
        "in_memory": True,
        "strings_to_formulas": False,
        "strings_to_numbers": False,
        "strings_to_urls": False,
    }
    book = Workbook(file, options)
    book.set_properties({"title": "Dates", "created": datetime(2000, 1, 1)})  # noqa: DTZ001  the same for ever
    page = book.add_worksheet("Dates")
    bold = book.add_format({"bold": True, "bottom": 1})
    text = book.add_format({"text_wrap": True, "valign": "top", "quote_prefix": True})
    day = book.add_format({"num_format": "yyyy-mm-dd", "valign": "top", "align": "left"})
    hour = book.add_format({"num_format": "yyyy-mm-dd hh:mm", "valign": "top", "align": "left"})
    for column, width in enumerate(WIDTHS):
        page.set_column(column, column, width)
    page.write_row(0, 0, head, bold)
    page.freeze_panes(1, 1)
    last = 0
    for last, row in enumerate(rows, 1):
        for column, cell in enumerate(row):
            if isinstance(cell, datetime):
                page.write_datetime(last, column, cell, hour)
            elif isinstance(cell, date):
                page.write_datetime(last, column, datetime.combine(cell, datetime.min.time()), day)
            else:
                page.write_string(last, column, cell, text)
    page.write_string(last + 1, 0, foot, book.add_format({"italic": True}))
    page.set_landscape()
    page.fit_to_pages(1, 0)
    page.repeat_rows(0)
    book.close()


def xlsx_grid(file: IO[bytes], wanted: frozenset[str]) -> Grid:
    """Return the rows of the first page of a workbook that names wanted columns.

    Raises:
        GridError: It can't be read, or must not be.
    """
    looked = look_over(file)
    try:
        from openpyxl import load_workbook
    except ImportError:
        raise GridError("a workbook needs a library that is not installed", EXTRA) from None
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        try:
            book = load_workbook(file, read_only=True, keep_links=False)
            return _grid(book, looked, wanted)
        except GridError:
            raise
        except Exception as error:  # noqa: BLE001  a damaged workbook breaks the library anywhere
            what = f"it can't be read as a workbook ({type(error).__name__})"
            raise GridError(what, "save it as .xlsx again") from None


def _grid(book: Workbook, looked: Looked, wanted: frozenset[str]) -> Grid:
    pages = cast("list[Worksheet]", book.worksheets)
    grids = [_rows(page, looked) for page in pages]
    if not grids:
        raise GridError("it has no page with cells")
    named = [rows for rows in grids if _names(rows[:10], wanted)]
    rows = named[0] if named else grids[0]
    more = len(named) > 1
    return Grid(rows, ("only its first page with dates was read",) if more else ())


def _names(rows: Sequence[GridRow], wanted: frozenset[str]) -> bool:
    """Say whether a row holds names of columns."""
    return any(
        len(wanted.intersection(" ".join(str(v).split()).casefold() for v in row.values)) > 1
        for row in rows
    )


def _rows(page: Worksheet, looked: Looked) -> tuple[GridRow, ...]:
    part = str(getattr(page, "_worksheet_path", "")).lstrip("/")
    merged = looked.merged.get(part, [])
    found: list[GridRow] = []
    if part not in looked.last_row:
        return ()
    cells_of = page.iter_rows(max_row=looked.last_row[part], max_col=MOST_COLUMNS)
    for number, cells in enumerate(cells_of, 1):
        if all(cell.value in (None, "") for cell in cells):
            continue
        found.append(
            GridRow(
                number,
                _values(cells, number),
                frozenset(at for at, cell in enumerate(cells) if cell.data_type == "f"),
                frozenset(
                    column
                    for each in merged
                    if each.first_row <= number <= each.last_row
                    for column in range(each.first_column, min(each.last_column, MOST_COLUMNS) + 1)
                ),
            )
        )
    return tuple(found)


def _values(cells: Iterable[BookCell | MergedCell], number: int) -> tuple[Value, ...]:
    """Return the values of a row without the empty ones behind the last."""
    values = [plain_value(cell.value, str(cell.number_format or "")) for cell in cells]
    if any(isinstance(value, str) and len(value) > LONGEST_TEXT for value in values):
        raise GridError(f"row {number} has a cell of more than {LONGEST_TEXT} signs")
    while values and values[-1] in (None, ""):
        values.pop()
    return tuple(values)
