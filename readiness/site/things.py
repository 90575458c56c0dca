"""The things in the way of the gun, and the task of pulling each fixed one.

Invariant: the pull of a fixed thing is always in the network, so that the site does not change
when a thing is set; whether it is dated is a matter of what was seen. Only where every bay behind
it is left out it stays, and has none.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.job.durations import Duration
from readiness.job.places import surfaces_of
from readiness.job.quantities import Length
from readiness.site.places import SITE
from readiness.site.site import Thing
from readiness.site.task import TaskKind

if TYPE_CHECKING:
    from collections.abc import Mapping

    from readiness.job.rows import ObstructionRow
    from readiness.site.drawing import Drawing
    from readiness.site.site import TripTasks

BY_HAND = "close it by hand"
"""What follows in a bay of which nothing is written."""


def draw_things(
    drawing: Drawing, trips: Mapping[str, TripTasks], trip_of: Mapping[str, str]
) -> dict[str, Thing]:
    """Add the pulls of the written obstructions and return all obstructions by id."""
    return {
        name: _draw(name, row, drawing, trips, trip_of)
        for name, row in drawing.job.obstructions.items()
    }


def _draw(
    name: str,
    row: ObstructionRow,
    drawing: Drawing,
    trips: Mapping[str, TripTasks],
    trip_of: Mapping[str, str],
) -> Thing:
    kind = drawing.facts.obstructions[row.is_]
    fixed = kind.fixed if row.fixed is None else row.fixed
    origin = drawing.origin_of("obstructions", name)
    in_front_of, missing = _blocked(row, drawing)
    place = _told_at(row, in_front_of, drawing)
    # Behind gas, a flue or a panel no bay can be left out, whoever writes it: it stays in the way
    left_out = surfaces_of(row.reserved, drawing.job) if kind.may_leave_bay else ()
    blocks = tuple(surface for surface in in_front_of if surface not in left_out)
    takes = row.pull_takes or Duration.parse(kind.pull_takes)
    pull = None
    if fixed and (blocks or not left_out):
        pull = drawing.task(
            f"pull:{name}",
            TaskKind.PULL,
            f"pull {row.name or name}",
            stay=f"pull:{name}",
            place=place,
            origin=origin,
            trade=kind.pull_trade,
            calendar=drawing.calendar(kind.pull_trade),
            minutes=max(1, takes.minutes(drawing.day_minutes(kind.pull_trade))),
            surfaces=frozenset(blocks),
        )
        for surface in blocks:
            if surface in trip_of:
                spray = trips[trip_of[surface]].sprays[surface]
                drawing.link(pull, spray, "must be out of the gun's way", origin)
    return Thing(
        id=name,
        title=row.name or name.replace("-", " "),
        kind=kind,
        fixed=fixed,
        place=place,
        blocks=blocks,
        set_by=row.set_by,
        pull=pull,
        takes=takes,
        missing=missing,
        bays=tuple(surface for surface in in_front_of if surface in left_out),
        follow_up=row.follow_up or BY_HAND,
        origin=origin,
    )


def _blocked(row: ObstructionRow, drawing: Drawing) -> tuple[tuple[str, ...], dict[str, str]]:
    """Return the surfaces a thing blocks, and what free depth is missing at each."""
    job = drawing.job
    kind = drawing.facts.obstructions[row.is_]
    missing: dict[str, str] = {}
    if row.distance and kind.clearance:
        least = Length.parse(kind.clearance)
        for name, free in row.distance.items():
            if free.inches < least.inches:
                short = f"{free} free of {kind.clearance} wanted"
                missing.update(dict.fromkeys(surfaces_of((name,), job), short))
    named = dict.fromkeys(surfaces_of(row.blocks, job)) if row.blocks else {}
    if not row.blocks and not row.distance and row.in_:
        named = dict.fromkeys(
            surface
            for surface in surfaces_of(row.in_, job)
            if job.surfaces[surface].is_ in kind.blocks
        )
    return tuple(dict.fromkeys((*named, *missing))), missing


def _told_at(row: ObstructionRow, blocks: tuple[str, ...], drawing: Drawing) -> str:
    """Return the smallest place that a thing stands in."""
    if len(row.in_) == 1 and row.in_[0] in drawing.places.containers:
        return row.in_[0]
    if len(blocks) == 1:
        return blocks[0]
    common = set(drawing.places.rooms)
    for surface in blocks:
        common &= set(drawing.places.rooms_of_surface[surface])
    return min(common) if common else SITE
