"""What every diary entry carries, whatever it says.

Invariant: an entry is never changed; a correction is a new entry that names the one it replaces.
`seen` is when it was so on site, `written` when it was recorded; both are kept.
"""

from __future__ import annotations

from datetime import date, datetime
from typing import Annotated

from pydantic import AwareDatetime, BaseModel, ConfigDict, Field, PlainSerializer, PlainValidator

from readiness.facts.vocabulary import Role, Rung
from readiness.job.dates import read_day, read_moment
from readiness.job.fields import Text


def _written_day(value: date | datetime) -> str:
    return value.isoformat()


Day = Annotated[
    date | datetime,
    PlainValidator(read_day, json_schema_input_type=str),
    PlainSerializer(_written_day, return_type=str),
]
"""A day, or a moment of it on the wall clock at the site."""

Moment = Annotated[
    datetime,
    PlainValidator(read_moment, json_schema_input_type=str),
    PlainSerializer(_written_day, return_type=str),
]
"""A wall-clock time at the site."""


class Entry(BaseModel):
    """What every entry carries."""

    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=True, defer_build=True)

    writer: Text
    """Whose file it stands in; with the number it names the entry for ever."""
    number: int = Field(ge=1)
    """Position in its writer's file, counted from 1 and never used twice."""
    seen: Day
    """When it was so on site, on the wall clock there; a day alone if nobody knows the hour."""
    written: AwareDatetime
    """When it was recorded."""
    by: Text
    """Whose statement it is."""
    role: Role | None = None
    """What they are on this job; None is unknown, and may remark but never override."""
    trade: Text = ""
    """Which trade, for the role trade."""
    how: Rung = Rung.SAID
    """How it is known."""
    via: Text = ""
    """How it reached the diary, e.g. `by message`, `by phone`."""
    replaces: Text = ""
    """The entry it corrects, as `writer#number`."""


def name_of(entry: Entry) -> str:
    """Return the name by which corrections and liftings call an entry."""
    return f"{entry.writer}#{entry.number}"
