"""The shape of the table of shifts beyond the usual hours, which only ways need.

Invariant: a figure stays the text that was written, because quantities are read one floor higher.
"""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict

from readiness.facts.rows import Row


class ShiftKind(Row):
    """A stretch that a trade works beyond its usual hours."""

    takes: str
    why: str


class Shifts(BaseModel):
    """The table of shifts."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)

    shifts: dict[str, ShiftKind]
