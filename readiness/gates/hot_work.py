"""Hot work that falls near foam with nothing over it yet.

Invariant: foam is bare from its spray until what stands as its fire barrier is on; a fire watch
that somebody has named in that place is the only other way.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from readiness.job.instants import NEVER
from readiness.job.places import surfaces_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readiness.schedule.outlook import Outlook

FIRE_WATCH = "fire-watch-named"


class HotWork(NamedTuple):
    """One part of a hot work that falls near bare foam."""

    task: int
    at: int
    """When it is committed or forecast."""
    surface: str
    """The bare surface that is covered last."""
    bare_until: int
    """When the barrier over it is on; `NEVER` if nothing is planned."""


def hot_work_near_bare_foam(outlook: Outlook) -> Iterator[HotWork]:
    """Yield the hot work still to be done that falls between the spray and the barrier."""
    site, forecast, finished = outlook.site, outlook.forecast, outlook.known.state.finished
    watched = _watched(outlook)
    until = _bare_until(outlook)
    for name, stay in site.stays.items():
        if not stay.hot:
            continue
        for part in site.stay_tasks[name].parts:
            start, finish = forecast.start[part], forecast.finish[part]
            if part in finished or start == NEVER:
                continue
            near = [
                surface
                for surface in site.places.surfaces_in[site.tasks[part].place]
                if surface in site.trip_of
                and surface not in watched
                and forecast.finish[_spray(outlook, surface)] < finish
                and start < until.get(surface, NEVER)
            ]
            if near:
                last = max(near, key=lambda surface: until.get(surface, NEVER))
                yield HotWork(part, start, last, until.get(last, NEVER))


def _spray(outlook: Outlook, surface: str) -> int:
    return outlook.site.trips[outlook.site.trip_of[surface]].sprays[surface]


def _watched(outlook: Outlook) -> frozenset[str]:
    """Return the surfaces for which somebody has named a fire watch."""
    return frozenset(
        surface
        for answer in outlook.seen.answers
        if answer.code == FIRE_WATCH and answer.value is True
        for surface in surfaces_of(answer.places, outlook.site.job)
    )


def _bare_until(outlook: Outlook) -> dict[str, int]:
    """Return when a fire barrier over each surface is on."""
    site, found = outlook.site, dict[str, int]()
    barriers = [
        name
        for name in site.stay_tasks
        if (kind := site.facts.work.get(name)) is not None and kind.fire_barrier
    ]
    for name in barriers:
        for part in site.stay_tasks[name].parts:
            for surface in site.orders.get(part, {}):
                finish = outlook.forecast.finish[part]
                found[surface] = min(finish, found.get(surface, NEVER))
    return found
