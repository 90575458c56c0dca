"""Lists what could be asked of the offices: an earlier slot, or a look at a part before the rest.

A part first helps only where some work waits, place by place, for the look there: as long as all of
it is sprayed in one trip, every look must be over by the arrival anyhow.

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
from readiness.site.task import TaskKind

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readiness.planning.prices import Prices
    from readiness.schedule.outlook import Outlook
    from readiness.site.site import ApprovalTasks
    from readiness.telling.teller import Teller

MOST_PARTS = 2
"""So many parts of one approval are offered, the smallest first."""


SEARCH_MINUTES = 60 * 1440


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
            if not approval.part and len(open_looks) > 1:
                yield from self._parts(approval, open_looks, teller)

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
                    "wanted": self._wall(at),
                },
            ),
            says=f"ask {teller.who(office).name} for the {title} {teller.told(at)} "
            f"instead of {teller.told(confirmed)}",
            tells=frozenset({office}),
            charges=(self.prices.charge("move", f"slot:{approval.id}", f"moving the {title}"),),
            brings=("the office has to confirm it",),
        )

    def _parts(
        self, approval: ApprovalTasks, surfaces: list[str], teller: Teller
    ) -> Iterator[Change]:
        """Yield the looks at what is complete first, as far as work before the foam waits for it.

        The surfaces whose own work is complete by an instant make a part, for each such instant.
        """
        finish, now = self.outlook.forecast.finish, self.outlook.seen.as_of
        complete = {
            surface: max((now, *(finish[task] for task in approval.covers[surface])))
            for surface in surfaces
        }
        waiting = self._waiting(approval, frozenset(surfaces))
        steps = sorted({at for at in complete.values() if is_dated(at)})[:MOST_PARTS]
        for number, ready in enumerate(steps):
            part = tuple(surface for surface in surfaces if complete[surface] <= ready)
            begins = [stay for stay, needs in waiting if needs <= set(part)]
            if begins and len(part) < len(surfaces):
                yield self._part(approval, part, number, (ready, begins), teller)

    def _waiting(
        self, approval: ApprovalTasks, surfaces: frozenset[str]
    ) -> tuple[tuple[str, frozenset[str]], ...]:
        """Return the work before the foam that waits for open looks, and for which."""
        surface_of = {approval.looks[surface]: surface for surface in surfaces}
        needs: dict[int, set[str]] = {}
        for link in self.site.links:
            if link.source in surface_of and self.site.tasks[link.target].kind is TaskKind.WORK:
                needs.setdefault(link.target, set()).add(surface_of[link.source])
        upstream = self.outlook.frame.upstream[approval.trip]
        return tuple(
            (self.site.tasks[task].stay, frozenset(on))
            for task, on in needs.items()
            if task in upstream
        )

    def _part(
        self,
        approval: ApprovalTasks,
        part: tuple[str, ...],
        number: int,
        what: tuple[int, list[str]],
        teller: Teller,
    ) -> Change:
        ready, begins = what
        first = asking_of(self.site, approval.id).earliest(self.outlook.seen.as_of)
        at = self._slot_after(approval.looks[part[0]], max(first, ready))
        title = small(self.site.approval_kinds[approval.id].title)
        office = self.site.office_of[approval.id]
        places = teller.surfaces(part)
        where = places[0] if len(places) == 1 else f"{', '.join(places[:-1])} and {places[-1]}"
        fields = {
            "kind": "requested",
            "approval": approval.id,
            "surfaces": list(part),
            "part": True,
        }
        if any(approval.looks[surface] in self.outlook.known.slots for surface in part):
            fields["wanted"] = self._wall(first)
        works = " and ".join(f'"{self.site.stays[stay].title}"' for stay in dict.fromkeys(begins))
        return Change(
            id=f"part:{approval.id}:{number:02}",
            kind=ChangeKind.PART,
            group=f"part:{approval.id}",
            about=f"approval:{approval.id}",
            at=at,
            fields=(fields,),
            says=f"ask {teller.who(office).name} for the {title} of {where} by itself, "
            f"{teller.told(at)}, so that {works} can begin there",
            tells=frozenset({office}),
            charges=(self.prices.charge("approval", f"part:{approval.id}", f"one more {title}"),),
            brings=(
                "the office has to confirm that it comes for a part",
                f"ask for the {title} of the rest, in time",
            ),
        )

    def _slot_after(self, look: int, instant: int) -> int:
        """Return when the next slot opens; the instant itself if none does within weeks."""
        calendar = self.site.calendars[self.site.tasks[look].calendar or 0]
        if not is_dated(instant):
            return instant
        slots = calendar.spans(instant, instant + SEARCH_MINUTES)
        return next((opens for opens, _ in slots if opens >= instant), instant)

    def _wall(self, instant: int) -> str:
        zone = zone_days(self.site.zone).zone
        return moment_of(instant, zone).replace(tzinfo=None).isoformat()
