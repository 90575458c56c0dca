"""One line of a diary file, as raw content and as the entry it is.

Invariant: a line is looked at before it is read in full, and read in full before it counts.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from pydantic import ValidationError

from readiness.diary.entries import ENTRY, AnyEntry
from readiness.job.problems import Problem

Raw = Mapping[str, Any]

SUBJECT: Mapping[str, tuple[str, ...]] = {
    "done": ("work", "places"),
    "not-done": ("work", "places"),
    "reading": ("reading", "places"),
    "answer": ("requirement", "places", "trip"),
    "prepared": ("requirement", "places"),
    "photo": ("reference", "places"),
}
"""Kinds of which only the newest about one thing counts, with what makes them one thing.

Work that is done and work that is not stay apart: who takes back what another person has finished
contests it, however many days lie between.
"""

SPEAKS_TO_NO_GATE = frozenset({"remark", "photo", "job-file", "replied", "sent", "sign-off"})
"""Kinds that no verdict reads."""

READ_WHERE_THEY_COUNT = SPEAKS_TO_NO_GATE.union(SUBJECT)
"""Kinds of which a diary has most and reads few: these only where one counts."""


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a diary file."""

    data: Raw
    file: str
    line: int


def seen_key(seen: str) -> str:
    """Return a text that orders days and moments; a day alone stands at its end."""
    return seen + "T23:59:59" if len(seen) == len("2026-05-07") else seen


def written_key(written: str) -> str:
    """Return a text that orders aware moments; our own are in UTC already."""
    if written.endswith("Z"):
        return written[:-1]
    if written.endswith("+00:00"):
        return written[:-6]
    return datetime.fromisoformat(written).astimezone(UTC).isoformat()[:-6]


def what_is_wrong(line: Line) -> Problem | None:
    """Return what makes a line useless before it is read in full."""
    data = line.data
    try:
        written, seen = data["written"], data["seen"]
        is_whole = (
            type(data["kind"]) is str
            and type(data["writer"]) is str
            and type(data["number"]) is int
            and type(data["by"]) is str
            and datetime.fromisoformat(written).tzinfo is not None
            and datetime.fromisoformat(seen) is not None
        )
    except (KeyError, TypeError, ValueError):
        is_whole = False
    if not is_whole:
        return _what_is_missing(line)
    if data["kind"] in READ_WHERE_THEY_COUNT:
        return None
    entry = read_in_full(line)
    return entry if isinstance(entry, Problem) else None


def _what_is_missing(line: Line) -> Problem:
    """Return the first thing that a line without its usual keys lacks."""
    data = line.data
    for key in ("kind", "writer", "number", "seen", "written", "by"):
        if key not in data:
            return Problem(line.file, line.line, key, "is missing from this entry")
        if type(data[key]) is not (int if key == "number" else str):
            what = "is no whole number" if key == "number" else "is no text"
            return Problem(line.file, line.line, key, what, str(data[key])[:60])
    for key in ("written", "seen"):
        try:
            datetime.fromisoformat(data[key])
        except ValueError:
            return Problem(line.file, line.line, key, "is no moment", data[key][:60])
    return Problem(line.file, line.line, "written", "has no offset", data["written"][:60])


def read_in_full(line: Line) -> AnyEntry | Problem:
    """Return the entry that a line is, or what is wrong with it."""
    try:
        return ENTRY.validate_python(line.data)
    except ValidationError as error:
        first = error.errors(include_url=False)[0]
        key = ".".join(str(part) for part in first["loc"])
        found = str(first.get("input", ""))[:80]
        return Problem(line.file, line.line, key, "can't be read", found)
