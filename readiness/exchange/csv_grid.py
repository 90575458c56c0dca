"""Spreadsheets as text with separators (.csv): written for every program, read from every program.

Programs save such text in the signs, the separator and the spelling of dates of their country, so
what is read is told where it was no matter of course.

Invariant: a text that is written comes back unchanged, and none is a formula in between.
"""

from __future__ import annotations

import codecs
import csv
import re
from typing import TYPE_CHECKING

from readiness.exchange.grid import (
    LONGEST_TEXT,
    MOST_COLUMNS,
    MOST_ROWS,
    Grid,
    GridError,
    GridRow,
    guarded,
    unguarded,
)
from readiness.exchange.spreadsheet_rows import COLUMNS, cell_text

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.exchange.spreadsheet_rows import Cell

SEPARATORS = (";", "\t", "|", ",")
_LINE = re.compile(r"[^\r\n]*(?:\r\n|\r|\n)|[^\r\n]+")
_SEPARATOR_LINE = re.compile(r"sep=(.)\r?\n", re.IGNORECASE)


def csv_bytes(rows: Iterable[tuple[Cell, ...]]) -> bytes:
    """Return rows as a file, every cell in quotes, with the mark that says it is UTF-8.

    Source: RFC 4180, section 2.
    """
    lines = _Lines()
    writer = csv.writer(lines, quoting=csv.QUOTE_ALL, lineterminator="\r\n")
    writer.writerows([guarded(cell_text(cell)) for cell in row] for row in rows)
    return codecs.BOM_UTF8 + "".join(lines.written).encode()


class _Lines:
    """Collects what is written."""

    def __init__(self) -> None:
        self.written: list[str] = []

    def write(self, text: str) -> None:
        """Keep a piece of text."""
        self.written.append(text)


def csv_grid(content: bytes) -> Grid:
    """Return the rows of a file.

    Raises:
        GridError: It is no text, or far too large.
    """
    text, remarks = _text(content)
    first_line = 1
    separator = ""
    if told := _SEPARATOR_LINE.match(text):
        text, separator, first_line = text[told.end() :], told[1], 2
    if not separator:
        separator = _separator(text)
    csv.field_size_limit(LONGEST_TEXT * MOST_COLUMNS)
    rows: list[GridRow] = []
    try:
        for number, cells in enumerate(
            csv.reader(_LINE.findall(text), delimiter=separator), first_line
        ):
            _check_size(number, cells)
            values = tuple(unguarded(cell) for cell in cells)
            if any(value.strip() for value in values):
                rows.append(GridRow(number, values))
    except csv.Error as error:
        message = f"it can't be read as text with separators ({error})"
        raise GridError(message) from None
    return Grid(tuple(rows), remarks)


def _check_size(number: int, cells: list[str]) -> None:
    if number > MOST_ROWS:
        raise GridError(f"it has more than {MOST_ROWS} rows", "keep the rows of one job in it")
    if len(cells) > MOST_COLUMNS:
        raise GridError(f"row {number} has more than {MOST_COLUMNS} columns")
    if any(len(cell) > LONGEST_TEXT for cell in cells):
        raise GridError(f"row {number} has a cell of more than {LONGEST_TEXT} signs")


def _text(content: bytes) -> tuple[str, tuple[str, ...]]:
    """Return what bytes say, and how they were read if they do not say so themselves."""
    for mark, encoding in (
        (codecs.BOM_UTF8, "utf-8-sig"),
        (codecs.BOM_UTF16_LE, "utf-16"),
        (codecs.BOM_UTF16_BE, "utf-16"),
    ):
        if content.startswith(mark):
            return _decoded(content, encoding), ()
    if b"\x00" in content:
        raise GridError("it is no text with separators", "save it as .csv or .xlsx again")
    try:
        return content.decode("utf-8"), ()
    except UnicodeDecodeError:
        remark = "read as Windows-1252, because it is not UTF-8: look at names with accents"
        return content.decode("cp1252", "replace"), (remark,)


def _decoded(content: bytes, encoding: str) -> str:
    try:
        return content.decode(encoding)
    except UnicodeDecodeError:
        hint = "save it as .csv (UTF-8) or .xlsx again"
        raise GridError("its signs can't be read", hint) from None


def _separator(text: str) -> str:
    """Return the separator of the line in which the names of the columns stand."""
    for line in text.splitlines()[:10]:
        for separator in SEPARATORS:
            cells = next(csv.reader([line], delimiter=separator), [])
            named = {" ".join(cell.split()).casefold() for cell in cells}
            if len(named.intersection(COLUMNS)) > 1:
                return separator
    return ","
