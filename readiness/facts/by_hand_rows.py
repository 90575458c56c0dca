"""The shape of the table of methods of sealing by hand, which only ways need.

Invariant: a figure stays the text that was written, because quantities are read one floor higher.
"""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict

from readiness.facts.rows import Row
from readiness.facts.vocabulary import SurfaceKind


class HandMethod(Row):
    """With what a surface, or the bay behind a thing, is closed by hand instead of by gun."""

    says: str
    """As it stands behind "seal it by hand"."""
    on: dict[SurfaceKind, str]
    """The largest net area for which it is done, by kind of surface; no other kind."""
    most_foam: str = ""
    """The most foam that it is done with, in board feet; empty where none is sprayed."""
    in_bays: bool
    """It is done in the single bay behind a thing."""
    price: str
    """The key of `[costs]` for it."""
    done_by: str
    """Trade."""
    foam: bool
    """Foam comes out of it: what is said of foam holds again, the keep-out too."""
    entails: tuple[str, ...]
    caution: str


class ByHand(BaseModel):
    """The table of methods, what takes least first."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)

    by_hand: dict[str, HandMethod]
