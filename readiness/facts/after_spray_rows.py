"""The shape of the tables that only what comes after the spray needs.

Invariant: a row names what asks for it in the other tables, or is told in the closing record.
"""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict

from readiness.facts.rows import Row
from readiness.facts.vocabulary import Phase


class AfterSprayItem(Row):
    """One thing that is looked at, done or told between the last foam and the first winter."""

    phase: Phase
    whom: str
    """Role or trade that does it."""
    passes_when: str
    """What is seen when it is good, as a fragment."""
    remedy: str = ""
    """What is done when it is not."""
    parts: tuple[str, ...] = ()
    """What it is ticked off by, one after another."""
    requirements: tuple[str, ...] = ()
    """Requirements of the board gate that ask for it."""
    works: tuple[str, ...] = ()
    approvals: tuple[str, ...] = ()
    steps: tuple[str, ...] = ()
    """Steps of the trip that hold it."""
    owner: bool = False
    """The owner is told of it in the closing record."""
    told: bool = False
    """Kept for the closing record; it stops nothing."""


class DepthFigure(Row):
    """A figure that readings of depth are judged by where the job says nothing."""

    share: str = ""
    length: str = ""
    takes: str = ""


class AfterSpray(BaseModel):
    """The tables that only what comes after the spray needs."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)

    after_spray: dict[str, AfterSprayItem]


class Depths(BaseModel):
    """The figures of depth, apart because only readings need them."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)

    depth: dict[str, DepthFigure]
