"""The depth beyond which no foam is meant, but a slip of the unit.

Invariant: the figure is that of the table of depths; most jobs never read it.
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from readiness.facts.loader import load_depth_figures
from readiness.job.quantities import Length

if TYPE_CHECKING:
    from fractions import Fraction

USUAL_INCHES = 12
"""No table is read for foam that is no deeper than this; it only spares time."""


def is_too_deep(depth: Length) -> bool:
    """Say whether a depth is one that no building has."""
    return depth.inches > USUAL_INCHES and depth.inches > _deepest_inches()


@cache
def _deepest_inches() -> Fraction:
    return Length.parse(load_depth_figures()["deepest"].length).inches
