"""A surface as the rules about foam see it: what is sprayed there, how deep, in what surroundings.

Invariant: everything a rule needs of the job is in here, so a rule can be asked without a job.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from readiness.facts.vocabulary import Allowance, FoamClass, FoamExposure, RoomKind, SurfaceKind
from readiness.foam.editions import Zone, edition_of, zone_of
from readiness.foam.product import Foam
from readiness.foam.said import ALLOWED, JOB, Mark

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from readiness.facts.foam_rows import FoamTables
    from readiness.facts.rows import SurfaceRow as SurfaceFacts
    from readiness.job.foam_rows import AllowanceRow, ProductRow
    from readiness.job.job import Job
    from readiness.job.quantity import Units
    from readiness.job.rows import SurfaceRow

SERVICED = (RoomKind.ATTIC, RoomKind.CRAWL_SPACE)


@dataclass(frozen=True, slots=True)
class Ruled:
    """What holds for every surface of a job: edition, zone, tables, units."""

    edition: str
    zone: Zone | None
    tables: FoamTables
    units: Units = "US"


@dataclass(frozen=True, slots=True)
class FoamSpot:
    """One surface with its foam."""

    surface: str
    kind: SurfaceKind
    exposure: FoamExposure
    rooms: tuple[RoomKind, ...] = ()
    service_only: bool | None = None
    """Its attic or crawl space is entered for service only; None if nobody has said."""
    foam: Foam | None = None
    depth_inches: float | None = None
    cavity_inches: float | None = None
    framed: bool = True
    outside_r: float = 0
    fill_r: float = 0
    square_feet: float = 100
    covers: tuple[str, ...] = ()
    """Ids of the works of the job that cover its foam."""
    allowed: tuple[tuple[Allowance, Mark], ...] = ()

    @property
    def foam_r(self) -> float | None:
        """Return the resistance of its foam, in h ft2 F/Btu; None if class or depth is missing."""
        if self.foam is None or self.depth_inches is None:
            return None
        return self.foam.resistance(self.depth_inches).value

    @property
    def is_serviced(self) -> bool:
        """Say whether all its rooms are attics or crawl spaces."""
        return bool(self.rooms) and all(room in SERVICED for room in self.rooms)

    def allowance(self, what: Allowance) -> Mark | None:
        """Return the word of whoever allowed something here, or None."""
        return next((mark for allowed, mark in self.allowed if allowed is what), None)


def ruled_of(job: Job, tables: FoamTables) -> Ruled:
    """Return what holds for every surface of a job."""
    return Ruled(edition_of(job.site.code), zone_of(job.site.climate), tables, job.units)


def foam_spots_of(
    job: Job,
    tables: FoamTables,
    kinds: Mapping[SurfaceKind, SurfaceFacts],
    covers: Mapping[str, tuple[str, ...]],
) -> dict[str, FoamSpot]:
    """Return every surface of a job as a spot, in written order.

    Args:
        job: The job.
        tables: The tables about foam.
        kinds: The kinds of surface.
        covers: Ids of works that cover the foam, by surface.
    """
    return {
        surface: foam_spot_of(job, tables, surface, kinds[row.is_], covers.get(surface, ()))
        for surface, row in job.surfaces.items()
    }


def foam_spot_of(
    job: Job,
    tables: FoamTables,
    surface: str,
    facts: SurfaceFacts,
    covers: tuple[str, ...] = (),
) -> FoamSpot:
    """Return one surface of a job as a spot.

    Args:
        job: The job.
        tables: The tables about foam.
        surface: Id of the surface.
        facts: What the facts say of its kind.
        covers: Ids of works that cover its foam.
    """
    row = job.surfaces[surface]
    rooms = [job.rooms[room] for room in job.place_names.rooms_through(surface)]
    kinds = tuple(dict.fromkeys(room.is_ for room in rooms))
    told = [room.service_only for room in rooms if room.is_ in SERVICED]
    service_only = None if None in told or not told else all(told)
    return FoamSpot(
        surface=surface,
        kind=row.is_,
        exposure=row.exposure or _usual_exposure(row.is_, kinds, facts),
        rooms=kinds,
        service_only=service_only,
        foam=foam_of(row, job.products, tables),
        depth_inches=float(row.depth.inches) if row.depth is not None else None,
        cavity_inches=float(row.cavity.inches) if row.cavity is not None else None,
        framed=facts.framed,
        outside_r=float(row.outside_r.r) if row.outside_r is not None else 0,
        fill_r=float(row.fill_r.r) if row.fill_r is not None else 0,
        square_feet=float(row.area.square_feet) if row.area is not None else 100,
        covers=covers,
        allowed=tuple(_allowed(job.allowances.values(), surface, job)),
    )


def foam_of(row: SurfaceRow, products: Mapping[str, ProductRow], tables: FoamTables) -> Foam | None:
    """Return the foam of a surface: its product, else its class with the one product of it."""
    if row.product:
        product = products[row.product]
        return Foam(product.class_, product, tables)
    if not row.foam:
        return None
    class_ = FoamClass(row.foam)
    fits = [one for one in products.values() if one.class_ is class_]
    return Foam(class_, fits[0] if fits else None, tables)


def _usual_exposure(
    kind: SurfaceKind, rooms: tuple[RoomKind, ...], facts: SurfaceFacts
) -> FoamExposure:
    """Return what foam on a kind of surface usually has to live with."""
    if kind is SurfaceKind.CRAWL_WALL or RoomKind.CRAWL_SPACE in rooms:
        return FoamExposure.CRAWL_SPACE
    return FoamExposure.BELOW_GRADE if facts.below_grade else FoamExposure.IN_THE_FRAME


def _allowed(
    rows: Iterable[AllowanceRow], surface: str, job: Job
) -> Iterable[tuple[Allowance, Mark]]:
    for row in rows:
        if surface in job.place_names.surfaces(row.surfaces):
            paper = f", {row.paper}" if row.paper else ""
            yield row.allows, Mark(row.allows.value, ALLOWED, f"{row.by}, {row.at:%Y-%m-%d}{paper}")


def written(what: str) -> Mark:
    """Return the mark of something the job file says."""
    return Mark(what, JOB, "as written in the job file")
