"""The tree of places: site, storeys, rooms and the surfaces that run through them.

Invariant: two places are related exactly when they are equal or one contains the other; a room
contains every surface that runs through it, and a surface may run through several rooms.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from readiness.job.places import rooms_of, surfaces_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from readiness.job.job import Job

SITE = "site"
"""Id of the root of the tree; the whole house."""


class Places(NamedTuple):
    """The places of one job and which contains which."""

    storeys: tuple[str, ...]
    rooms: tuple[str, ...]
    surfaces: tuple[str, ...]
    containers: Mapping[str, tuple[str, ...]]
    """Every place that contains this one, itself first."""
    members: Mapping[str, frozenset[str]]
    """Every place inside this one, itself included."""
    surfaces_in: Mapping[str, tuple[str, ...]]
    """Surfaces inside a place, in written order."""
    rooms_of_surface: Mapping[str, tuple[str, ...]]
    names: Mapping[str, str]
    """What people call a place."""

    def related(self, place: str) -> Iterable[str]:
        """Return every place equal to, inside or around this one."""
        return self.members[place].union(self.containers[place])

    def name(self, place: str) -> str:
        """Return what people call the place."""
        return self.names.get(place, place)


def storeys_of(job: Job) -> tuple[str, ...]:
    """Return the storeys from bottom to top: as written, else as rooms name them."""
    named = dict.fromkeys(job.storeys)
    named.update(dict.fromkeys(room.storey for room in job.rooms.values() if room.storey))
    return tuple(named)


def places_of(job: Job) -> Places:
    """Return the tree of places of the job."""
    storeys = storeys_of(job)
    height = {storey: rank for rank, storey in enumerate(storeys)}
    rooms = tuple(sorted(job.rooms, key=lambda room: height.get(job.rooms[room].storey, -1)))
    through = {name: job.place_names.rooms_through(name) for name in job.surfaces}
    containers: dict[str, tuple[str, ...]] = {SITE: (SITE,)}
    for storey in storeys:
        containers[storey] = (storey, SITE)
    for room in rooms:
        storey = job.rooms[room].storey
        containers[room] = (room, storey, SITE) if storey else (room, SITE)
    for surface, its_rooms in through.items():
        outer = dict.fromkeys(place for room in its_rooms for place in containers[room])
        containers[surface] = (surface, *outer) if outer else (surface, SITE)
    members: dict[str, set[str]] = {place: set() for place in containers}
    for place, around in containers.items():
        for container in around:
            members[container].add(place)
    return Places(
        storeys=storeys,
        rooms=rooms,
        surfaces=tuple(job.surfaces),
        containers=containers,
        members={place: frozenset(inside) for place, inside in members.items()},
        surfaces_in={
            place: tuple(surface for surface in job.surfaces if surface in inside)
            for place, inside in members.items()
        },
        rooms_of_surface=through,
        names=_names(job),
    )


def _names(job: Job) -> dict[str, str]:
    """Return what people call each place; ids become words where no name is written."""
    names = {SITE: "whole house"}
    names.update({storey: storey for storey in storeys_of(job)})
    names.update({room: row.name or _words(room) for room, row in job.rooms.items()})
    for surface, row in job.surfaces.items():
        room, dot, rest = surface.partition(".")
        told = f"{names.get(room, _words(room))} {_words(rest).lower()}" if dot else _words(surface)
        names[surface] = row.name or told
    return names


def _words(name: str) -> str:
    """Return an id as words: `bath-1` becomes `Bath 1`."""
    spaced = name.replace("-", " ").replace("_", " ").replace(".", " ")
    return spaced[:1].upper() + spaced[1:]


def expanded(names: tuple[str, ...], job: Job, places: Places, *, rooms: bool) -> tuple[str, ...]:
    """Return written places as parts: rooms or surfaces as named, storeys as their rooms.

    A group keeps the rooms and surfaces it names; `all` means every room, or every surface if
    `rooms` is false.
    """
    out: dict[str, None] = {}
    for name in names:
        if name in places.containers and name not in places.storeys:
            out[name] = None
        elif rooms:
            out.update(dict.fromkeys(rooms_of((name,), job)))
        else:
            out.update(dict.fromkeys(surfaces_of((name,), job)))
    return tuple(out)
