"""Lists what makes work before the foam shorter: one more crew, or a day that a trade has off.

Invariant: the list is made before any search, and offers nothing for work that has begun, that the
foam does not wait for, or that one crew does in one go.
"""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from readiness.gates.asked import local_date
from readiness.planning.change import Change, ChangeKind
from readiness.site.trip_tasks import SPRAY_TRADE

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readiness.planning.prices import Prices
    from readiness.schedule.outlook import Outlook
    from readiness.telling.teller import Teller

SATURDAY = 5
MOST_EXTRA_DAYS = 2
"""So many Saturdays are offered for one trade: the last ones before the arrival."""


class CrewsListing:
    """Makes that part of the list."""

    def __init__(self, outlook: Outlook, trip: str, on: int, prices: Prices) -> None:
        """Remember the forecast with the trip booked to the asked arrival."""
        self.outlook, self.on, self.prices = outlook, on, prices
        self.site = outlook.site
        before = outlook.network.upstream(self.site.trips[trip].sprays.values())
        known = outlook.known.state
        self.open = [
            task
            for task in sorted(before)
            if task not in known.finished and self.site.tasks[task].stay in self.site.stays
        ]

    def crews(self, teller: Teller) -> Iterator[Change]:
        """Yield one more crew for each work in several places that has not begun."""
        begun = self.outlook.known.state.begun | self.outlook.known.state.finished.keys()
        for name in dict.fromkeys(self.site.tasks[task].stay for task in self.open):
            stay, parts = self.site.stays[name], self.site.stay_tasks[name].parts
            crews = stay.crews + 1
            if len(parts) < crews or not begun.isdisjoint(parts):
                continue
            who = teller.who(stay.trade)
            yield Change(
                id=f"crew:{name}",
                kind=ChangeKind.CREW,
                group=f"crew:{name}",
                about=name,
                at=self.on,
                fields=({"kind": "crews", "work": name, "crews": crews},),
                says=f'let {who.name} come with {crews} crews for "{stay.title}"',
                tells=frozenset({stay.trade}),
                charges=(
                    self.prices.charge("crew", f"crew:{name}", f"one more crew of {who.trade}"),
                ),
            )

    def extra_days(self, teller: Teller) -> Iterator[Change]:
        """Yield the last Saturdays before the arrival for each trade that the foam waits for."""
        today, asked = (
            local_date(self.outlook, self.outlook.seen.as_of),
            local_date(self.outlook, self.on),
        )
        days = [today + timedelta(days=step) for step in range(1, (asked - today).days)]
        saturdays = [day for day in days if day.weekday() == SATURDAY][-MOST_EXTRA_DAYS:]
        for trade in dict.fromkeys(self.site.tasks[task].trade for task in self.open):
            if trade is None or trade == SPRAY_TRADE:
                continue
            calendar = self.site.calendars[self.site.trade_calendar[trade]]
            row = self.site.job.trades.get(trade)
            for day in saturdays:
                told_off = row is not None and any(off.covers(day, day) for off in row.off)
                if told_off or calendar.hours.spans_on(day):
                    continue
                who, told = teller.who(trade), f"{day:%a} {day.day} {day:%b}"
                yield Change(
                    id=f"extra:{trade}:{day}",
                    kind=ChangeKind.EXTRA,
                    group=f"extra:{trade}:{day}",
                    about=trade,
                    at=self.on,
                    fields=({"kind": "extra", "extra_trade": trade, "days": [day.isoformat()]},),
                    says=f"let {who.name} come on {told} too",
                    tells=frozenset({trade}),
                    charges=(
                        self.prices.charge(
                            "shift", f"extra:{trade}:{day}", f"one extra shift of {who.trade}"
                        ),
                    ),
                    brings=(f"somebody opens the site on {told}",),
                )
