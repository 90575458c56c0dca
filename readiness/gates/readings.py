"""What instruments read, surface by surface: what counts, what is void, and the spread above dew.

The gates and the question about conditions both look here, so that they never differ.

Invariant: a reading that rain, a power cut, heat off or a change there has voided, or that no site
can have, speaks for nothing.
"""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple

from readiness.facts.vocabulary import ReadingKind
from readiness.job.durations import Duration
from readiness.job.instruments import figure_read
from readiness.job.places import surfaces_of
from readiness.job.written import MisreadError

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import date

    from readiness.diary.seen import Reading, Seen
    from readiness.job.origin import Origin
    from readiness.site.site import Requirement, Site

SPREAD_CODE = "above-dew-point"
SUBSTRATE_CODE = "substrate-temperature"
DAY_MINUTES = 1440


class Read(NamedTuple):
    """What one instrument read on one surface."""

    kind: ReadingKind
    written: str
    figure: float | None
    """In F or percent; None is no figure that a site can have."""
    at: int
    day: date
    by: str
    origin: Origin
    void: tuple[str, int] | None
    """What has come since and when; None if it still speaks."""

    @property
    def speaks(self) -> bool:
        """Say whether it counts."""
        return self.figure is not None and self.void is None


class Spread(NamedTuple):
    """How far a substrate stood above the dew point of the air, from three readings."""

    fahrenheit: float
    """Difference of temperatures in F; negative is wet or frosted."""
    at: int
    """When the oldest of the three was read."""
    substrate: Read
    dew_point_f: float


class Readings:
    """The readings of one moment, looked up by kind and surface."""

    def __init__(self, site: Site, seen: Seen) -> None:
        """Keep both; nothing is resolved before somebody asks."""
        self.site = site
        self.seen = seen
        self._substrates: dict[str, Read | None] = {}

    @cached_property
    def _found(self) -> dict[ReadingKind, dict[str, list[Read]]]:
        found: dict[ReadingKind, dict[str, list[Read]]] = {}
        for reading in self.seen.readings:
            of_kind = found.setdefault(reading.kind, {})
            try:
                figure = figure_read(reading.kind, reading.value)
            except MisreadError:
                figure = None
            for surface in surfaces_of(reading.places, self.site.job):
                of_kind.setdefault(surface, []).append(
                    Read(
                        kind=reading.kind,
                        written=reading.value,
                        figure=figure,
                        at=reading.at,
                        day=reading.day,
                        by=reading.by,
                        origin=reading.origin,
                        void=self._void(reading, surface),
                    )
                )
        for of_kind in found.values():
            for reads in of_kind.values():
                reads.sort(key=lambda read: read.at)
        return found

    def _void(self, reading: Reading, surface: str) -> tuple[str, int] | None:
        """Return what has come since a reading on a surface: the last of it."""
        told = [
            (void.at, void.cause)
            for void in self.seen.reading_voids
            if surface in void.surfaces and void.ends(reading.at, reading.origin)
        ]
        told += [
            (voided.at, voided.what)
            for voided in self.seen.voided
            if reading.at <= voided.at and surface in voided.surfaces
        ]
        if not told:
            return None
        when, cause = max(told)
        return cause, when

    def on(self, kind: ReadingKind, surface: str) -> tuple[Read, ...]:
        """Return everything read on a surface, the oldest first."""
        return tuple(self._found.get(kind, {}).get(surface, ()))

    def latest(self, kind: ReadingKind, surface: str) -> Read | None:
        """Return the latest that counts on a surface; None if none does."""
        return next((one for one in reversed(self.on(kind, surface)) if one.speaks), None)

    def air(self, kind: ReadingKind, surface: str = "") -> Read | None:
        """Return what the air read: on the surface, else the latest anywhere."""
        own = self.latest(kind, surface)
        if own is not None:
            return own
        found = (self.latest(kind, other) for other in self._found.get(kind, {}))
        return max((one for one in found if one is not None), key=lambda one: one.at, default=None)

    @cached_property
    def _requirements(self) -> dict[tuple[str, str], Requirement]:
        return {
            (requirement.code, surface): requirement
            for requirement in self.site.requirements
            for surface in requirement.surfaces
        }

    def substrate(self, surface: str) -> Read | None:
        """Return what the substrate of a surface read, there or where it is read for it."""
        if surface not in self._substrates:
            requirement = self._requirements.get((SUBSTRATE_CODE, surface))
            groups = (requirement.groups if requirement is not None else ()) or ((surface,),)
            self._substrates.update(self._spoken(groups))
        return self._substrates[surface]

    def _spoken(self, groups: tuple[tuple[str, ...], ...]) -> dict[str, Read | None]:
        """Return what the substrate read on each surface of one spot; of several the coldest."""
        from readiness.foam.spots import spoken_for

        kind = ReadingKind.SUBSTRATE_TEMPERATURE
        own = {surface: self.latest(kind, surface) for group in groups for surface in group}
        return spoken_for(groups, own, _coldest, self.fresh_minutes(SUBSTRATE_CODE))

    def spread(self, surface: str) -> Spread | None:
        """Return how far a surface was above the dew point.

        None unless substrate, air and humidity were read within the time one of them stays fresh.
        """
        from readiness.foam.air import OutOfRangeError, condensation_point_c

        found = [
            self.substrate(surface),
            self.air(ReadingKind.AIR_TEMPERATURE, surface),
            self.air(ReadingKind.RELATIVE_HUMIDITY, surface),
        ]
        reads = [read for read in found if read is not None]
        if len(reads) < len(found):
            return None
        times = [read.at for read in reads]
        fresh = self.fresh_minutes(SPREAD_CODE)
        if fresh is not None and max(times) - min(times) > fresh:
            return None
        substrate, air, humidity = (read.figure or 0.0 for read in reads)
        try:
            dew_f = condensation_point_c((air - 32) / 1.8, humidity) * 1.8 + 32
        except OutOfRangeError:
            return None
        return Spread(substrate - dew_f, min(times), reads[0], dew_f)

    def fresh_minutes(self, code: str) -> int | None:
        """Return how long evidence for a requirement stays fresh by its usual row."""
        row = self.site.facts.requirements.get(code)
        if row is None or not row.fresh_for:
            return None
        return Duration.parse(row.fresh_for).minutes(DAY_MINUTES)


def _coldest(reads: Iterable[Read]) -> Read:
    return min(reads, key=lambda read: (read.figure or 0.0, read.at))
