"""What a written list of places means: groups, storeys, `all` and `all but NAME` as ids.

Invariant: the answer holds each id once, in the order in which the places are written in `[rooms]`
and `[surfaces]` for `all`, and else in the order of the list.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.job.fields import ALL, ALL_BUT
from readiness.job.problems import did_you_mean

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from readiness.job.job import Job
    from readiness.job.rows import RoomRow, SurfaceRow


class PlaceError(ValueError):
    """A name that is no place of the job, or that can't be resolved."""

    def __init__(self, name: str, what: str, hint: str = "") -> None:
        """Keep the name apart from what is wrong with it."""
        self.name = name
        self.what = what
        self.hint = hint
        super().__init__(f"{name}: {what}" + (f"; {hint}" if hint else ""))


class PlaceNames:
    """The names by which a job speaks of its places; made once per job."""

    def __init__(
        self,
        rooms: Mapping[str, RoomRow],
        surfaces: Mapping[str, SurfaceRow],
        groups: Mapping[str, tuple[str, ...]],
        storeys: Iterable[str],
    ) -> None:
        """Remember the written tables; rooms of surfaces are resolved when first asked for."""
        self._rooms = rooms
        self._surfaces = surfaces
        self._groups = groups
        self._on_storey: dict[str, list[str]] = {storey: [] for storey in storeys}
        for room, row in rooms.items():
            if row.storey:
                self._on_storey.setdefault(row.storey, []).append(room)
        self._through: dict[str, tuple[str, ...]] = {}
        self._being_resolved: set[str] = set()
        self._inside: dict[str, list[str]] | None = None

    @property
    def known(self) -> set[str]:
        """Every name that can stand in a list of places, `all but` aside."""
        return {ALL, *self._rooms, *self._surfaces, *self._groups, *self._on_storey}

    def rooms_through(self, surface: str) -> tuple[str, ...]:
        """Return the rooms a surface runs through: that of its id first, then the written ones.

        Raises:
            PlaceError: A written room is not known.
        """
        if surface not in self._through:
            if surface in self._being_resolved:
                raise PlaceError(surface, "runs through itself")
            self._being_resolved.add(surface)
            room, dot, _ = surface.partition(".")
            own = (room,) if dot and room in self._rooms else ()
            written = self._resolved(self._surfaces[surface].rooms, self._rooms_named, ())
            self._through[surface] = tuple(dict.fromkeys((*own, *written)))
        return self._through[surface]

    def surfaces_in(self, room: str) -> tuple[str, ...]:
        """Return the surfaces that run through a room, in written order.

        Raises:
            PlaceError: A room written at some surface is not known.
        """
        if self._inside is None:
            inside: dict[str, list[str]] = {name: [] for name in self._rooms}
            for surface in self._surfaces:
                for name in self.rooms_through(surface):
                    inside[name].append(surface)
            self._inside = inside
        return tuple(self._inside[room])

    def surfaces(self, names: Iterable[str]) -> tuple[str, ...]:
        """Return the surfaces of the named places.

        Raises:
            PlaceError: A name is not known.
        """
        return self._resolved(names, self._surfaces_named, ())

    def rooms(self, names: Iterable[str]) -> tuple[str, ...]:
        """Return the rooms of the named places; a surface stands for the rooms it runs through.

        Raises:
            PlaceError: A name is not known.
        """
        return self._resolved(names, self._rooms_named, ())

    def places(self, names: Iterable[str]) -> tuple[str, ...]:
        """Return rooms and surfaces as they are named; groups and storeys are taken apart.

        `all` is every room and every surface outside of rooms; a room that loses a surface to
        `all but` stands for its other surfaces.

        Raises:
            PlaceError: A name is not known.
        """
        return self._resolved(names, self._places_named, ())

    def _resolved(
        self, names: Iterable[str], one: _Named, trail: tuple[str, ...]
    ) -> tuple[str, ...]:
        """Return the ids of all names, each once."""
        found: dict[str, None] = {}
        for name in names:
            found.update(dict.fromkeys(self._named(name, one, trail)))
        return tuple(found)

    def _named(self, name: str, one: _Named, trail: tuple[str, ...]) -> Iterable[str]:
        """Return the ids one name stands for."""
        if name in trail:
            raise PlaceError(name, "holds itself", " > ".join((*trail, name)))
        if name.startswith(ALL_BUT):
            but = [part.strip() for part in name.removeprefix(ALL_BUT).split(",")]
            return self._without(one(ALL) or (), set(self._resolved(but, one, trail)))
        if name in self._groups:
            return self._resolved(self._groups[name], one, (*trail, name))
        places = one(name)
        if places is None:
            raise PlaceError(name, "is no place of this job", did_you_mean(name, self.known))
        return places

    def _without(self, places: Iterable[str], left_out: set[str]) -> Iterable[str]:
        """Return the places that are not left out, a room that is cut into as its surfaces."""
        for place in places:
            if place in left_out:
                continue
            inside = self.surfaces_in(place) if place in self._rooms else ()
            if left_out.isdisjoint(inside):
                yield place
            else:
                yield from (surface for surface in inside if surface not in left_out)

    def _places_named(self, name: str) -> Iterable[str] | None:
        """Return rooms and surfaces of a name; None if it is no place."""
        if name in self._surfaces:
            return (name,)
        if name == ALL:
            bare = [surface for surface in self._surfaces if not self.rooms_through(surface)]
            return (*self._rooms, *bare)
        return self._rooms_named(name)

    def _surfaces_named(self, name: str) -> Iterable[str] | None:
        """Return the surfaces of a surface, room, storey or `all`; None if it is none of them."""
        if name in self._surfaces:
            return (name,)
        if name == ALL:
            return self._surfaces
        rooms = self._rooms_named(name)
        if rooms is None:
            return None
        return [surface for room in rooms for surface in self.surfaces_in(room)]

    def _rooms_named(self, name: str) -> Iterable[str] | None:
        """Return the rooms of a room, storey, surface or `all`; None if it is none of them."""
        if name in self._rooms:
            return (name,)
        if name == ALL:
            return self._rooms
        if name in self._on_storey:
            return self._on_storey[name]
        if name in self._surfaces:
            return self.rooms_through(name)
        return None


if TYPE_CHECKING:
    from collections.abc import Callable

    _Named = Callable[[str], Iterable[str] | None]


def resolve(names: Iterable[str], job: Job) -> tuple[str, ...]:
    """Return rooms and surfaces as they are named, groups, storeys and `all` taken apart.

    Raises:
        PlaceError: A name is not known.
    """
    return job.place_names.places(names)


def surfaces_of(names: Iterable[str], job: Job) -> tuple[str, ...]:
    """Return the surfaces of the named places.

    Raises:
        PlaceError: A name is not known.
    """
    return job.place_names.surfaces(names)


def rooms_of(names: Iterable[str], job: Job) -> tuple[str, ...]:
    """Return the rooms of the named places.

    Raises:
        PlaceError: A name is not known.
    """
    return job.place_names.rooms(names)
