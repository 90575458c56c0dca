"""What a trade looks at when it comes back after the foam, so that nothing stays foamed in.

Invariant: only what this job has is told, and never as something to do before the release.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.facts.loader import load_after_spray
from readiness.facts.vocabulary import Phase
from readiness.telling.recipients import CONTRACTOR, OWNER

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.facts.after_spray_rows import AfterSprayItem
    from readiness.site.site import Site

BACK = frozenset({Phase.SAME_DAY, Phase.NEXT_DAY})
"""Phases right after the release; the other items have dates, a look or a gate of their own."""


def checks_when_back(site: Site, trip: str, trade: str) -> tuple[str, ...]:
    """Return what a trade checks once a trip is released, each with what is seen when it is good.

    The spray crew has its own page, and the owner is told in plain words elsewhere.
    """
    if trade in {site.tasks[site.trips[trip].set_up].trade, "spray", OWNER}:
        return ()
    phases = BACK if trade == CONTRACTOR else BACK | {Phase.BEFORE_BOARD}
    return tuple(
        f"{item.title}: {item.passes_when}"
        for item in load_after_spray().values()
        if item.whom == trade and item.phase in phases and _is_here(site, trip, item)
    )


def _is_here(site: Site, trip: str, item: AfterSprayItem) -> bool:
    """Say whether a job has what an item speaks of; what names nothing is everywhere."""
    named = {*item.requirements, *item.works, *item.approvals}
    return not named or not named.isdisjoint(_codes(site, trip))


def _codes(site: Site, trip: str) -> Iterable[str]:
    surfaces = set(site.trips[trip].surfaces)
    for requirement in site.requirements:
        if not surfaces.isdisjoint(requirement.surfaces):
            yield requirement.code
    yield from site.stays
