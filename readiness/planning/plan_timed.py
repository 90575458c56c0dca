"""Times the choices of a plan anew: its orders become links, and the forward pass does the rest.

Invariant: what the solver thought of as dates is thrown away; no date is later than it was there.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING

from readiness.gates.proposals import Arrivals
from readiness.job.instants import NEVER
from readiness.job.origin import Origin
from readiness.planning.plan_ground import is_waived
from readiness.schedule.forward import forward, imposed
from readiness.schedule.network import compiled
from readiness.schedule.outlook import closed_network, late_end
from readiness.site.task import Link, LinkKind, TaskKind

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from readiness.planning.activities import Before, End, Use
    from readiness.planning.plan_levels import Solved
    from readiness.planning.plan_problem import Planned
    from readiness.schedule.calendar import Calendar
    from readiness.schedule.forward import Forecast
    from readiness.schedule.network import Network
    from readiness.schedule.outlook import Outlook
    from readiness.schedule.state import State
    from readiness.site.site import TripTasks

CREW = "the same crew is there first"
ROOM = "one trade at a time in a room"
KEEP_OUT = "nobody else inside while the keep-out runs"


@dataclass(frozen=True, slots=True)
class Timed:
    """A plan with its dates."""

    solved: Solved
    network: Network
    calendars: tuple[Calendar, ...]
    state: State
    forecast: Forecast
    arrivals: Mapping[str, int]
    links: tuple[Link, ...]
    """What the plan has chosen: who goes first."""

    @property
    def planned(self) -> Planned:
        """Return the problem behind it."""
        return self.solved.planned


def timed(solved: Solved) -> Timed:
    """Return the plan with the dates of the forward pass."""
    planned = solved.planned
    ground = planned.ground
    outlook = ground.outlook
    links = tuple(dict.fromkeys(_order_links(solved)))
    network = compiled(
        ground.site.tasks, (*ground.site.links, *links), ground.site.job_calendar
    ).with_minutes(outlook.known.minutes)
    frame = replace(outlook.frame, network=network)
    closures = {
        trip: span for trip, span in outlook.closures.items() if trip in outlook.known.arrived
    }
    state = _state(solved)
    arrivals: dict[str, int] = {}
    trips = sorted(
        (number for number, leg in enumerate(planned.legs) if leg.kind is TaskKind.ARRIVAL),
        key=lambda number: (solved.start(number), number),
    )
    while True:
        closed, calendars = closed_network(frame, closures, None)
        closed = closed.with_minutes(outlook.known.minutes)
        forecast = forward(closed, calendars, state)
        if not trips:
            return Timed(solved, closed, calendars, state, forecast, arrivals, links)
        number = trips.pop(0)
        leg = planned.legs[number]
        trip = ground.site.trips[leg.about]
        arrival = solved.start(number)
        if solved.chosen[number] != leg.booked:
            limit = _opens(trip, outlook, closed, calendars, forecast)
            arrival = Arrivals(outlook, trip.id).first(limit, arrival) or arrival
        arrivals[trip.id] = arrival
        closures[trip.id] = (arrival, late_end(trip, frame, arrival, None))
        state = replace(state, bookings={**state.bookings, trip.arrival: arrival})


def _opens(
    trip: TripTasks,
    outlook: Outlook,
    network: Network,
    calendars: Sequence[Calendar],
    forecast: Forecast,
) -> int:
    """Return when everything that a trip waits for is over."""
    found = [outlook.seen.as_of]
    for task in trip.tasks:
        for number in network.numbered[network.rank[task]].numbers():
            link = network.links[number]
            if link.source not in trip.tasks and not is_waived(outlook, link):
                found.append(imposed(link, network, calendars, forecast))
    return max(found)


def _state(solved: Solved) -> State:
    """Return what is known, with the bookings that the plan leaves where they are."""
    planned = solved.planned
    ground, known = planned.ground, planned.ground.outlook.known
    kept = dict(ground.bookings)
    for number, leg in enumerate(planned.legs):
        stays = leg.booked is not None and solved.chosen[number] == leg.booked
        if stays and leg.booked_at is not None and leg.kind is not TaskKind.ARRIVAL:
            head = leg.tasks[0]
            kept[head] = max(leg.booked_at, kept.get(head, leg.booked_at))
    return replace(known.state, bookings=kept, never=known.state.never - ground.pulls)


def _order_links(solved: Solved) -> Iterator[Link]:
    """Yield a link for everything that the plan lets go first."""
    planned = solved.planned
    for before in planned.problem.befores:
        why = {"crew": CREW, "room": ROOM}.get(before.id.partition(":")[0], KEEP_OUT)
        pairs = before.one_first if _goes_first(solved, before) else before.other_first
        for earlier, later in pairs:
            first, then = planned.legs[earlier.activity], planned.legs[later.activity]
            # The late end of a keep-out is no task; the calendars that it shuts hold what comes
            if earlier.part < len(first.tasks):
                yield _link(first.tasks[earlier.part], then.tasks[later.part], why)
            else:
                trip = planned.ground.site.trips[first.about]
                yield _link(trip.release, then.tasks[later.part], why)
    for resource in planned.problem.resources:
        for one, other in _crew_by_crew(solved, resource.uses, resource.capacity):
            yield _link(planned.legs[one].tasks[-1], planned.legs[other].tasks[0], CREW)


def _goes_first(solved: Solved, before: Before) -> bool:
    problem, chosen = solved.planned.problem, solved.chosen

    def at(end: End) -> int:
        return end.column(problem.activities[end.activity], 0)[chosen[end.activity]]

    return all(at(earlier) <= at(later) for earlier, later in before.one_first)


def _crew_by_crew(solved: Solved, uses: tuple[Use, ...], crews: int) -> Iterator[tuple[int, int]]:
    """Yield who follows whom, each leg given to the crew that is free first."""
    rows: list[list[int]] = [[] for _ in range(crews)]
    for use in sorted(uses, key=lambda use: (solved.start(use.activity), use.activity)):
        free = min(
            range(crews),
            key=lambda crew: (solved.end(rows[crew][-1]) if rows[crew] else -NEVER, crew),
        )
        rows[free].append(use.activity)
    for row in rows:
        for one, other in pairwise(row):
            if solved.end(one) <= solved.start(other):
                yield one, other


def _link(source: int, target: int, why: str) -> Link:
    return Link(source, target, LinkKind.END_TO_START, 0, False, why, Origin("plan", row=why))  # noqa: FBT003
