"""Which works of a job answer what its foam owes: a covering, a retarder, a ground sheet.

Invariant: a work answers for a surface only if it was laid out there.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.facts.vocabulary import Order

if TYPE_CHECKING:
    from collections.abc import Mapping

    from readiness.site.site import Site

ANSWERED_BY: Mapping[str, tuple[str, ...]] = {
    "barrier": ("hang-board", "liner-panels", "barrier-coating"),
    "retarder": ("vapor-retarder",),
    "coating": ("vapor-retarder",),
    "ground sheet": ("ground-sheet",),
}
"""Kinds of work by what they answer."""

_LATER = (Order.AFTER, Order.CLOSING_UP)


def works_at(site: Site) -> dict[str, tuple[str, ...]]:
    """Return the works that touch each surface, by surface, in order of the network."""
    found: dict[str, dict[str, None]] = {surface: {} for surface in site.job.surfaces}
    for task, orders in site.orders.items():
        stay = site.tasks[task].stay
        for surface, order in orders.items():
            if order in _LATER or stay in ANSWERED_BY["ground sheet"]:
                found[surface][stay] = None
    return {surface: tuple(stays) for surface, stays in found.items()}
