"""Which changes can only help: with them nothing that worked before fails.

A change that brings something forward harms only what is committed after the foam, if that may
then begin sooner; one that puts something off harms only what the foam waits for.

Invariant: adding a harmless change, or putting one in the place of a weaker one of its group, never
turns a yes into a no.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.planning.change import Change, ChangeKind

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from readiness.planning.trying import Trying


BAY_STRENGTH = 1
"""Stronger than any pull of the same thing, which comes back: those are below zero."""


def harmless_of(trying: Trying) -> Mapping[str, int]:
    """Return the harmless changes by id, with how strongly each helps among those of its group."""
    found: dict[str, int] = {}
    for change in trying.offer.changes:
        if change.kind is ChangeKind.PULL and _comes_first(change):
            found[change.id] = -change.at
        elif change.kind is ChangeKind.BAY:
            found[change.id] = BAY_STRENGTH
        elif never_harms(change):
            found[change.id] = 0
        elif change.kind is ChangeKind.BOOK:
            strength = _of_booking(trying, change)
            if strength is not None:
                found[change.id] = strength
    return found


def never_harms(change: Change) -> bool:
    """Say whether a change harms nothing, whatever the job.

    With one more rig the asked trip is over sooner. What the foam waits for is not kept out by it,
    and what is committed after the foam is committed by its own date; so it can only come in time.
    The bay behind a thing only takes away what the spray waits for and what closes its window.
    """
    return change.kind in (ChangeKind.RIG, ChangeKind.BAY) or only_takes_out(change)


def only_takes_out(change: Change) -> bool:
    """Say whether a surface is sealed by hand or left to a trip that has no date yet.

    Such a trip shuts nobody out; the asked one gets shorter, what waited for this surface waits
    no less than before, and nothing that the asked trip waits for does: else its works had waited
    for each other before.
    """
    return change.kind is ChangeKind.SEAL or (change.kind is ChangeKind.LEAVE and change.is_new)


def _comes_first(change: Change) -> bool:
    """Say whether a pulled thing comes back after every release that the list can bring."""
    return change.until > change.at


def _of_booking(trying: Trying, change: Change) -> int | None:
    """Return how strongly a booking helps, or None if it may harm something."""
    parts = trying.outlook.site.stay_tasks[change.about].parts
    commitment = trying.outlook.known.commitments[change.about]
    if change.at < commitment.late:
        return None if _leads_to_commits(trying, parts) else -change.at
    return None if _leads_to_foam(trying, parts) else change.at


def _leads_to_commits(trying: Trying, tasks: Iterable[int]) -> bool:
    """Say whether anything that is committed after the foam can begin sooner with the tasks."""
    outlook = trying.outlook
    around = outlook.network.downstream(tasks).union(tasks)
    setters = {thing.set_by for thing in outlook.site.things.values()}
    known = outlook.known
    behind = outlook.frame.downstream.get(trying.trip, frozenset(range(len(outlook.site.tasks))))
    return any(
        outlook.site.tasks[task].stay in known.commitments
        and (task in behind or outlook.site.tasks[task].stay in setters)
        for task in around
    )


def _leads_to_foam(trying: Trying, tasks: Iterable[int]) -> bool:
    """Say whether the foam of any trip waits for the tasks."""
    outlook = trying.outlook
    around = outlook.network.downstream(tasks).union(tasks)
    return any(around & frozenset(trip.tasks) for trip in outlook.site.trips.values())
