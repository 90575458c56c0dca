"""The lines of a diary file: text to raw entries and entries to text.

Invariant: a line that can't be read hides no other, and every line we write is one entry.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from pydantic import ValidationError
from pydantic_core import from_json

from readiness.diary.entries import ENTRY, AnyEntry
from readiness.diary.history import Line
from readiness.job.problems import Problem

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping


def lines_of(content: bytes, name: str) -> tuple[list[Line], list[Problem]]:
    """Return the raw entries of a file, and what is wrong with single lines."""
    lines: list[Line] = []
    problems: list[Problem] = []
    for number, raw in enumerate(content.split(b"\n"), 1):
        if not raw or raw.isspace():
            continue
        try:
            data = from_json(raw)
        except ValueError:
            hint = "half a line is left by a crash; what was acknowledged stands in other lines"
            told = raw[:60].decode("utf-8", "replace")
            problems.append(Problem(name, number, "", "is no entry", told, hint=hint))
            continue
        if isinstance(data, dict):
            lines.append(Line(data, name, number))
        else:
            problems.append(Problem(name, number, "", "is no entry", str(data)[:60]))
    return lines, problems


class EntryError(ValueError):
    """Fields that are no entry, told by the first that is wrong."""


def entry_of(fields: Mapping[str, Any]) -> AnyEntry:
    """Return the entry that fields make; one without its name is nobody's first.

    Raises:
        EntryError: With the field and what is wrong with it.
    """
    try:
        return ENTRY.validate_python({"writer": "nobody", "number": 1, **fields}, by_alias=True)
    except ValidationError as error:
        first = error.errors(include_url=False)[0]
        cause = first.get("ctx", {}).get("error") or first["msg"]
        key = " ".join(str(part) for part in first["loc"][1:]).replace("_", " ")
        message = f"{key}: {cause}"
        raise EntryError(message) from None


def text_of(entries: Iterable[AnyEntry]) -> bytes:
    """Return entries as the lines of a file."""
    return b"".join(ENTRY.dump_json(entry, by_alias=True) + b"\n" for entry in entries)


def number_of(line: bytes) -> int | None:
    """Return the number that a line carries, or None if it is no entry."""
    try:
        number = json.loads(line)["number"]
    except (ValueError, KeyError, TypeError):
        return None
    return number if isinstance(number, int) else None
