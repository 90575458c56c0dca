"""The shape of the tables that only the questions about conditions need.

Invariant: a limit says "below", "at most" or "at least" beside its figure; it stays the text that
was written, because quantities are read one floor higher.
"""

from __future__ import annotations

from enum import StrEnum

from pydantic import BaseModel, ConfigDict

from readiness.facts.rows import Row
from readiness.facts.vocabulary import Effect, SurfaceKind


class Measure(StrEnum):
    """What a limit is about."""

    WOOD_MOISTURE = "wood moisture"
    SPREAD = "spread"
    RELATIVE_HUMIDITY = "relative humidity"
    SUBSTRATE_TEMPERATURE = "substrate temperature"
    AIR_TEMPERATURE = "air temperature"
    WIND = "wind"
    MATERIAL_TEMPERATURE = "material temperature"
    SHELF_LIFE = "shelf life"
    CONCRETE_AGE = "concrete age"
    OPENING = "opening"


class Bound(StrEnum):
    """On which side of its figure a limit lies; only `below` refuses the figure itself."""

    BELOW = "below"
    AT_MOST = "at most"
    AT_LEAST = "at least"


class Exposure(StrEnum):
    """What the far side of a surface meets."""

    OUTSIDE_AIR = "outside air"
    OPEN_SKY = "open sky"
    GROUND = "ground"
    UNDER_A_ROOF = "under a roof"
    INSIDE = "inside"


class Material(StrEnum):
    """What foam is sprayed on."""

    WOOD = "wood"
    MASONRY = "masonry"
    METAL = "metal"


class LimitRow(Row):
    """A limit, and how near to it a value is called close."""

    measures: Measure
    bound: Bound
    limit: str
    close: str
    """A difference from the limit."""
    in_force: bool = False
    """Applied unless the job's product sheet says otherwise; else only told with `--why`."""
    units: str = ""
    """In force only for jobs in these units; empty means both."""
    decides: Effect = Effect.STOPS_SURFACE
    requirement: str = ""
    """The requirement whose limit a job may change, with the sheet it was read from."""
    note: str = ""
    caution: str = ""


class ExposureRow(Row):
    """How a kind of surface meets the weather."""

    exposure: Exposure
    material: Material
    cold_rank: int
    """1 is read first for the coldest spot."""
    wet_rank: int
    """1 is read first for the wettest spot."""


class Exposures(BaseModel):
    """The table of exposures by itself, which laying out a job needs."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)

    exposures: dict[SurfaceKind, ExposureRow]


class Limits(BaseModel):
    """The tables of limits and exposures."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)

    limits: dict[str, LimitRow]
    exposures: dict[SurfaceKind, ExposureRow]
