"""Makes the page of the job file from its models and from one job that shows every table.

Invariant: every key of every table is on the page with its default and its meaning, and the lines
shown are lines of a job that can be used.
"""

from __future__ import annotations

import enum
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from readiness.job import chance_rows, cost_rows, depth_rows, foam_rows, rows, trip_rows
from readiness.job.bookings import Booking
from readiness.job.days_off import DaysOff
from readiness.job.foam_quantities import BoardFeet, Density, Permeance, Resistance, SprayRate
from readiness.job.hours import Hours
from readiness.job.job import Job
from readiness.job.quantities import Area, Duration, Length, Share
from readiness.job.schema import job_schema
from tests.docs.meanings import meanings_of
from tests.docs.sheets import code, page, table

EXAMPLE = Path(__file__).with_name("example_job.toml")
"""A job with a line in every table."""

TABLES: dict[str, type[BaseModel]] = {
    "site": rows.SiteRow,
    "rooms": rows.RoomRow,
    "surfaces": rows.SurfaceRow,
    "trades": rows.TradeRow,
    "offices": rows.OfficeRow,
    "work": rows.WorkRow,
    "approvals": rows.ApprovalRow,
    "obstructions": rows.ObstructionRow,
    "trips": trip_rows.TripRow,
    "requirements": rows.RequirementChange,
    "answers": rows.AnswerRow,
    "readings": rows.ReadingRow,
    "waivers": rows.WaiverRow,
    "stops": rows.StopRow,
    "costs": cost_rows.CostsRow,
    "chances": chance_rows.ChancesRow,
    "depth": depth_rows.DepthRow,
    "products": foam_rows.ProductRow,
    "allowances": foam_rows.AllowanceRow,
    "rates": foam_rows.RatesRow,
}
"""What a line of each table is; a test finds one that is missing."""

WRITTEN = {
    Booking: "[booking](quantities.md#bookings)",
    DaysOff: "[days off](quantities.md#days-off)",
    Hours: "[weekly hours](quantities.md#weekly-hours)",
    Area: "[area](quantities.md#areas)",
    Duration: "[duration](quantities.md#durations)",
    Length: "[length](quantities.md#lengths)",
    Share: "[share](quantities.md#shares)",
    Resistance: "[resistance](quantities.md#thermal-resistances)",
    Permeance: "[permeance](quantities.md#permeances)",
    Density: "[density](quantities.md#densities)",
    BoardFeet: "[board feet](quantities.md#board-feet)",
    SprayRate: "[rate](quantities.md#rates-of-spraying)",
}
"""What is written as text, and where its forms are told."""

LINK_TITLE = "A wait, in `starts_after` and `finishes_after`"

LEAD = """A job is one file, `job.toml`, in TOML 1.0.
Each thing has one line, and only what is particular to this job is written: \
the [usual work](work.md), its order, its [approvals](approvals.md) and its \
[requirements](requirements.md) come with the `kind`.
An unknown key is a problem, and all problems of a file are told at once, each with its line.
Wherever places are named, a room stands for its surfaces, a storey and a group for what is in \
them, `all` for everything, and `all but NAME` leaves one out; a single name needs no brackets.
The lines shown are from one job that a test reads."""


def job_file() -> str:
    """Return the page of the job file."""
    schema = job_schema()
    definitions = schema["$defs"]
    lines = ["## Keys at the top", "", *_example(""), *_keys(Job, schema)]
    for name, model in TABLES.items():
        title = "`site`" if name == "site" else f"`[{name}]`"
        definition = definitions[model.__name__]
        lines += ["", f"## {title}", "", *_doc(model), *_example(name)]
        lines += _keys(model, definition)
    lines += ["", f"## {LINK_TITLE}", "", *_doc(rows.LinkRow)]
    lines += _keys(rows.LinkRow, definitions["LinkRow"])
    lines += ["", "## Words that are taken"]
    for name, definition in sorted(definitions.items()):
        if "enum" in definition:
            said = " ".join(str(definition.get("description", "")).split())
            lines += ["", f"### {name}", "", said, f"One of {code(definition['enum'])}."]
    return page("The job file", LEAD, lines)


def keys_of(model: type[BaseModel]) -> dict[str, str]:
    """Return the name of each field by the key that people write."""
    return {info.alias or name: name for name, info in model.model_fields.items()}


def example_lines(name: str) -> list[str]:
    """Return the lines of a table in the example; an empty name means those above all tables."""
    shown: dict[str, list[str]] = {}
    current = ""
    for line in EXAMPLE.read_text(encoding="utf-8").splitlines():
        if line.startswith("["):
            current = line.strip("[]")
        if line:
            shown.setdefault("site" if line.startswith("site ") else current, []).append(line)
    return shown.get(name, [])


def _example(name: str) -> list[str]:
    lines = example_lines(name)
    assert lines, name
    return ["```toml", *lines, "```", ""]


def _doc(model: type[BaseModel]) -> list[str]:
    return [" ".join((model.__doc__ or "").split()), ""]


def _keys(model: type[BaseModel], definition: dict[str, Any]) -> Iterator[str]:
    return keys_table(model, definition, keys_of(model), "every-row")


def keys_table(
    model: type[BaseModel], definition: dict[str, Any], keys: dict[str, str], shared: str
) -> Iterator[str]:
    """Yield the table of some keys of a model, with the field behind each."""
    meanings = meanings_of(model, keys, shared)
    yield from table(
        ("key", "holds", "else", "meaning"),
        (
            (
                f"`{key}`",
                _holds(model.model_fields[name], definition["properties"][key]),
                _default(model.model_fields[name]),
                meanings.get(key, ""),
            )
            for key, name in keys.items()
        ),
    )


def _default(info: FieldInfo) -> str:
    """Return what stands if the key is left out."""
    if info.is_required():
        return "needed"
    value = info.get_default(call_default_factory=True, validated_data={})
    if value in (None, "", (), {}) or isinstance(value, BaseModel):
        return ""
    if isinstance(value, tuple):
        return code(value)
    if isinstance(value, bool):
        return f"`{str(value).lower()}`"
    return f"`{value.value if isinstance(value, enum.Enum) else value}`"


def _holds(info: FieldInfo, value: dict[str, Any]) -> str:
    """Return what a key holds, in words."""
    for kind, words in WRITTEN.items():
        if kind.__name__ in str(info.annotation):
            many = "tuple" in str(info.annotation) or "dict" in str(info.annotation)
            return f"{words}, or several" if many else words
    return shape_of(value)


def shape_of(value: dict[str, Any]) -> str:
    """Return what a value of the schema is, in words."""
    if "$ref" in value:
        return _linked(str(value["$ref"]).rsplit("/", 1)[-1])
    options = value.get("anyOf") or value.get("oneOf")
    if options:
        told = dict.fromkeys(shape_of(option) for option in options if option.get("type") != "null")
        words = " or ".join(told)
        return words.removesuffix(" or text") if "moment" in told else words
    if "enum" in value:
        return " or ".join(f"`{word}`" for word in value["enum"] if word)
    if "const" in value:
        return f"`{str(value['const']).lower()}`"
    kind = value.get("type", "text")
    if kind == "array":
        return f"list of {shape_of(value.get('items', {}))}"
    if kind == "object":
        inner = value.get("additionalProperties", {})
        return f"table of {shape_of(inner)}" if isinstance(inner, dict) else "table"
    form = {"date": "day", "date-time": "moment"}.get(str(value.get("format", "")))
    plain = {"string": "text", "boolean": "`true` or `false`", "integer": "whole number"}
    return form or plain.get(str(kind), str(kind))


def _linked(name: str) -> str:
    """Return the name of a row or a list of words, as a link to where it is told."""
    by_model = {model.__name__: table_name for table_name, model in TABLES.items()}
    if name in by_model:
        return f"[line of {by_model[name]}](#{by_model[name]})"
    if name == "LinkRow":
        return "[wait](#a-wait-in-starts_after-and-finishes_after)"
    return f"[{name}](#{name.lower()})"
