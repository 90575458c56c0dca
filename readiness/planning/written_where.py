"""Where what a change touches, and what it is paid by, stands in the job file.

Invariant: what nobody has written has no place in a file; a usual work names its row of facts.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from readiness.planning.change import OF_A_TRADE, TAKES_OUT, ChangeKind

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from readiness.job.origin import Origin
    from readiness.planning.change import Change, Charge
    from readiness.site.site import Site


@dataclass(frozen=True, slots=True)
class Written:
    """Finds the places of one job file."""

    origin_of: Callable[..., Origin]
    """Gives where a key path of the job file stands."""
    site: Site

    def price(self, charge: Charge) -> str:
        """Return where the price of a charge stands; empty if it is not written."""
        if charge.cents is None or not charge.price:
            return ""
        path = tuple(charge.price.split("."))
        return self.origin_of(*(path if path[0] == "work" else ("costs", *path))).told()

    def of(self, change: Change) -> Iterator[str]:
        """Yield where what a change touches is written."""
        if change.kind in TAKES_OUT:
            yield from (self.origin_of("surfaces", surface).told() for surface in change.surfaces)
        elif change.kind in {ChangeKind.ARRIVE, ChangeKind.RIG}:
            if change.about in self.site.job.trips:
                yield self.origin_of("trips", change.about).told()
        elif change.kind in {ChangeKind.PULL, ChangeKind.BAY}:
            yield self.site.things[change.about].origin.told()
        elif change.kind in {ChangeKind.SLOT, ChangeKind.PART}:
            yield self.origin_of("approvals", change.about.removeprefix("approval:")).told()
        elif change.kind in OF_A_TRADE:
            if change.about in self.site.job.trades:
                yield self.origin_of("trades", change.about).told()
        else:
            yield self.site.stays[change.about].origin.told()
