"""What the depth readings of a surface say against what the job has agreed.

Readings of one foam add up. Once low spots are filled, or high ones trimmed, the readings taken
afterwards stand in their place; once a surface is cut out, in the place of all.

Invariant: a spot that failed is good only by a reading of its own, taken after the mending.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TYPE_CHECKING

from readiness.facts.vocabulary import DepthMeans, FoamClass
from readiness.foam.depth import Agreed, DepthFound, Trimmed, judged
from readiness.foam.outcome import Outcome
from readiness.job.quantities import Length, Share

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from readiness.diary.seen import DepthsRead
    from readiness.facts.rows import SurfaceRow as SurfaceFacts
    from readiness.facts.vocabulary import SurfaceKind
    from readiness.job.job import Job
    from readiness.job.origin import Origin


@dataclass(frozen=True, slots=True)
class DepthKnown:
    """What is known of the depth on one surface."""

    agreed: Agreed | None
    """None if the job does not say what depth was agreed, or what it means."""
    found: DepthFound | None
    """None without an agreement."""
    unread: int
    """Spots that were mended and not read again."""
    field: tuple[Fraction, ...]
    """Readings that count, in inches, as they were read."""
    perimeter: tuple[Fraction, ...]
    at: int
    by: str
    origin: Origin

    @property
    def count(self) -> int:
        """Return how many readings count."""
        return len(self.field) + len(self.perimeter)

    @property
    def outcome(self) -> Outcome | None:
        """Return what follows; None while nobody can say."""
        if self.found is None:
            return None
        if self.unread and self.found.outcome is Outcome.ACCEPT:
            return Outcome.MORE
        return self.found.outcome


def agreed_depth(
    surface: str, job: Job, kinds: Mapping[SurfaceKind, SurfaceFacts]
) -> Agreed | None:
    """Return what was agreed of a surface; None if depth or meaning is not written.

    Args:
        surface: Its id.
        job: The job.
        kinds: The kinds of surface.
    """
    from readiness.facts.loader import load_depth_figures

    row, usual = job.surfaces[surface], load_depth_figures()
    means = row.depth_means or job.depth.means
    if row.depth is None or means is None:
        return None
    tolerance = row.tolerance or job.depth.tolerance
    uneven = job.depth.spread_at_most or Share.parse(usual["uneven"].share)
    thinnest = job.depth.least_anywhere or Share.parse(usual["thinnest-spot"].share)
    return Agreed(
        means=means,
        inches=row.depth.inches,
        tolerance_inches=tolerance.inches
        if tolerance is not None and means is DepthMeans.TOLERANCE
        else Fraction(0),
        spread_at_most=uneven.fraction,
        least_anywhere=thinnest.fraction,
        least_field=job.depth.readings,
        least_perimeter=job.depth.perimeter,
        trimmed=_trimmed(surface, job, kinds),
    )


def _trimmed(surface: str, job: Job, kinds: Mapping[SurfaceKind, SurfaceFacts]) -> Trimmed | None:
    """Return what trimming may leave of open-cell that fills its cavity; None of other foam.

    What R is wanted is read in the table of the job's code; without a row there nothing is let
    pass.
    """
    row = job.surfaces[surface]
    if row.cavity is None or row.depth != row.cavity or row.is_ not in kinds:
        return None
    from readiness.facts.loader import load_depth_figures, load_foam
    from readiness.foam.foam_spot import foam_of, foam_spots_of, ruled_of
    from readiness.foam.resistance import resistance_said
    from readiness.foam.said import State

    tables = load_foam()
    foam = foam_of(row, job.products, tables)
    if foam is None or foam.class_ is not FoamClass.OPEN_CELL:
        return None
    spot, ruled = foam_spots_of(job, tables, kinds, {})[surface], ruled_of(job, tables)

    def has_r(inches: Fraction) -> bool:
        said = resistance_said(replace(spot, depth_inches=float(inches)), ruled)
        return all(each.state in {State.REACHED, State.NOT_OWED} for each in said)

    under = Length.parse(load_depth_figures()["trimmed-under"].length)
    return Trimmed(row.cavity.inches, under.inches, has_r)


def depth_known(reads: Sequence[DepthsRead], agreed: Agreed | None) -> DepthKnown:
    """Return what the readings of one surface say, oldest first."""
    last = reads[-1]
    field: list[Fraction] = []
    edge: list[Fraction] = []
    unread, before = 0, None
    for read in reads:
        new = [length.inches for length in read.field], [length.inches for length in read.perimeter]
        if before is not None and agreed is not None:
            found = judged(field, edge, agreed)
            refilled = read.foam != before.foam and found.outcome in {Outcome.FILL, Outcome.TRIM}
            trimmed = read.at > before.at and found.outcome is Outcome.TRIM
            if read.foam != before.foam and found.outcome is Outcome.RESPRAY:
                field, edge, unread = [], [], 0
            elif refilled or trimmed:
                unread += _taken_out(field, found.field.low_inches + found.field.high_inches)
                unread += _taken_out(edge, found.perimeter.low_inches + found.perimeter.high_inches)
        field += new[0]
        edge += new[1]
        unread = max(0, unread - len(new[0]) - len(new[1]))
        before = read
    return DepthKnown(
        agreed=agreed,
        found=judged(field, edge, agreed) if agreed is not None else None,
        unread=unread,
        field=tuple(field),
        perimeter=tuple(edge),
        at=last.at,
        by=last.by,
        origin=last.origin,
    )


def _taken_out(readings: list[Fraction], mended: Sequence[Fraction]) -> int:
    """Take the readings of mended spots out, and return how many they were."""
    for reading in mended:
        readings.remove(reading)
    return len(mended)
