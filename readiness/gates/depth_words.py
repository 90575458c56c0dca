"""Depths in words, in the units of the job.

Invariant: a depth is told to a hundredth of an inch or to a millimetre, never without its unit.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.foam.outcome import Outcome
from readiness.job.quantities import MILLIMETRES_PER_INCH

if TYPE_CHECKING:
    from fractions import Fraction

    from readiness.foam.depth import ZoneFound
    from readiness.schedule.depths_known import DepthKnown

MOST_SPOTS = 4


def length_told(inches: float | Fraction, units: str) -> str:
    """Return a depth in inches or millimetres."""
    if units == "metric":
        return f"{float(inches) * float(MILLIMETRES_PER_INCH):.0f} mm"
    return f"{round(float(inches), 2):g} in"


def depth_told(known: DepthKnown, units: str) -> str:
    """Return what the readings of a surface show, and what follows."""
    if known.found is None:
        return f"{known.count} readings, but no depth with its meaning is agreed"
    if known.unread:
        left = f"{known.unread} mended spot{'s' if known.unread > 1 else ''} not read again"
    else:
        left = known.found.outcome.value
    zones = [("field", known.found.field), ("perimeter", known.found.perimeter)]
    told = [zone_told(name, zone, units) for name, zone in zones if zone.spread is not None]
    return f"{'; '.join(told)}: {left}"


def zone_told(name: str, zone: ZoneFound, units: str) -> str:
    """Return what the readings of one zone show."""
    spread = zone.spread
    if spread is None:
        return f"{name}: no reading"
    mean, least = (
        length_told(value, units) for value in (spread.mean_inches, spread.smallest_inches)
    )
    count = "1 reading" if spread.count == 1 else f"{spread.count} readings"
    told = f"{name} {count}, mean {mean}, least {least}"
    if zone.uneven:
        told += ", too uneven"
    spots = zone.low_inches or (zone.high_inches if zone.outcome is Outcome.TRIM else ())
    if spots and not zone.uneven:
        shown = ", ".join(length_told(spot, units) for spot in spots[:MOST_SPOTS])
        more = f" and {len(spots) - MOST_SPOTS} more" if len(spots) > MOST_SPOTS else ""
        told += f", at {shown}{more}"
    return told
