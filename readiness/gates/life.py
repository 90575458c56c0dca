"""What a surface is once foam has begun to go on it.

Invariant: the clock only says when release may be asked for; a keep-out ends by a release.
"""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

from readiness.facts.vocabulary import Order
from readiness.job.places import surfaces_of
from readiness.schedule.known import PASSED
from readiness.site.stays import BOARD

if TYPE_CHECKING:
    from readiness.schedule.outlook import Outlook
    from readiness.site.site import Site, TripTasks


class Life(StrEnum):
    """The words for a surface after the gun has started."""

    BEING_SPRAYED = "being sprayed"
    PART_SPRAYED = "part sprayed"
    KEEP_OUT = "keep-out"
    TO_MEND = "to mend"
    WAITING = "waiting for approval"
    PASSED = "passed"
    CLOSED_IN = "closed in"
    LEFT_EXPOSED = "left exposed"
    RESERVED = "reserved"


def life_of(outlook: Outlook, surface: str) -> Life | None:
    """Return the word for a surface whose spray has begun, or None before that."""
    site, seen = outlook.site, outlook.seen
    if surface in site.reserved:
        return Life.RESERVED
    trip = site.trips[site.trip_of[surface]]
    news = seen.trips.get(trip.id)
    if news is None:
        return None
    if surface in news.shares:
        return Life.PART_SPRAYED
    if trip.sprays[surface] not in outlook.known.state.finished:
        return None
    if news.released is None:
        return Life.KEEP_OUT if news.last_foam is not None else Life.BEING_SPRAYED
    if _boarded(outlook, surface):
        return Life.CLOSED_IN
    word = _looked_at(outlook, trip, surface)
    return Life.LEFT_EXPOSED if word is Life.PASSED and stays_bare(outlook, surface) else word


def _boarded(outlook: Outlook, surface: str) -> bool:
    """Say whether the board over a surface hangs."""
    parts = closing_parts(outlook.site, surface)
    return bool(parts) and all(part in outlook.known.state.finished for part in parts)


def closing_parts(site: Site, surface: str) -> tuple[int, ...]:
    """Return the tasks that hang something over a surface for good."""
    return tuple(
        part
        for name in closing_works(site)
        for part in site.stay_tasks[name].parts
        if surface in site.tasks[part].surfaces
    )


def closing_works(site: Site) -> tuple[str, ...]:
    """Return the works that close foam in: board, and whatever else is hung over it."""
    return tuple(
        name
        for name in site.stay_tasks
        if name == BOARD
        or (
            (kind := site.facts.work.get(name)) is not None
            and kind.fire_barrier
            and all(rule.order is Order.AFTER for rule in kind.touches)
        )
    )


def stays_bare(outlook: Outlook, surface: str) -> bool:
    """Say whether nothing will ever cover a surface: so written, or so in this kind of job."""
    site = outlook.site
    news = outlook.seen.trips.get(site.trip_of[surface])
    if news is not None and surface in surfaces_of(news.left_exposed, site.job):
        return True
    return site.job.kind is not None and not site.job.card and not closing_parts(site, surface)


def _looked_at(outlook: Outlook, trip: TripTasks, surface: str) -> Life:
    """Return how the looks at the foam itself stand.

    Damaged foam waits to be mended until it is sprayed again, and then for its look.
    """
    site = outlook.site
    sprayed = outlook.known.state.finished[trip.sprays[surface]].finish
    mended = not any(
        voided.foam_only and surface in voided.surfaces and voided.at >= sprayed
        for voided in outlook.seen.voided
    )
    word = Life.PASSED
    for approval in site.approvals:
        if approval.trip != trip.id or surface not in approval.looks:
            continue
        if not site.approval_kinds[approval.id].after_spray:
            continue
        look = outlook.known.looks.get(approval.looks[surface])
        if look is None:
            word = Life.WAITING
        elif look.result not in PASSED:
            return Life.TO_MEND
        else:
            mended = True
    return word if mended else Life.TO_MEND
