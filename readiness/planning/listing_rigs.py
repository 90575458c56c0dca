"""Lists one more rig on the asked trip: both spray at once, and the place is released sooner.

Invariant: offered only where something booked after the foam closes the day too early, before any
of the spraying has begun, and for a trip of which each rig has a surface of its own.
"""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from readiness.job.instants import is_dated, moment_of
from readiness.planning.change import Change, ChangeKind
from readiness.site.calendars import zone_days
from readiness.site.trip_tasks import SPRAY_TRADE

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readiness.gates.verdict import Verdicts
    from readiness.planning.prices import Prices
    from readiness.schedule.outlook import Outlook
    from readiness.telling.teller import Teller


class RigsListing:
    """Makes that part of the list."""

    def __init__(self, outlook: Outlook, trip: str, on: int, verdicts: Verdicts) -> None:
        """Remember the forecast and verdicts with the trip booked to the asked arrival."""
        self.outlook, self.on, self.verdicts = outlook, on, verdicts
        self.site, self.trip = outlook.site, outlook.site.trips[trip]

    def rigs(self, teller: Teller, prices: Prices) -> Iterator[Change]:
        """Yield one more rig, if it can help."""
        rigs = self.site.job.trips[self.trip.id].rigs + 1
        if self._has_begun() or rigs > len(self.trip.surfaces) or not self._can_help():
            return
        name, who = self.trip.name, teller.who(SPRAY_TRADE).name
        yield Change(
            id=f"rig:{self.trip.id}",
            kind=ChangeKind.RIG,
            group=f"rig:{self.trip.id}",
            about=self.trip.id,
            at=self.on,
            fields=({"kind": "rigs", "trip": self.trip.id, "rigs": rigs},),
            says=f"spray the {name} trip with {rigs} rigs at once",
            tells=frozenset({SPRAY_TRADE}),
            charges=(prices.charge("rig", f"rig:{self.trip.id}", "one more rig and its crew"),),
            brings=(
                f"{who} has to confirm that {rigs} rigs and their crews are free",
                "another rig wants room to park, power, and a hose that reaches every surface",
                "all crews are in full protection as long as any of them sprays",
                "one keep-out holds for all of them, from the last foam of any rig",
                f"{rigs} rigs are reckoned to share the spraying evenly (common practice)",
                "set-up, clean-up and the keep-out get no shorter",
                "nor do waits between layers: ask how long the trip takes with so many rigs",
            ),
            caution=self.site.facts.trip["spray"].caution,
        )

    def _has_begun(self) -> bool:
        state = self.outlook.known.state
        sprays = self.trip.sprays.values()
        return any(spray in state.begun or spray in state.finished for spray in sprays)

    def _can_help(self) -> bool:
        """Say whether some item closes the day by no more than what all the spraying takes.

        The trip gets shorter by less than that, whatever is left elsewhere besides.
        """
        days = zone_days(self.site.zone)
        day = moment_of(self.on, days.zone).date()
        midnight = days.instant(day, 0)
        end = days.instant(day + timedelta(days=1), 0)
        calendar = self.site.calendars[self.site.spray_calendar]
        first = next((opens for opens, _ in calendar.spans(midnight, end)), self.on)
        sprays = sum(self.site.late_minutes[spray] for spray in self.trip.sprays.values())
        for verdict in self.verdicts.surfaces.values():
            closers = verdict.window.closers if verdict.counts and verdict.window else ()
            for closer in closers:
                if closer.begun or not is_dated(closer.latest) or closer.latest >= end:
                    continue
                spans = calendar.spans(closer.latest, first)
                late = sum(min(shut, first) - max(opens, closer.latest) for opens, shut in spans)
                if late < sprays:
                    return True
        return False
