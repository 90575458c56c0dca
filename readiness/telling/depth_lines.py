"""Depth readings in words and figures: what was agreed, what was read, what follows.

Invariant: perimeter and field stand apart, and a figure has its unit in its name.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from readiness.diary.seen import DepthsRead
from readiness.facts.vocabulary import DepthMeans
from readiness.foam.outcome import METHOD, Outcome
from readiness.gates.depth_words import depth_told, length_told
from readiness.job.instants import EARLIER
from readiness.job.origin import Origin

if TYPE_CHECKING:
    from readiness.foam.depth import Agreed, ZoneFound
    from readiness.job.quantities import Length
    from readiness.schedule.depths_known import DepthKnown
    from readiness.telling.case import Case


@dataclass(frozen=True, slots=True)
class ZoneLine:
    """The readings of one zone of a surface."""

    readings: int
    """How many there are."""
    mean_inches: float | None
    """None without a reading."""
    spread_inches: float | None
    """Sample standard deviation; None of fewer than two readings."""
    smallest_inches: float | None
    """Null without a reading."""
    under_percent: float | None
    """Share of readings under the agreed depth."""
    mean_from_inches: float | None
    """Lower end of the interval of the mean."""
    mean_to_inches: float | None
    """Upper end of it."""
    enough: bool | None
    """Null if the job sets no number of readings."""
    uneven: bool
    """The spread is too wide, whatever the mean."""
    fill_inches: tuple[float, ...]
    """Readings at the spots to fill."""
    trim_inches: tuple[float, ...]
    """Readings at the spots to trim."""


@dataclass(frozen=True, slots=True)
class DepthLine:
    """The depth of one surface."""

    surface: str
    name: str
    agreed: str
    """Depth and meaning; empty if the job does not say it."""
    agreed_inches: float | None
    """The same in inches."""
    field: ZoneLine | None
    """Null without readings or without an agreement."""
    perimeter: ZoneLine | None
    """The same at its edge."""
    outcome: str
    """`accept`, `fill these spots`, `trim these spots`, `cut out and respray`, `read more spots`;
    empty while nobody can say."""
    says: str
    """What the readings show, as a sentence."""
    refill: str
    """What spraying again takes: depth, passes by the sheet, keep-out; empty if none is due."""
    at: datetime | None
    """When it was read last."""
    by: str
    """Who read it last."""
    interval_method: str
    """How the interval of the mean is found."""
    origin: str


def depth_lines(case: Case, surfaces: Iterable[str]) -> Iterable[DepthLine]:
    """Yield the depth of surfaces, in the order given."""
    for surface in surfaces:
        known = case.outlook.known.depths.get(surface)
        agreed = known.agreed if known is not None else _agreed(case, surface)
        yield _line(case, surface, known, agreed)


def depth_if_read(
    case: Case, surface: str, field: Sequence[Length], perimeter: Sequence[Length]
) -> DepthLine:
    """Return the depth of a surface as it would be told if these readings were taken now.

    Args:
        case: The job at one moment.
        surface: Id of the surface.
        field: Readings in the field, besides those in the diary.
        perimeter: Readings at the perimeter, besides those in the diary.
    """
    from readiness.schedule.depths_known import depth_known

    if not field and not perimeter:
        return next(iter(depth_lines(case, [surface])))
    seen, agreed = case.outlook.seen, _agreed(case, surface)
    reads = [read for read in seen.depths if read.surface == surface]
    foam = reads[-1].foam if reads else 0
    if reads and seen.foamed.get(surface, EARLIER) > reads[-1].at:
        foam += 1
    new = DepthsRead(
        surface, tuple(field), tuple(perimeter), seen.as_of, "", foam, Origin("being typed")
    )
    return _line(case, surface, depth_known([*reads, new], agreed), agreed)


def _agreed(case: Case, surface: str) -> Agreed | None:
    from readiness.schedule.depths_known import agreed_depth

    return agreed_depth(surface, case.site.job, case.site.facts.surfaces)


def _line(case: Case, surface: str, known: DepthKnown | None, agreed: Agreed | None) -> DepthLine:
    units = case.site.job.units
    found = known.found if known is not None else None
    outcome = known.outcome if known is not None else None
    return DepthLine(
        surface=surface,
        name=case.teller.place(surface),
        agreed=agreed_told(agreed, units),
        agreed_inches=round(float(agreed.inches), 3) if agreed is not None else None,
        field=_zone(found.field) if found is not None else None,
        perimeter=_zone(found.perimeter) if found is not None else None,
        outcome=outcome.value if outcome is not None else "",
        says=depth_told(known, units) if known is not None else "no depth reading",
        refill=_refill(case, surface, known),
        at=case.teller.moment(known.at) if known is not None else None,
        by=known.by if known is not None else "",
        interval_method=METHOD,
        origin=known.origin.told() if known is not None else "",
    )


def _refill(case: Case, surface: str, known: DepthKnown | None) -> str:
    if known is None or known.outcome not in {Outcome.FILL, Outcome.RESPRAY}:
        return ""
    from readiness.telling.refill import refill_told

    return refill_told(case, surface, known)


def agreed_told(agreed: Agreed | None, units: str) -> str:
    """Return what was agreed in words; empty if nothing was."""
    if agreed is None:
        return ""
    told = f"{agreed.means.value} {length_told(agreed.inches, units)}"
    if agreed.means is DepthMeans.TOLERANCE:
        depth = length_told(agreed.inches, units)
        tolerance = length_told(agreed.tolerance_inches, units)
        told = f"average {depth} with a tolerance of {tolerance} either side"
    return told


def _zone(zone: ZoneFound) -> ZoneLine:
    spread = zone.spread
    interval = spread.interval_inches if spread is not None else None
    return ZoneLine(
        readings=spread.count if spread is not None else 0,
        mean_inches=_rounded(spread.mean_inches if spread is not None else None),
        spread_inches=_rounded(spread.spread_inches if spread is not None else None),
        smallest_inches=_rounded(spread.smallest_inches if spread is not None else None),
        under_percent=round(spread.share_under * 100, 1) if spread is not None else None,
        mean_from_inches=_rounded(interval[0] if interval is not None else None),
        mean_to_inches=_rounded(interval[1] if interval is not None else None),
        enough=zone.enough,
        uneven=zone.uneven,
        fill_inches=tuple(round(float(low), 3) for low in zone.low_inches),
        trim_inches=tuple(round(float(high), 3) for high in zone.high_inches)
        if zone.outcome in {Outcome.TRIM, Outcome.RESPRAY}
        else (),
    )


def _rounded(value: float | None) -> float | None:
    return round(value, 3) if value is not None else None
