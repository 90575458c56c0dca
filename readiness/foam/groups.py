"""Groups of surfaces that one reading speaks for: same exposure, storey and material.

Invariant: every surface belongs to exactly one group.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from readiness.facts.limit_rows import Exposure, ExposureRow, Material

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from readiness.facts.vocabulary import SurfaceKind
    from readiness.job.job import Job


class Group(NamedTuple):
    """Surfaces that one reading speaks for."""

    id: str
    name: str
    surfaces: tuple[str, ...]
    storeys: tuple[str, ...]
    exposure: Exposure
    material: Material
    coldest: str
    """The surface to read for the coldest spot."""
    cold_rank: int
    wettest: str
    wet_rank: int

    @property
    def follows_the_air(self) -> bool:
        """Say whether its substrate, unheated, is as cold as the air outdoors within the hour."""
        return self.exposure is not Exposure.GROUND and self.material is not Material.MASONRY


def groups_of(
    job: Job, surfaces: Iterable[str], exposures: Mapping[SurfaceKind, ExposureRow]
) -> tuple[Group, ...]:
    """Return the groups of some surfaces, the coldest first."""
    height = {storey: rank for rank, storey in enumerate(job.storeys)}
    found: dict[tuple[Exposure, Material, tuple[str, ...]], list[str]] = {}
    for surface in surfaces:
        row = exposures[job.surfaces[surface].is_]
        rooms = job.place_names.rooms_through(surface)
        storeys = {job.rooms[room].storey for room in rooms if room in job.rooms} - {""}
        told = tuple(sorted(storeys, key=lambda one: (height.get(one, -1), one)))
        found.setdefault((row.exposure, row.material, told), []).append(surface)
    groups = [_group(key, names, job, exposures) for key, names in found.items()]
    return tuple(
        sorted(groups, key=lambda group: (group.cold_rank, _not_north(group.coldest), group.id))
    )


def _group(
    key: tuple[Exposure, Material, tuple[str, ...]],
    surfaces: list[str],
    job: Job,
    exposures: Mapping[SurfaceKind, ExposureRow],
) -> Group:
    exposure, material, storeys = key
    rows = {surface: exposures[job.surfaces[surface].is_] for surface in surfaces}
    coldest = min(surfaces, key=lambda surface: (rows[surface].cold_rank, _not_north(surface)))
    wettest = min(surfaces, key=lambda surface: (rows[surface].wet_rank, _not_north(surface)))
    where = f", {' and '.join(storeys)}" if storeys else ""
    return Group(
        id="/".join((exposure.value, material.value, *storeys)),
        name=f"{material.value} to the {_FACES[exposure]}{where}",
        surfaces=tuple(surfaces),
        storeys=storeys,
        exposure=exposure,
        material=material,
        coldest=coldest,
        cold_rank=rows[coldest].cold_rank,
        wettest=wettest,
        wet_rank=rows[wettest].wet_rank,
    )


def _not_north(surface: str) -> bool:
    """Sort what is named after the north first: the sun never warms or dries it."""
    return "north" not in surface.casefold()


_FACES = {
    Exposure.OUTSIDE_AIR: "outside air",
    Exposure.OPEN_SKY: "open sky",
    Exposure.GROUND: "ground",
    Exposure.UNDER_A_ROOF: "air under the roof",
    Exposure.INSIDE: "inside",
}
