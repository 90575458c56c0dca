"""Lists which storey of a work could come first, so that the foam there waits for it no longer.

Invariant: offered only for work that has not begun, and only where the foam is too early because
the crew comes to that storey from another one.
"""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from readiness.planning.change import Change, ChangeKind
from readiness.planning.refusals import refusals_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readiness.planning.prices import Prices
    from readiness.planning.trying import Attempt
    from readiness.telling.teller import Teller


class StoreysListing:
    """Makes that part of the list."""

    def __init__(self, base: Attempt, prices: Prices) -> None:
        """Remember the forecast with the trip booked to the asked arrival."""
        assert base.outlook is not None  # noqa: S101  booking a trip makes no circle
        self.base, self.prices = base, prices
        self.outlook = base.outlook
        self.site, self.places = base.outlook.site, base.outlook.site.places

    def changes(self, teller: Teller) -> Iterator[Change]:
        """Yield them, each storey of each work once."""
        found: dict[tuple[str, str], None] = {}
        for refusal in refusals_of(self.base):
            for later, earlier in pairwise(refusal.steps):
                tasks = self.site.tasks[later.task], self.site.tasks[earlier.task]
                if tasks[0].stay != tasks[1].stay or tasks[0].stay not in self.site.stays:
                    continue
                here, there = (self._storey(task.place) for task in tasks)
                if here and there and here != there and not self._has_begun(tasks[0].stay):
                    found[tasks[0].stay, here] = None
        for work, storey in found:
            yield self._first(work, storey, teller)

    def _storey(self, place: str) -> str:
        """Return the storey that a place is on; empty without one."""
        around = self.places.containers[place]
        return next((storey for storey in around if storey in self.places.storeys), "")

    def _has_begun(self, work: str) -> bool:
        state = self.outlook.known.state
        parts = self.site.stay_tasks[work].parts
        return any(part in state.begun or part in state.finished for part in parts)

    def _first(self, work: str, storey: str, teller: Teller) -> Change:
        stay = self.site.stays[work]
        who, title, name = teller.who(stay.trade).name, stay.title, self.places.name(storey)
        charges = (self.prices.charge("move", f"move:{work}", f'moving "{title}"'),)
        return Change(
            id=f"first:{work}:{storey}",
            kind=ChangeKind.FIRST,
            group=f"first:{work}",
            about=work,
            at=self.base.on,
            fields=({"kind": "first", "work": work, "places": [storey]},),
            says=f'let {who} do "{title}" on storey {name} first',
            tells=frozenset({stay.trade}),
            charges=charges if work in self.outlook.known.commitments else (),
            brings=(f'the other storeys of "{title}" come after it, and later than before',),
        )
