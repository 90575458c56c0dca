"""Whom an occasion concerns, so that nobody is told what is not theirs.

Invariant: a keep-out is told to everybody who might walk in, and to the spray crew.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.facts.vocabulary import Where
from readiness.site.task import TaskKind
from readiness.telling.occasions import Occasion, OccasionKind

if TYPE_CHECKING:
    from readiness.telling.case import Case

CONTRACTOR = "contractor"
"""Who is told everything."""

OWNER = "owner"
"""Who is told when to be out, in plain words, and nothing else."""


def recipients_of(case: Case, occasion: Occasion) -> frozenset[str]:
    """Return the trades that an occasion concerns."""
    if occasion.kind is OccasionKind.KEEP_OUT:
        return _kept_out(case, occasion)
    if occasion.kind is OccasionKind.LOOK:
        return _looked_at(case, occasion)
    return frozenset({occasion.doer})


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
