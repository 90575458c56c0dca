"""Spray windows: when each surface may first and last be sprayed, and who decides both edges.

Invariant: only committed things close a spray window; unbooked work waits for the foam and closes
nothing. Both edges are computed with the trip's own booking and keep-out left out.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from readiness.facts.vocabulary import Order
from readiness.gates.commits import Commits
from readiness.gates.latest import LatestArrival
from readiness.job.instants import EARLIER, NEVER
from readiness.schedule.forward import forward, imposed
from readiness.schedule.outlook import closed_network

if TYPE_CHECKING:
    from readiness.schedule.outlook import Outlook
    from readiness.site.site import TripTasks


class Closer(NamedTuple):
    """One committed thing that ends the time for spraying a surface."""

    stay: str
    """Id of the work, or of the obstruction."""
    task: int | None
    """Its part; None for an obstruction."""
    commit: int
    """When it begins or stands, as committed."""
    latest: int
    """The latest arrival that still lets it begin then."""
    begun: bool
    """It has begun, or stands."""


class SprayWindow(NamedTuple):
    """From `opens` to `last_start`; empty where the second is earlier."""

    surface: str
    opens: int
    """`EARLIER` if nothing is waited for."""
    opens_by: int | None
    """The task that opens it last."""
    last_start: int
    """`NEVER` if nothing booked closes it."""
    last_by: Closer | None
    closes: int
    """The least commit; shown, and read by no rule."""
    costs_from: int
    """From this arrival on the board start is late."""
    closers: tuple[Closer, ...]
    """Everything committed after the foam here, the least latest arrival first."""

    @property
    def is_empty(self) -> bool:
        """Say whether no arrival fits."""
        return self.opens > self.last_start


def windows_of(outlook: Outlook, waived: frozenset[tuple[int, str]]) -> dict[str, SprayWindow]:
    """Return the spray window of every surface of every trip.

    Args:
        outlook: The forecast.
        waived: Pairs of task and surface whose waiting somebody has waived.
    """
    found: dict[str, SprayWindow] = {}
    for trip in outlook.site.trips.values():
        found.update(_windows_of_trip(outlook, trip, waived))
    return found


def _windows_of_trip(
    outlook: Outlook, trip: TripTasks, waived: frozenset[tuple[int, str]]
) -> dict[str, SprayWindow]:
    frame, site = outlook.frame, outlook.site
    network, calendars = closed_network(frame, outlook.closures, trip.id)
    planned = network.with_minutes(outlook.known.minutes)
    network = planned.with_minutes({**outlook.known.minutes, **site.late_minutes})
    latest = LatestArrival(network, calendars, trip, frame.downstream[trip.id], outlook)
    commits = Commits(outlook, network, calendars, trip)
    edges = {surface: opens_of(outlook, trip, surface, waived) for surface in trip.surfaces}
    at_pace = LatestArrival(planned, calendars, trip, frame.downstream[trip.id], outlook)
    opens = max(instant for instant, _ in edges.values())
    costs_from = at_pace.before_start(site.board_start, _cost_target(outlook, trip, opens))
    closers: dict[str, list[Closer]] = {surface: [] for surface in trip.surfaces}
    for task, commit in commits.starts.items():
        surfaces = [
            surface
            for surface, order in site.orders.get(task, {}).items()
            if order is Order.AFTER and surface in closers
        ]
        if surfaces:
            closer = Closer(
                stay=site.tasks[task].stay,
                task=task,
                commit=commit,
                latest=latest.before_start(task, commit),
                begun=task in outlook.known.state.begun or task in outlook.known.state.finished,
            )
            for surface in surfaces:
                closers[surface].append(closer)
    for thing, commit, stands in commits.things:
        closer = Closer(thing, None, commit, latest.before_release(commit), stands)
        for surface in site.things[thing].blocks:
            if surface in closers:
                closers[surface].append(closer)
    return {
        surface: _window(surface, edges[surface], closers[surface], costs_from)
        for surface in trip.surfaces
    }


def _window(
    surface: str, edge: tuple[int, int | None], closers: list[Closer], costs_from: int
) -> SprayWindow:
    opens, opens_by = edge
    closers.sort(key=lambda closer: (closer.latest, closer.commit, closer.stay))
    first = closers[0] if closers else None
    return SprayWindow(
        surface=surface,
        opens=opens,
        opens_by=opens_by,
        last_start=first.latest if first else NEVER,
        last_by=first,
        closes=min((closer.commit for closer in closers), default=NEVER),
        costs_from=costs_from,
        closers=tuple(closers),
    )


def opens_of(
    outlook: Outlook, trip: TripTasks, surface: str, waived: frozenset[tuple[int, str]]
) -> tuple[int, int | None]:
    """Return the largest instant that links from outside the trip impose, and whose it is."""
    network, site = outlook.network, outlook.site
    own = set(trip.tasks)
    opens, by = EARLIER, None
    for number in network.numbered[network.rank[trip.sprays[surface]]].numbers():
        link = network.links[number]
        source = link.source
        if source in own or source in outlook.known.state.never or (source, surface) in waived:
            continue
        shown = outlook.known.shown_on.get(source, {}).get(surface)
        if shown is None:
            instant = imposed(link, network, outlook.calendars, outlook.forecast)
        else:
            instant = shown.at
        smaller_id = by is not None and site.tasks[source].id < site.tasks[by].id
        if instant > opens or (instant == opens and smaller_id and instant > EARLIER):
            opens, by = instant, source
    return opens, by


def _cost_target(outlook: Outlook, trip: TripTasks, opens: int) -> int:
    """Return the board start that a late arrival makes late: agreed, else the earliest possible."""
    if outlook.agreed_board is not None:
        return outlook.agreed_board
    if trip.id in outlook.known.arrived:
        return outlook.forecast.start[outlook.site.board_start]
    bookings = {**outlook.known.state.bookings, trip.arrival: opens}
    network, calendars = closed_network(outlook.frame, outlook.closures, trip.id)
    state = replace(outlook.known.state, bookings=bookings)
    network = network.with_minutes(outlook.known.minutes)
    return forward(network, calendars, state).start[outlook.site.board_start]
