"""Lists what could be asked of the offices: to come at an earlier slot than the confirmed one.

Invariant: no slot earlier than the office's notice allows is offered, and none is taken for
confirmed.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.job.instants import NEVER, is_dated, moment_of
from readiness.planning.change import Change, ChangeKind
from readiness.planning.listing_leaves import small
from readiness.schedule.notice import asking_of
from readiness.site.calendars import zone_days

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readiness.planning.prices import Prices
    from readiness.schedule.outlook import Outlook
    from readiness.site.site import ApprovalTasks
    from readiness.telling.teller import Teller


class LooksListing:
    """Makes that part of the list."""

    def __init__(self, outlook: Outlook, trip: str, prices: Prices) -> None:
        """Remember the forecast with the trip booked to the asked arrival."""
        self.outlook, self.prices = outlook, prices
        self.site = outlook.site
        self.approvals = [
            approval
            for approval in self.site.approvals
            if approval.trip == trip and approval.before_foam
        ]

    def changes(self, teller: Teller) -> Iterator[Change]:
        """Yield them, approval by approval."""
        for approval in self.approvals:
            open_looks = [
                surface
                for surface, look in approval.looks.items()
                if look not in self.outlook.known.state.finished
            ]
            if not open_looks:
                continue
            yield from self._slot(approval, open_looks, teller)

    def _slot(
        self, approval: ApprovalTasks, surfaces: list[str], teller: Teller
    ) -> Iterator[Change]:
        """Yield the first slot that the notice allows, where a later one is confirmed."""
        known = self.outlook.known
        waiting = [surface for surface in surfaces if approval.looks[surface] in known.slots]
        if not waiting:
            return
        confirmed = max(known.slots[approval.looks[surface]] for surface in waiting)
        look = approval.looks[waiting[0]]
        first = asking_of(self.site, approval.id).earliest(self.outlook.seen.as_of)
        if not is_dated(first):
            return
        slots = self.site.calendars[self.site.tasks[look].calendar or 0].spans(first, confirmed)
        at = next((opens for opens, _ in slots if first <= opens < confirmed), NEVER)
        if at is NEVER:
            return
        title = small(self.site.approval_kinds[approval.id].title)
        office = self.site.office_of[approval.id]
        wall = moment_of(at, zone_days(self.site.zone).zone).replace(tzinfo=None).isoformat()
        yield Change(
            id=f"slot:{approval.id}",
            kind=ChangeKind.SLOT,
            group=f"slot:{approval.id}",
            about=f"approval:{approval.id}",
            at=at,
            fields=(
                {
                    "kind": "requested",
                    "approval": approval.id,
                    "surfaces": waiting,
                    "wanted": wall,
                },
            ),
            says=f"ask {teller.who(office).name} for the {title} {teller.told(at)} "
            f"instead of {teller.told(confirmed)}",
            tells=frozenset({office}),
            charges=(self.prices.charge("move", f"slot:{approval.id}", f"moving the {title}"),),
            brings=("the office has to confirm it",),
        )
