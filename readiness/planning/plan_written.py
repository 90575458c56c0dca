"""What a plan writes into the diary: a date for whatever has none or moves.

Invariant: a date that is written is the one that is told; what stays is not written again.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from readiness.job.instants import moment_of
from readiness.planning.listing_leaves import name_of_new_trip
from readiness.site.calendars import zone_days
from readiness.site.task import TaskKind

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readiness.planning.plan_told import PlanTold


def lines_of_plan(told: PlanTold) -> Iterator[dict[str, Any]]:
    """Yield the lines of a plan; a trip that nobody has written yet begins with its surfaces."""
    site, timed = told.site, told.timed
    zone = zone_days(site.zone).zone
    written: set[str] = set()

    def wall(instant: int) -> str:
        return moment_of(instant, zone).replace(tzinfo=None).isoformat()

    def dated(what: str, at: int) -> dict[str, Any]:
        return {"kind": "dated", "what": what, "when": wall(at), "agreed": False}

    for leg in told.legs:
        if told.change(leg) not in ("new", "moves") or leg.about in written:
            continue
        if leg.kind is TaskKind.ARRIVAL:
            written.add(leg.about)
            trip, name = site.trips[leg.about], leg.about
            if not trip.planned:
                name = name_of_new_trip({*site.trips, *site.stays})
                yield {"kind": "trip", "trip": name, "surfaces": list(trip.surfaces)}
            yield dated(name, timed.arrivals[leg.about])
        elif leg.kind is TaskKind.WORK and leg.about in site.stays:
            if any(leg.tasks[0] == each[0] for each in site.stay_tasks[leg.about].chains):
                written.add(leg.about)
                yield dated(leg.about, timed.forecast.start[leg.tasks[0]])
        elif leg.kind is TaskKind.PULL:
            at = timed.forecast.start[leg.tasks[0]]
            yield {"kind": "thing-dated", "thing": leg.about, "pull": wall(at)}
