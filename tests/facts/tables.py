"""The tables of facts as plain rows, so that the tests also see what a row leaves out.

Invariant: the rows are those of the files that ship with the package.
"""

from __future__ import annotations

import tomllib
from importlib import resources
from typing import Any

from readiness.facts.loader import TABLES

RawRow = dict[str, Any]


def text_of(table: str) -> str:
    """Return the file of a table as it was written."""
    folder = resources.files("readiness.facts") / "tables"
    return (folder / f"{table}.toml").read_text("utf-8")


def raw_tables() -> dict[str, dict[str, RawRow]]:
    """Return every table by name, each row as it was written."""
    return {table: tomllib.loads(text_of(table)) for table in TABLES}


def raw_rows() -> list[tuple[str, RawRow]]:
    """Return every row of every table with its name, e.g. `work.framing`."""
    return [
        (f"{table}.{name}", row)
        for table, rows in raw_tables().items()
        for name, row in rows.items()
    ]
