"""The shape of the table of usual chances, which only the question about chances needs.

Invariant: a figure stays the text that was written, because quantities are read one floor higher.
"""

from __future__ import annotations

from enum import StrEnum

from pydantic import BaseModel, ConfigDict

from readiness.facts.rows import Row


class ChanceOf(StrEnum):
    """What can go otherwise than planned."""

    WORK_LENGTH = "work-length"
    TRIP_LENGTH = "trip-length"
    LOOK_FAILS = "look-fails"
    NO_SHOW = "no-show"
    MATERIAL_LATE = "material-late"
    OUTSIDE_WEATHER = "outside-weather"
    SPRAY_WEATHER = "spray-weather"


class ChanceKind(Row):
    """One thing that can go otherwise: how often, and by how much."""

    chance: str = ""
    """How often, in percent; empty for a length, which always varies."""
    less: str = ""
    """By how much less than planned at the least, in percent."""
    more: str = ""
    """By how much more than planned at the most, in percent."""
    takes: str = ""
    """What it costs when it happens, in the working time of whoever is late."""
    why: str


class Chances(BaseModel):
    """The table of usual chances; every kind has its row."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)

    chances: dict[ChanceOf, ChanceKind]
