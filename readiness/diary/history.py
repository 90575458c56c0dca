"""The whole diary in one order, and what of it was known at a moment.

Years of a busy site are read for one verdict, so lines are told apart by a look at their raw
content first, and only those that can still matter are read in full.

Invariant: the diary as of a moment is the diary cut at that moment: nothing recorded later plays
any part.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from pydantic import ValidationError

from readiness.diary.entries import ENTRY, AnyEntry
from readiness.job.instants import instant_of
from readiness.job.origin import Origin
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
"""Kinds of which only the newest about one thing counts, with what makes them one thing."""

SAME_THING = {"not-done": "done", "prepared": "answer"}
"""Kinds that speak of the same thing as another kind."""

SPEAKS_TO_NO_GATE = frozenset({"remark", "photo", "job-file", "sign-off"})
"""Kinds that no verdict reads."""


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a diary file."""

    data: Raw
    file: str
    line: int


@dataclass(frozen=True, slots=True)
class Noted:
    """One entry that still counts, and where it stands."""

    entry: AnyEntry
    origin: Origin
    name: str
    """As `writer#number`."""


@dataclass(frozen=True, slots=True)
class History:
    """All lines of a diary, oldest first by what was seen, then by when it was written."""

    lines: tuple[Line, ...]

    def until(self, as_of: datetime, *, for_gates: bool = True) -> tuple[Noted, ...]:
        """Return the entries that count at a moment, oldest first.

        Args:
            as_of: Aware; entries written later are left out.
            for_gates: Leave out the kinds that no verdict reads.
        """
        limit = written_key(as_of.astimezone(UTC).isoformat())
        known = [line for line in self.lines if written_key(str(line.data["written"])) <= limit]
        replaced = {str(line.data["replaces"]) for line in known if line.data.get("replaces")}
        kept = _still_counting(known, replaced, for_gates=for_gates)
        return tuple(_noted(line) for line in kept)


def history_of(lines: Iterable[Line]) -> tuple[History, tuple[Problem, ...]]:
    """Return the diary in its order, and what is wrong with single lines."""
    good: list[tuple[tuple[str, str, str, int], Line]] = []
    problems: list[Problem] = []
    names: dict[tuple[str, int], Line] = {}
    for line in lines:
        problem = _wrong(line)
        if problem is not None:
            problems.append(problem)
            continue
        data = line.data
        name = (str(data["writer"]), int(data["number"]))
        twin = names.get(name)
        if twin is not None:
            if dict(twin.data) != dict(data):
                what = f"entry {name[0]}#{name[1]} also stands in {twin.file}, with another content"
                hint = "both are kept; a second copy of the folder was written to"
                problems.append(Problem(line.file, line.line, "", what, hint=hint))
            else:
                continue
        names[name] = line
        key = (seen_key(str(data["seen"])), written_key(str(data["written"])), *name)
        good.append((key, line))
    good.sort(key=lambda pair: pair[0])
    return History(tuple(line for _, line in good)), tuple(problems)


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


def _wrong(line: Line) -> Problem | None:
    """Return what makes a line useless before it is read in full."""
    data = line.data
    for key in ("kind", "writer", "number", "seen", "written", "by"):
        if key not in data:
            return Problem(line.file, line.line, key, "is missing from this entry")
    if not isinstance(data["number"], int):
        return Problem(line.file, line.line, "number", "is no whole number", str(data["number"]))
    try:
        written_key(str(data["written"]))
    except ValueError:
        what = "is no moment with its offset"
        return Problem(line.file, line.line, "written", what, str(data["written"]))
    if data["kind"] in SUBJECT or data["kind"] in SPEAKS_TO_NO_GATE:
        return None
    try:
        ENTRY.validate_python(dict(data))
    except ValidationError as error:
        first = error.errors(include_url=False)[0]
        key = ".".join(str(part) for part in first["loc"])
        return Problem(line.file, line.line, key, "can't be read", str(first.get("input", ""))[:80])
    return None


def _still_counting(known: list[Line], replaced: set[str], *, for_gates: bool) -> list[Line]:
    """Return the lines that can still matter, oldest first.

    Of several about one thing the newest counts; others of the same day stay if somebody else
    wrote them, for then the two may be contested.
    """
    newest: dict[tuple[object, ...], str] = {}
    authors: dict[tuple[object, ...], set[str]] = {}
    kept: list[Line] = []
    for line in reversed(known):
        data = line.data
        kind = data["kind"]
        if replaced and f"{data['writer']}#{data['number']}" in replaced:
            continue
        if for_gates and kind in SPEAKS_TO_NO_GATE:
            continue
        fields = SUBJECT.get(kind)
        if fields is not None:
            subject = (SAME_THING.get(kind, kind), *(str(data.get(name, "")) for name in fields))
            day = str(data["seen"])[:10]
            if subject not in newest:
                newest[subject] = day
                authors[subject] = {str(data["by"])}
            elif newest[subject] != day or data["by"] in authors[subject]:
                continue
            else:
                authors[subject].add(str(data["by"]))
        kept.append(line)
    kept.reverse()
    return kept


def _noted(line: Line) -> Noted:
    entry = ENTRY.validate_python(dict(line.data))
    name = f"{line.data['writer']}#{line.data['number']}"
    return Noted(entry, Origin(line.file, line.line, f"entry {name}"), name)


def written_instant(entry: AnyEntry) -> int:
    """Return the instant at which an entry was recorded."""
    return instant_of(entry.written)
