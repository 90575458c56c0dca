"""The shape of the tables about foam: class, place, resistance, condensation, rules, figures.

Invariant: a figure stays the text that was written, because quantities are read one floor higher;
`from memory` goes with a row into every answer that used it.
"""

from __future__ import annotations

from enum import StrEnum

from pydantic import BaseModel, ConfigDict

from readiness.facts.rows import Row
from readiness.facts.vocabulary import FoamClass, FoamExposure, SurfaceKind


class Figure(StrEnum):
    """What a figure is of."""

    DENSITY = "density"
    RESISTANCE = "resistance"
    AIRTIGHT_DEPTH = "airtight depth"
    RETARDER_DEPTH = "retarder depth"
    PERMEANCE = "permeance"
    LIFT = "lift"
    WAIT = "wait"
    DRUM_SET = "drum set"
    RATE = "rate"
    ACCESS = "access"
    FRAMING = "framing"
    OVERFILL = "overfill"
    TRIM_SHORT = "trim short"
    WASTE = "waste"
    RESERVE = "reserve"
    SET_UP = "set-up"
    MASKING = "masking"
    TRIM = "trim"
    CLEAN_UP = "clean-up"


class Topic(StrEnum):
    """What a rule is about."""

    RETARDER = "retarder"
    ROOF = "roof"
    FIRE = "fire"
    GROUND = "ground"
    CLEARANCE = "clearance"
    WIRING = "wiring"
    USE = "use"
    RESISTANCE = "resistance"


class Suits(StrEnum):
    """Whether a class of foam suits a surface."""

    SUITS = "suits"
    SUITS_IF = "suits if"
    DOES_NOT = "does not suit"


class CondensationTable(StrEnum):
    """Which of the tables a row of resistance against condensation belongs to."""

    ROOF = "roof"
    ROOF_UNDER_TILE = "roof under tile"
    WALL = "wall"
    CLASS_TWO_INSIDE = "class two inside"
    NO_RETARDER = "no retarder"


class FoamFigureRow(Row):
    """A figure that stands in for a product sheet or for a company's own rate."""

    of: Figure
    foam: FoamClass | None = None
    on: tuple[SurfaceKind, ...] = ()
    low: str = ""
    high: str = ""
    used: str = ""
    """What is planned with; empty for figures that are only told."""
    note: str = ""
    caution: str = ""


class FoamUseRow(Row):
    """Whether a class of foam suits a kind of surface in an exposure."""

    foam: FoamClass
    on: tuple[SurfaceKind, ...] = ()
    """Empty means every kind."""
    exposure: FoamExposure
    result: Suits
    because: str


class ResistanceRow(Row):
    """What the energy chapter asks for in some zones, by kind of surface."""

    editions: tuple[str, ...]
    zones: tuple[str, ...]
    ceiling: str = ""
    attic: str = ""
    wall: str = ""
    floor: str = ""
    basement: str = ""
    crawl: str = ""
    effective: bool = False
    """Of the whole assembly with its framing, not of the insulation."""
    note: str = ""


class CondensationRow(Row):
    """Resistance that keeps a roof or a wall from condensing."""

    table: CondensationTable
    editions: tuple[str, ...]
    zones: tuple[str, ...]
    r: str = ""
    r_2x4: str = ""
    r_2x6: str = ""
    instead: str = ""
    """What else the table takes."""


class FoamRuleRow(Row):
    """What a code or guidance says, and what is asked about it of whom."""

    topic: Topic
    says: str
    editions: tuple[str, ...] = ()
    """Empty: no matter of an edition."""
    zones: tuple[str, ...] = ()
    on: tuple[SurfaceKind, ...] = ()
    foam: FoamClass | None = None
    figure: str = ""
    asks: str = ""
    whom: str = ""
    seen_in: str = ""
    """The edition that was read; empty if none was."""
    caution: str = ""


class FoamTables(BaseModel):
    """All tables about foam."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)

    figures: dict[str, FoamFigureRow]
    uses: dict[str, FoamUseRow]
    r_values: dict[str, ResistanceRow]
    condensation: dict[str, CondensationRow]
    rules: dict[str, FoamRuleRow]
