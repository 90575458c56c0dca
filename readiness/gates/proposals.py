"""The fewest trips whose arrivals lie inside all spray windows.

Invariant: every surface with a window that holds an allowed arrival is in exactly one proposed
trip, and its arrival lies in the window as it is with that trip's own length.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING

from readiness.gates.latest import LatestArrival
from readiness.job.instants import EARLIER, NEVER, instant_of_local, is_dated, moment_of
from readiness.schedule.outlook import closed_network
from readiness.site.calendars import zone_days

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from readiness.gates.windows import SprayWindow
    from readiness.schedule.outlook import Outlook
    from readiness.site.site import TripTasks

SEARCH_DAYS = 400
"""How far ahead an allowed arrival is looked for."""


@dataclass(frozen=True, slots=True)
class Proposal:
    """One trip that would do."""

    trip: str
    """The trip its surfaces belong to now."""
    arrival: int
    surfaces: tuple[str, ...]
    opens: int
    """The last of the windows to open."""
    last_start: int
    """The first to close, with the proposal's own length."""


@dataclass(frozen=True, slots=True)
class Conflict:
    """A surface without an allowed arrival inside its window."""

    surface: str
    is_empty: bool
    """The window itself is empty; else no working or offered day lies in it."""


class Arrivals:
    """The arrivals that a trip may have: hours offered, else the starts of the sprayer's shifts."""

    def __init__(self, outlook: Outlook, trip: str) -> None:
        """Remember the calendar and the offers that lie ahead."""
        site = outlook.site
        self.calendar = site.calendars[site.spray_calendar]
        self.as_of = outlook.seen.as_of
        zone = zone_days(site.zone).zone
        news = outlook.seen.trips.get(trip)
        self.offered = sorted(
            instant_of_local(moment.replace(tzinfo=None), zone)
            for moment in (news.offered if news else ())
        )

    def first(self, not_before: int, not_after: int) -> int | None:
        """Return the first allowed arrival between two instants."""
        return next(iter(self.between(not_before, not_after)), None)

    def last(self, not_before: int, not_after: int) -> int | None:
        """Return the last allowed arrival between two instants; the first if there is no end."""
        if not is_dated(not_after):
            return self.first(not_before, not_after)
        found = None
        for arrival in self.between(not_before, not_after):
            found = arrival
        return found

    def between(self, not_before: int, not_after: int) -> Iterable[int]:
        """Yield the allowed arrivals between two instants, both included."""
        low = max(not_before, self.as_of) if is_dated(not_before) else self.as_of
        if not_before == NEVER:
            return
        if self.offered:
            yield from (hour for hour in self.offered if low <= hour <= not_after)
            return
        day = moment_of(low, zone_days(self.calendar.zone).zone).date()
        for step in range(SEARCH_DAYS):
            shift = self.calendar.shift_on(day + timedelta(days=step))
            if shift is None or shift[0] < low:
                continue
            if shift[0] > not_after:
                return
            yield shift[0]


def proposals_of(
    outlook: Outlook, windows: Mapping[str, SprayWindow]
) -> tuple[tuple[Proposal, ...], tuple[Conflict, ...]]:
    """Return the fewest trips for the surfaces that are still to be sprayed, by arrival.

    Each trip of the job is proposed anew as one or more trips; surfaces whose window holds no
    allowed arrival are told as conflicts.
    """
    found: list[Proposal] = []
    conflicts: list[Conflict] = []
    for trip in outlook.site.trips.values():
        if trip.id in outlook.known.arrived:
            continue
        _propose(outlook, trip, windows, found, conflicts)
    found.sort(key=lambda proposal: (proposal.arrival, proposal.surfaces))
    return tuple(found), tuple(conflicts)


def _propose(
    outlook: Outlook,
    trip: TripTasks,
    windows: Mapping[str, SprayWindow],
    found: list[Proposal],
    conflicts: list[Conflict],
) -> None:
    arrivals = Arrivals(outlook, trip.id)
    finished = outlook.known.state.finished
    left = [windows[s] for s in trip.surfaces if trip.sprays[s] not in finished]
    left.sort(key=lambda window: (window.last_start, window.opens, window.surface))
    while left:
        stab = _stab(arrivals, left)
        group = [window for window in left if window.opens <= stab <= window.last_start]
        if not group:
            window = left.pop(0)
            shorter = _alone(outlook, trip, window, arrivals)
            if shorter is not None:
                found.append(shorter)
            else:
                conflicts.append(Conflict(window.surface, window.is_empty))
            continue
        left = [window for window in left if window not in group]
        found.append(_placed(outlook, trip, group, arrivals, stab))


def _stab(arrivals: Arrivals, left: Sequence[SprayWindow]) -> int:
    """Return the arrival that serves the window which closes first, as late as it allows."""
    first = left[0]
    if not is_dated(first.last_start):
        opens = (
            max(window.opens for window in left if window.opens < NEVER)
            if any(window.opens < NEVER for window in left)
            else NEVER
        )
        arrival = arrivals.first(opens, NEVER) if first.opens < NEVER else None
    else:
        arrival = arrivals.last(first.opens, first.last_start)
    return arrival if arrival is not None else EARLIER


def _placed(
    outlook: Outlook,
    trip: TripTasks,
    group: Sequence[SprayWindow],
    arrivals: Arrivals,
    stab: int,
) -> Proposal:
    """Return a proposal at the earliest allowed arrival that its windows share."""
    surfaces = tuple(surface for surface in trip.surfaces if surface in {w.surface for w in group})
    opens = max(window.opens for window in group)
    last_start = _last_start(outlook, trip, group, surfaces)
    arrival = arrivals.first(opens, last_start)
    return Proposal(trip.id, stab if arrival is None else arrival, surfaces, opens, last_start)


def _alone(
    outlook: Outlook, trip: TripTasks, window: SprayWindow, arrivals: Arrivals
) -> Proposal | None:
    """Return a trip for one surface alone, whose shorter stay may leave room for an arrival."""
    last_start = _last_start(outlook, trip, [window], (window.surface,))
    arrival = arrivals.first(window.opens, last_start)
    if arrival is None:
        return None
    return Proposal(trip.id, arrival, (window.surface,), window.opens, last_start)


def _last_start(
    outlook: Outlook,
    trip: TripTasks,
    group: Sequence[SprayWindow],
    surfaces: tuple[str, ...],
) -> int:
    """Return the latest arrival for the group, with only its own surfaces to spray."""
    closers = [closer for window in group for closer in window.closers]
    if not closers:
        return NEVER
    network, calendars = closed_network(outlook.frame, outlook.closures, trip.id)
    minutes = {**outlook.known.minutes, **outlook.site.late_minutes}
    minutes.update({task: 0 for s, task in trip.sprays.items() if s not in surfaces})
    latest = LatestArrival(
        network.with_minutes(minutes), calendars, trip, outlook.frame.downstream[trip.id], outlook
    )
    return min(
        latest.before_release(closer.commit)
        if closer.task is None
        else latest.before_start(closer.task, closer.commit)
        for closer in closers
    )
