"""Cells of a spreadsheet file as they stand in it, whatever kind of file it is.

Invariant: a cell keeps the row number under which a spreadsheet program shows it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from datetime import date, datetime, time

MOST_ROWS = 5_000
"""A job of a hundred rooms has some hundred rows."""
MOST_COLUMNS = 100
LONGEST_TEXT = 5_000

Value = str | int | float | date | datetime | None

_ACTIVE = re.compile(r"'*\s*[=+\-@\uFF1D\uFF0B\uFF0D\uFF20]|'*[\t\r\n]")
"""What a spreadsheet program may take for a formula: these signs, wide ones too, first or behind
white space; and a tab or line end, behind which some programs look once more.

Source: OWASP, "CSV Injection", https://owasp.org/www-community/attacks/CSV_Injection.
"""


class GridError(ValueError):
    """A file that is no spreadsheet that can be used."""

    def __init__(self, what: str, hint: str = "") -> None:
        """Keep what is wrong apart from what to do."""
        self.what = what
        self.hint = hint
        super().__init__(what)


@dataclass(frozen=True, slots=True)
class GridRow:
    """One row as it stands in the file."""

    number: int
    """As spreadsheet programs count it; the first is 1."""
    values: tuple[Value, ...]
    formulas: frozenset[int] = frozenset()
    """Positions of the cells that hold a formula."""
    merged: frozenset[int] = frozenset()
    """Positions of the cells that are merged with others."""


@dataclass(frozen=True, slots=True)
class Grid:
    """The rows of a file that hold anything."""

    rows: tuple[GridRow, ...]
    remarks: tuple[str, ...] = field(default=())
    """How it was read, where that was no matter of course."""


def guarded(text: str) -> str:
    """Return a text that no spreadsheet program takes for a formula: with an apostrophe before it.

    A text that begins with apostrophes before such a sign gets one more, so that `unguarded`
    always gives back what went in.
    """
    return f"'{text}" if _ACTIVE.match(text) else text


def unguarded(text: str) -> str:
    """Return the text that `guarded` was given."""
    return text[1:] if text.startswith("'") and _ACTIVE.match(text) else text


def plain_value(value: object, number_format: str = "") -> Value:
    """Return a value of a library as one of ours; a day at midnight without hours is a day."""
    if isinstance(value, datetime):
        has_hours = any(sign in number_format.casefold() for sign in ("h", "s"))
        plain = value.replace(tzinfo=None, second=0, microsecond=0)
        return plain if plain.time() != time() or has_hours else plain.date()
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (int, float)) and "%" in number_format:
        return f"{round(value * 100, 2):g} %"
    if isinstance(value, (str, int, float, date)) or value is None:
        return value
    return str(value)
