"""Which spots are read, and for which surfaces the reading there speaks.

A reading speaks for its group. A group without one of its own takes the worst of those that rank
colder (or, for moisture, wetter) under the same sky: so the coldest and the wettest spots are read
and no others have to be. The ground keeps its own temperature, and the sun warms a roof before any
wall, so neither speaks for what meets the outside air.

Invariant: every surface that is asked about belongs to exactly one spot, and what was read on it
goes before everything that was read elsewhere, unless it is too old beside that.
"""

from __future__ import annotations

from math import inf
from typing import TYPE_CHECKING, NamedTuple, Protocol, TypeVar

from readiness.facts.limit_rows import Exposure, Material
from readiness.facts.vocabulary import ReadingKind

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from readiness.foam.groups import Group


class Timed(Protocol):
    """Something read at an instant."""

    @property
    def at(self) -> int:
        """Return when."""
        ...


T = TypeVar("T", bound=Timed)

SIDES = {
    Exposure.OPEN_SKY: "sky",
    Exposure.OUTSIDE_AIR: "air",
    Exposure.UNDER_A_ROOF: "air",
    Exposure.INSIDE: "air",
    Exposure.GROUND: "ground",
}
"""Exposures whose temperatures rise and fall together."""


class Spot(NamedTuple):
    """One spot to read, and the groups that its reading speaks for."""

    surface: str
    """The coldest or the wettest."""
    groups: tuple[Group, ...]
    """Its own first, then those that rank less cold or less wet."""

    @property
    def surfaces(self) -> tuple[tuple[str, ...], ...]:
        """Return the surfaces of each group."""
        return tuple(group.surfaces for group in self.groups)


def spots_of(groups: Iterable[Group], kind: ReadingKind) -> tuple[Spot, ...]:
    """Return the spots to read, the coldest or wettest first: at most three.

    Of groups that rank alike the one that comes first is read.
    """
    if kind is ReadingKind.WOOD_MOISTURE:
        wood = [group for group in groups if group.material is Material.WOOD]
        wood.sort(key=lambda group: group.wet_rank)
        return (Spot(wood[0].wettest, tuple(wood)),) if wood else ()
    sides: dict[str, list[Group]] = {}
    for group in sorted(groups, key=lambda group: group.cold_rank):
        sides.setdefault(SIDES[group.exposure], []).append(group)
    return tuple(Spot(found[0].coldest, tuple(found)) for found in sides.values())


def spoken_for(
    groups: Sequence[Sequence[str]],
    own: Mapping[str, T | None],
    worst: Callable[[Iterable[T]], T],
    fresh_minutes: int | None = None,
) -> dict[str, T | None]:
    """Return what counts on each surface of one spot; None where nothing was read that speaks.

    Args:
        groups: The surfaces of each group, the coldest or wettest first.
        own: What was read on each surface itself.
        worst: Chooses among several.
        fresh_minutes: What is older than a newer one by more than this is outlived by it.
    """
    told: dict[str, T | None] = {}
    before: list[T] = []
    for surfaces in groups:
        read = [one for surface in surfaces if (one := own.get(surface)) is not None]
        since = _since([*read, *before], fresh_minutes)
        young = [one for one in read if one.at >= since]
        others = young or [one for one in before if one.at >= since]
        least = worst(others) if others else None
        for surface in surfaces:
            one = own.get(surface)
            told[surface] = one if one is not None and one.at >= since else least
        before += read
    return told


def _since(found: Sequence[Timed], fresh_minutes: int | None) -> float:
    """Return the instant before which a reading is outlived by the newest."""
    if fresh_minutes is None:
        return -inf
    return max((one.at for one in found), default=0) - fresh_minutes
