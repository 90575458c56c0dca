"""Surfaces with foam for the tests of its rules, without a job round them.

Invariant: an ordinary spot is a 2x6 wall with 3 in of closed-cell foam of no product, in a 2021
house in zone 5A.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from readiness.facts.loader import load_foam
from readiness.facts.vocabulary import FoamClass, FoamExposure, RoomKind, SurfaceKind
from readiness.foam.editions import edition_of, zone_of
from readiness.foam.foam_spot import FoamSpot, Ruled
from readiness.foam.product import Foam
from readiness.foam.said import Said
from readiness.job.foam_rows import ProductRow

TABLES = load_foam()
OPEN = Foam(FoamClass.OPEN_CELL, None, TABLES)
CLOSED = Foam(FoamClass.CLOSED_CELL, None, TABLES)

WALL = FoamSpot(
    surface="wall",
    kind=SurfaceKind.WALL_ABOVE_GRADE,
    exposure=FoamExposure.IN_THE_FRAME,
    rooms=(RoomKind.LIVING,),
    foam=CLOSED,
    depth_inches=3.0,
    cavity_inches=5.5,
)


def ruled(climate: str = "5A", code: str = "IRC 2021") -> Ruled:
    return Ruled(edition_of(code), zone_of(climate), TABLES)


def product(class_: str = "closed cell", **fields: Any) -> Foam:  # noqa: ANN401  any key of it
    row = ProductRow.model_validate({"class": class_, "sheet": "sheet 1", **fields})
    return Foam(row.class_, row, TABLES)


def spot(**fields: Any) -> FoamSpot:  # noqa: ANN401  any field of a spot
    return replace(WALL, **fields)


def one(said: list[Said], topic: str = "") -> Said:
    found = [line for line in said if topic in {"", line.topic}]
    assert found, [line.topic for line in said]
    return found[0]
