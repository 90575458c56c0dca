"""Whom an occasion concerns, so that nobody is told what is not theirs.

Invariant: a keep-out is told to everybody who might walk in, and to the spray crew.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.facts.vocabulary import Where
from readiness.job.trip_rows import rig_id
from readiness.site.task import TaskKind
from readiness.telling.occasions import Occasion, OccasionKind

if TYPE_CHECKING:
    from readiness.telling.case import Case
    from readiness.telling.neighbours import Neighbours

CONTRACTOR = "contractor"
"""Who is told everything."""

OWNER = "owner"
"""Who is told when to be out, in plain words, and nothing else."""


_OF_THE_CREW = frozenset(
    {OccasionKind.SPRAY, OccasionKind.KEEP_OUT, OccasionKind.CONFIRM_RIG, OccasionKind.OFFER}
)
"""What stands in the calendar of a trip's rig, beside the looks that the trip waits for."""


def recipients_of(case: Case, occasion: Occasion, neighbours: Neighbours) -> frozenset[str]:
    """Return the trades that an occasion concerns, and the rigs."""
    rigs = _rigs(case, occasion)
    if occasion.kind is OccasionKind.KEEP_OUT:
        return _kept_out(case, occasion) | rigs
    if occasion.kind is OccasionKind.LOOK:
        waiting = neighbours.trades_after(occasion.tasks)
        return _looked_at(case, occasion) | waiting | rigs
    if occasion.kind is OccasionKind.OFFER:
        crew = case.site.tasks[case.site.trips[occasion.about].set_up].trade or "spray"
        return frozenset({occasion.doer, crew}) | rigs
    return frozenset({occasion.doer}) | rigs


def _rigs(case: Case, occasion: Occasion) -> frozenset[str]:
    """Return the rigs of the trips that an occasion is about, as far as they are named."""
    if occasion.kind in _OF_THE_CREW:
        trips = {occasion.about}
    elif occasion.kind is OccasionKind.LOOK:
        trips = {
            approval.trip
            for approval in case.site.approvals
            if approval.id == occasion.about
            and approval.before_foam
            and not set(occasion.surfaces).isdisjoint(approval.looks)
        }
    else:
        return frozenset()
    rigs = {rig_id(case.site.job.trips.get(trip)) for trip in trips}
    return frozenset(rigs - {""})


def _kept_out(case: Case, occasion: Occasion) -> frozenset[str]:
    """Return the spray crew, the trades with inside work in the zone, those without work."""
    site = case.site
    zone = site.trips[occasion.about].zone
    inside = {
        task.trade
        for task in site.tasks
        if task.trade is not None
        and task.place in zone
        and (
            task.kind is TaskKind.PULL
            or (task.stay in site.stays and site.stays[task.stay].where is Where.INSIDE)
        )
    }
    working = {stay.trade for stay in site.stays.values()}
    idle = {trade for trade in site.job.trades if trade not in {*working, OWNER}}
    return frozenset({occasion.doer, *inside, *idle})


def _looked_at(case: Case, occasion: Occasion) -> frozenset[str]:
    """Return the trades whose work is looked at, and who corrects what fails."""
    kind = case.site.approval_kinds[occasion.about]
    covered = {
        case.site.tasks[task].trade or kind.correction_trade
        for approval in case.site.approvals
        if approval.id == occasion.about
        for surface in occasion.surfaces
        for task in approval.covers.get(surface, ())
    }
    return frozenset({kind.correction_trade, *covered})
