"""Turns what the models refuse into problems in our own words.

Invariant: no sentence of the validating library reaches a person, and one slip gives one problem.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from hashlib import sha256
from typing import TYPE_CHECKING, Any

from readiness.job.chance_rows import ChancesRow
from readiness.job.cost_rows import CostsRow
from readiness.job.depth_rows import DepthRow
from readiness.job.foam_rows import AllowanceRow, ProductRow, RatesRow
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
    WaiverRow,
    WorkRow,
)
from readiness.job.trip_rows import TripRow
from readiness.job.written import MisreadError, shown

if TYPE_CHECKING:
    from collections.abc import Sequence

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
    "costs": CostsRow,
    "chances": ChancesRow,
    "depth": DepthRow,
    "products": ProductRow,
    "allowances": AllowanceRow,
    "rates": RatesRow,
}

_EXAMPLES = {
    "name": 'name = "Alder Street 14"',
    "site": 'site = { time_zone = "America/New_York" }',
    "time_zone": 'time_zone = "America/New_York"',
    "at": "at = 2026-05-07",
    "value": 'value = "18 %"',
    "by": "by = the name of a person",
    "reason": 'reason = "..."',
    "role": 'role = "contractor"',
    "surfaces": 'surfaces = ["bath-1.outer"]',
    "trip": "trip = the id of a trip",
    "class": 'class = "closed cell"',
    "sheet": "sheet = the name or number of the data sheet",
    "allows": 'allows = "bare foam"',
    "requirement": "requirement = the id of a requirement",
}
"""How a key that must not be left out is written."""

_EXAMPLES_OF_IS = {
    "surfaces": 'is = "wall above grade"',
    "obstructions": 'is = "tub"',
    "readings": 'is = "wood moisture"',
}

A_TABLE = "a table: { key = value }"

_WANTED = {
    "string_type": "text between quotes",
    "bool_type": "true or false",
    "bool_parsing": "true or false",
    "int_type": "a whole number",
    "int_from_float": "a whole number",
    "float_type": "a number",
    "finite_number": "a number",
    "tuple_type": "a list in brackets",
    "dict_type": A_TABLE,
    "model_type": A_TABLE,
    "model_attributes_type": A_TABLE,
}
"""What a place wants, by the kind of refusal."""

_LIMITS = {
    "greater_than_equal": ("ge", "from"),
    "less_than_equal": ("le", "up to"),
    "greater_than": ("gt", "above"),
}
"""The name a refused limit has in the details, and how it is told."""


def problems_of(error: ValidationError, lines: Lines, *, complete: bool = True) -> list[Problem]:
    """Return the problems of a refused job file, one for each slip.

    If the file was not read completely, what is missing may stand in a line that can't be read.
    """
    details = error.errors(include_url=False)
    missing = _names_by_row(details, "missing")
    unknown = _names_by_row(details, "extra_forbidden")
    problems: list[Problem] = []
    for detail in details:
        row, name = _row_and_name(detail)
        if detail["type"] == "missing":
            if complete and nearest(name, unknown.get(row, ())) is None:
                problems.append(_missing(_Here(row, lines), name))
        elif detail["type"] == "extra_forbidden":
            problems.append(_unknown(_Here(row, lines), name, missing.get(row, ())))
        else:
            problems.append(_misread(_Here(tuple(detail["loc"]), lines), detail))
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


@dataclass(frozen=True, slots=True)
class _Here:
    """A path of the models, and where the file has it."""

    path: Path
    lines: Lines

    def problem(self, what: str, *, read: str = "", wanted: str = "", hint: str = "") -> Problem:
        """Return a problem of this place."""
        key = key_text(self.lines.written_path(self.path))
        line = self.lines.of(*self.path)
        return Problem(self.lines.file_name, line, key, what, read, wanted, hint)


def _missing(row: _Here, name: str) -> Problem:
    """Return the problem of a key that must not be left out."""
    example = _EXAMPLES.get(name, "")
    if name == "key":
        example = f'key = "{_own_key(row.lines.text)}", letters and digits that never change'
    if name == "is":
        example = _EXAMPLES_OF_IS.get(str(row.path[0]), "")
    return row.problem(f"{name} is missing", hint=f"write {example}" if example else "")


def _own_key(text: str) -> str:
    """Return a key that another file would not be offered: calendars of two jobs must not mix."""
    return sha256(text.encode()).hexdigest()[:10]


def _unknown(row: _Here, name: str, missing: Sequence[str]) -> Problem:
    """Return the problem of a key nobody knows; a missing key it may stand for is named first."""
    near = nearest(name, missing) or nearest(name, keys_of(row.path))
    if near:
        hint = f"did you mean {near}?"
    elif row.path and name in keys_of(()):
        hint = f"{name} belongs to the top of the file, above the first [table]"
    else:
        hint = f"known here: {', '.join(keys_of(row.path))}"
    here = _Here((*row.path, name), row.lines)
    return here.problem(f"{name} is not known here", read=name, hint=hint)


def keys_of(row: Path) -> tuple[str, ...]:
    """Return the keys that a row at this path may have, as they are written in the file."""
    model: type[Row] = Job
    if row:
        in_link = any(part in {"starts_after", "finishes_after"} for part in row)
        model = LinkRow if in_link else _ROWS[str(row[0])]
    return tuple(info.alias or name for name, info in model.model_fields.items())


def _misread(here: _Here, detail: ErrorDetails) -> Problem:
    """Return the problem of a value that its place does not take."""
    value: Any = detail["input"]
    read = typed(value)
    context = detail.get("ctx", {})
    kind = detail["type"]
    error = context.get("error")
    if isinstance(error, MisreadError):
        wanted, hint = error.wanted, error.hint
    elif kind in {"enum", "literal_error"}:
        return _not_a_word(here, value, str(context.get("expected", "")))
    elif kind in _LIMITS:
        key, sign = _LIMITS[kind]
        wanted, hint = f"a number {sign} {context[key]}", ""
    else:
        wanted = _WANTED.get(kind, "what is wanted here")
        hint = _hint_for_shape(here.path, value, wanted)
    return here.problem(f"{read} is not {wanted}", read=read, wanted=wanted, hint=hint)


def _hint_for_shape(path: Path, value: object, wanted: str) -> str:
    """Return the hint for a plain value where a table belongs."""
    if wanted != A_TABLE or len(path) == 1:
        return ""
    if path[1] in keys_of(()):
        return f"{path[1]} belongs to the top of the file, above [{path[0]}]"
    return "the usual one needs no line; false removes it" if value is True else ""


def _not_a_word(here: _Here, value: object, expected: str) -> Problem:
    """Return the problem of a word outside its list."""
    words = [word.strip("'") for word in re.findall(r"'[^']*'", expected)] or [expected]
    hint = did_you_mean(value, words) if isinstance(value, str) else ""
    read = typed(value)
    wanted = f"one of: {', '.join(words)}"
    return here.problem(f"{read} is not known here", read=read, wanted=wanted, hint=hint)


def typed(value: object) -> str:
    """Return a value as it would be typed in the file, text between quotes."""
    return f'"{shown(value)}"' if isinstance(value, str) else shown(value)
