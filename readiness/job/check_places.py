"""Checks that every named place exists, once, and that each room and surface makes sense.

Invariant: after these checks every written list of places can be resolved.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.facts.vocabulary import SurfaceKind
from readiness.job.fields import ALL, ALL_BUT
from readiness.job.foam_depths import is_too_deep
from readiness.job.places import PlaceError

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readiness.job.checking import Checking
    from readiness.job.positions import Path


def check_places(checking: Checking) -> None:
    """Tell what is wrong with places."""
    _check_double_ids(checking)
    _check_storeys(checking)
    if not _check_groups_and_rooms(checking):
        return
    _check_written_places(checking)
    _check_empty_lists(checking)
    _check_orders(checking)
    _check_depths(checking)
    _check_rooms_without_use(checking)


def _check_double_ids(checking: Checking) -> None:
    """Tell a name that stands for two kinds of place, because a list could mean either."""
    job = checking.job
    first: dict[str, str] = dict.fromkeys(job.storeys, "a storey")
    first.update({row.storey: "a storey" for row in job.rooms.values() if row.storey})
    for table, noun in (("rooms", "a room"), ("surfaces", "a surface"), ("groups", "a group")):
        names: dict[str, object] = getattr(job, table)
        for name in names:
            if name in first:
                what = f"{name} is already {first[name]}"
                checking.tell((table, name), what, read=name, hint="give it another name")
            first.setdefault(name, noun)


def _check_storeys(checking: Checking) -> None:
    """Tell storeys listed twice, and rooms on a storey that is not in the list."""
    storeys = checking.job.storeys
    for number, storey in enumerate(storeys):
        if storey in storeys[:number]:
            checking.tell(("storeys", number), f"{storey} is in the list twice", read=storey)
    if not storeys:
        return
    for name, room in checking.job.rooms.items():
        if room.storey:
            checking.known(("rooms", name, "storey"), room.storey, storeys, "storey of the list")


def _check_groups_and_rooms(checking: Checking) -> bool:
    """Tell groups and rooms of surfaces that name no place; only then can lists be resolved."""
    before = len(checking.problems)
    for path, names in _definitions(checking):
        if path[0] == "groups" and not names:
            checking.tell(path, "the group is empty")
        for number, name in enumerate(names):
            _check_name(checking, (*path, number), name)
    if len(checking.problems) > before:
        return False
    for path, _ in _definitions(checking):
        try:
            checking.job.place_names.rooms((str(path[1]),))
        except PlaceError as error:
            checking.tell(path, f"{error.name} {error.what}", read=error.name, hint=error.hint)
    return len(checking.problems) == before


def _definitions(checking: Checking) -> Iterator[tuple[Path, tuple[str, ...]]]:
    """Yield the lists by which groups and surfaces are told."""
    for name, members in checking.job.groups.items():
        yield ("groups", name), members
    for name, surface in checking.job.surfaces.items():
        yield ("surfaces", name, "rooms"), surface.rooms


def _check_name(checking: Checking, path: Path, name: str) -> None:
    """Tell a name in a list of places that is none."""
    known = checking.job.place_names.known
    for part in name.removeprefix(ALL_BUT).split(",") if name.startswith(ALL_BUT) else (name,):
        checking.known(path, part.strip(), known, "place of this job")


def _check_written_places(checking: Checking) -> None:
    """Tell names that are no place, and places without the surfaces a list speaks of."""
    for path, names in checking.written_places():
        before = len(checking.problems)
        for number, name in enumerate(names):
            _check_name(checking, (*path, number), name)
        if len(checking.problems) == before and names and _speaks_of_surfaces(path):
            surfaces = checking.job.place_names.surfaces(names)
            if not surfaces and checking.job.surfaces:
                checking.tell(path, "no surface runs through these places")


def _check_empty_lists(checking: Checking) -> None:
    """Tell lists that must not be empty."""
    for name, trip in checking.job.trips.items():
        if not trip.surfaces:
            checking.tell(("trips", name, "surfaces"), "the list is empty", hint='write "all"')
        elif not checking.job.surfaces:
            hint = "a trip needs [surfaces] to spray"
            checking.tell(("trips", name), "there is no surface in this job", hint=hint)
    for name, waiver in checking.job.waivers.items():
        if not waiver.surfaces:
            checking.tell(("waivers", name, "surfaces"), "the list is empty")
    for name, row in checking.written_work.items():
        if row.in_ == ():
            hint = "leave it out for the usual places, or write false instead of the line"
            checking.tell(("work", name, "in"), "the list is empty", hint=hint)


def _speaks_of_surfaces(path: Path) -> bool:
    """Say whether a list names surfaces, so that a room without any is a slip."""
    return path[-1] in {
        *("blocks", "depths", "sprayed", "surfaces"),
        *("reserved", "follow_ups", "left_exposed"),
    }


def _check_orders(checking: Checking) -> None:
    """Tell orders for what is neither a place nor a kind of surface."""
    names = checking.job.place_names.known | set(SurfaceKind)
    for name, row in checking.written_work.items():
        if isinstance(row.order, dict):
            for place in row.order:
                if not place.startswith(ALL_BUT):
                    noun = "place of this job or kind of surface"
                    checking.known(("work", name, "order", place), place, names, noun)
                else:
                    _check_name(checking, ("work", name, "order", place), place)


def _check_depths(checking: Checking) -> None:
    """Tell foam that is deeper than the cavity it is sprayed into."""
    for name, surface in checking.job.surfaces.items():
        depth, cavity = surface.depth, surface.cavity
        for key, length in (("depth", depth), ("cavity", cavity)):
            if length is not None and not length.inches:
                checking.tell(("surfaces", name, key), f"{length} is no depth", read=str(length))
        if depth is not None and is_too_deep(depth):
            what = f"foam of {depth} is deeper than any in a building"
            path = ("surfaces", name, "depth")
            checking.tell(path, what, read=str(depth), hint="is the unit right?")
        elif depth is not None and cavity is not None and depth > cavity:
            what = f"foam of {depth} is deeper than its cavity of {cavity}"
            hint = "what stands out would be trimmed off; look at both figures"
            checking.tell(("surfaces", name, "depth"), what, read=str(depth), hint=hint)


def _check_rooms_without_use(checking: Checking) -> None:
    """Tell a room that no surface runs through and nothing names: it is a leftover or a slip."""
    job = checking.job
    named = set(_named_anywhere(checking))
    for room in job.rooms:
        if room not in named and not job.place_names.surfaces_in(room):
            what = "no surface runs through this room, and nothing names it"
            hint = f"add a surface {room}.NAME, or take the room out"
            checking.tell(("rooms", room), what, read=room, hint=hint)


def _named_anywhere(checking: Checking) -> Iterator[str]:
    """Yield every name that stands in a list of places."""
    for _, names in checking.written_places():
        for name in names:
            if name != ALL:
                yield name
                yield from (part.strip() for part in name.removeprefix(ALL_BUT).split(","))
    for members in checking.job.groups.values():
        yield from members
