"""Turns what the models refuse into problems in our own words.

Invariant: no sentence of the validating library reaches a person, and one slip gives one problem.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from readiness.job.job import Job
from readiness.job.lines import Lines, key_text
from readiness.job.problems import Problem, did_you_mean, nearest
from readiness.job.rows import (
    AnswerRow,
    ApprovalRow,
    LinkRow,
    ObstructionRow,
    OfficeRow,
    ReadingRow,
    RequirementChange,
    RoomRow,
    SiteRow,
    StopRow,
    SurfaceRow,
    TradeRow,
    TripRow,
    WaiverRow,
    WorkRow,
)
from readiness.job.written import MisreadError, shown

if TYPE_CHECKING:
    from pydantic import ValidationError
    from pydantic_core import ErrorDetails

    from readiness.job.positions import Path
    from readiness.job.rows import Row

_ROWS: dict[str, type[Row]] = {
    "site": SiteRow,
    "rooms": RoomRow,
    "surfaces": SurfaceRow,
    "trades": TradeRow,
    "offices": OfficeRow,
    "work": WorkRow,
    "approvals": ApprovalRow,
    "obstructions": ObstructionRow,
    "trips": TripRow,
    "requirements": RequirementChange,
    "answers": AnswerRow,
    "readings": ReadingRow,
    "waivers": WaiverRow,
    "stops": StopRow,
}

_EXAMPLES = {
    "name": 'name = "Alder Street 14"',
    "key": 'key = "c1b7d0a29e", letters and digits that never change',
    "site": 'site = { time_zone = "America/New_York" }',
    "time_zone": 'time_zone = "America/New_York"',
    "at": "at = 2026-05-07",
    "value": 'value = "18 %"',
    "by": "by = the name of a person",
    "reason": 'reason = "..."',
    "role": 'role = "contractor"',
    "surfaces": 'surfaces = ["bath-1.outer"]',
    "trip": "trip = the id of a trip",
    "requirement": "requirement = the id of a requirement",
}
"""How a key that must not be left out is written."""

_WANTED = {
    "string_type": "text between quotes",
    "bool_type": "true or false",
    "bool_parsing": "true or false",
    "int_type": "a whole number",
    "int_from_float": "a whole number",
    "float_type": "a number",
    "finite_number": "a number",
    "tuple_type": "a list in brackets",
    "dict_type": "a table: { key = value }",
    "model_type": "a table: { key = value }",
    "model_attributes_type": "a table: { key = value }",
}
"""What a place wants, by the kind of refusal."""


def problems_of(error: ValidationError, lines: Lines) -> list[Problem]:
    """Return the problems of a refused job file, one for each slip."""
    details = error.errors(include_url=False)
    missing = _names_by_row(details, "missing")
    unknown = _names_by_row(details, "extra_forbidden")
    problems: list[Problem] = []
    for detail in details:
        row, name = _row_and_name(detail)
        if detail["type"] == "missing":
            if nearest(name, unknown.get(row, ())) is None:
                problems.append(_missing(row, name, lines))
        elif detail["type"] == "extra_forbidden":
            problems.append(_unknown(row, name, missing.get(row, ()), lines))
        else:
            problems.append(_misread(detail, lines))
    return problems


def _row_and_name(detail: ErrorDetails) -> tuple[Path, str]:
    loc = detail["loc"]
    return tuple(loc[:-1]), str(loc[-1]) if loc else ""


def _names_by_row(details: list[ErrorDetails], kind: str) -> dict[Path, list[str]]:
    """Return the last parts of all refusals of one kind by the row they are about."""
    names: dict[Path, list[str]] = {}
    for detail in details:
        if detail["type"] == kind:
            row, name = _row_and_name(detail)
            names.setdefault(row, []).append(name)
    return names


def _missing(row: Path, name: str, lines: Lines) -> Problem:
    example = _EXAMPLES.get(name, "")
    if name == "is":
        example = {
            "surfaces": 'is = "wall above grade"',
            "obstructions": 'is = "tub"',
            "readings": 'is = "wood moisture"',
        }.get(str(row[0]), "")
    return _problem(row, lines, f"{name} is missing", hint=f"write {example}" if example else "")


def _unknown(row: Path, name: str, missing: list[str] | tuple[()], lines: Lines) -> Problem:
    """Return the problem of a key nobody knows; a missing key it may stand for is named first."""
    near = nearest(name, missing) or nearest(name, keys_of(row))
    hint = f"did you mean {near}?" if near else ""
    if not near and row and name in keys_of(()):
        hint = f"{name} belongs to the top of the file, above the first [table]"
    elif not near:
        known = ", ".join(keys_of(row))
        hint = f"known here: {known}" if known else ""
    return _problem((*row, name), lines, f"{name} is not known here", read=name, hint=hint)


def keys_of(row: Path) -> tuple[str, ...]:
    """Return the keys that a row at this path may have, as they are written in the file."""
    model: type[Row] | None = Job
    if row:
        model = _ROWS.get(str(row[0]))
        if any(part in {"starts_after", "finishes_after"} for part in row):
            model = LinkRow
    if model is None:
        return ()
    return tuple(info.alias or name for name, info in model.model_fields.items())


def _misread(detail: ErrorDetails, lines: Lines) -> Problem:
    """Return the problem of a value that its place does not take."""
    value: Any = detail["input"]
    read = f'"{shown(value)}"' if isinstance(value, str) else shown(value)
    context = detail.get("ctx", {})
    kind = detail["type"]
    path = tuple(detail["loc"])
    error = context.get("error")
    if isinstance(error, MisreadError):
        what = f"{read} is not {error.wanted}"
        return _problem(path, lines, what, read=read, wanted=error.wanted, hint=error.hint)
    if kind in {"enum", "literal_error"}:
        return _not_a_word(path, lines, value, str(context.get("expected", "")))
    if kind in {"greater_than_equal", "less_than_equal", "greater_than"}:
        limit = next(context[name] for name in ("ge", "le", "gt") if name in context)
        sign = {"greater_than_equal": "at least", "less_than_equal": "at most"}.get(kind, "above")
        wanted = f"a number {sign} {limit}"
        return _problem(path, lines, f"{read} is not {wanted}", read=read, wanted=wanted)
    wanted = _WANTED.get(kind, "something else")
    hint = ""
    if value is True and wanted.startswith("a table"):
        hint = "the usual one needs no line; false removes it"
    elif (len(path) > 1 and path[-1] in {"row", "removed"} | set(keys_of(()))) or (len(path) > 1 and path[1] in keys_of(())):
        hint = _belongs_above(path)
    return _problem(path, lines, f"{read} is not {wanted}", read=read, wanted=wanted, hint=hint)


def _belongs_above(path: Path) -> str:
    """Return the hint for a key of the whole file that slipped into a table."""
    name = path[1]
    return (
        f"{name} belongs to the top of the file, above [{path[0]}]" if name in keys_of(()) else ""
    )


def _not_a_word(path: Path, lines: Lines, value: object, expected: str) -> Problem:
    """Return the problem of a word outside its list."""
    words = [word.strip("'") for word in _words_of(expected)]
    read = f'"{shown(value)}"' if isinstance(value, str) else shown(value)
    hint = did_you_mean(value, words) if isinstance(value, str) else ""
    wanted = f"one of: {', '.join(words)}"
    return _problem(path, lines, f"{read} is not known here", read=read, wanted=wanted, hint=hint)


def _words_of(expected: str) -> list[str]:
    """Return the quoted words of a list `'a', 'b' or 'c'`; a word may hold commas."""
    import re

    return re.findall(r"'[^']*'", expected)


def _problem(
    path: Path, lines: Lines, what: str, *, read: str = "", wanted: str = "", hint: str = ""
) -> Problem:
    """Return the problem at the place the path has in the file."""
    written = lines.written_path(path)
    return Problem(lines.file_name, lines.of(*path), key_text(written), what, read, wanted, hint)
