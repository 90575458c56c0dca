"""What is committed to begin after the foam, and when, as people have booked it.

Invariant: a commit comes from a booking or from what has begun, never from the forecast of work
that only waits for the foam.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.job.instants import EARLIER, is_dated
from readiness.schedule.forward import calendar_at, gap_calendar_of, limits_on
from readiness.schedule.readings_of_days import started_at

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from readiness.schedule.calendar import Calendar, Clock
    from readiness.schedule.network import Network
    from readiness.schedule.outlook import Outlook
    from readiness.schedule.worktime import Worktime
    from readiness.site.site import TripTasks


class Commits:
    """The commits downstream of one trip."""

    def __init__(
        self, outlook: Outlook, network: Network, calendars: Sequence[Calendar], trip: TripTasks
    ) -> None:
        """Work them out; the network has the trip's own keep-out left out."""
        self.outlook = outlook
        self.network = network
        self.calendars = calendars
        self.trip = trip
        self.starts = self._of_work()
        self.things = tuple(self._of_things())

    def _of_work(self) -> dict[int, int]:
        """Return the committed starts by task, in the order of the network."""
        outlook, network = self.outlook, self.network
        down = outlook.frame.downstream[self.trip.id]
        own = set(self.trip.tasks)
        tasks = [
            part
            for name, stay in outlook.site.stay_tasks.items()
            for part in stay.parts
            if part in down and part not in own and self._is_committed(name, part)
        ]
        if not tasks:
            return {}
        nodes = list(outlook.forecast.nodes)
        for task in down:
            nodes[2 * task] = nodes[2 * task + 1] = EARLIER
        gap_calendar = gap_calendar_of(network, self.calendars)
        starts: dict[int, int] = {}
        for task in sorted(tasks, key=network.rank.__getitem__):
            start, finish = self._dates(task, nodes, gap_calendar)
            nodes[2 * task], nodes[2 * task + 1] = start, finish
            starts[task] = start
        return starts

    def _is_committed(self, stay: str, part: int) -> bool:
        """Say whether a part is seen begun, or its stay is booked or under way.

        A stay that is finished in some places and under way in none commits nobody to the others.
        """
        known = self.outlook.known
        return (
            part in known.state.finished
            or stay in known.commitments
            or any(other in known.state.begun for other in self.outlook.site.stay_tasks[stay].parts)
        )

    def _dates(
        self, task: int, nodes: Sequence[int], gap_calendar: Worktime | Clock
    ) -> tuple[int, int]:
        """Return start and finish of one committed part: as seen, else as booked."""
        known, network = self.outlook.known, self.network
        if task in known.state.begun:
            return known.state.begun[task].start, self.outlook.forecast.finish[task]
        if task in known.state.finished:
            finished = known.state.finished[task]
            return finished.start, finished.finish
        row = network.incoming[network.rank[task]]
        start_limit, finish_limit = limits_on(row, nodes, gap_calendar, self.booked(task))
        calendar = calendar_at(self.calendars, network.calendar[task])
        return calendar.earliest(start_limit, finish_limit, network.minutes[task])

    def booked(self, task: int) -> int:
        """Return the early end of the booking at the first part of each crew's chain.

        A crew of a stay that has begun without a booking may come from now on.
        """
        stay = self.outlook.site.tasks[task].stay
        chains = self.outlook.site.stay_tasks[stay].chains
        if not any(chain and chain[0] == task for chain in chains):
            return EARLIER
        commitment = self.outlook.known.commitments.get(stay)
        if commitment is None:
            return self.outlook.seen.as_of
        if is_dated(commitment.early):
            return commitment.early
        return min(self.outlook.seen.as_of, commitment.late)

    def _of_things(self) -> Iterator[tuple[str, int, bool]]:
        """Yield the fixed things, when they are or will be in the way, and whether they stand."""
        outlook, site = self.outlook, self.outlook.site
        calendar = site.calendars[site.job_calendar]
        for name, thing in site.things.items():
            placed = outlook.seen.things[name]
            if thing.pull is None or not set(thing.blocks) & set(self.trip.surfaces):
                continue
            stands = thing.pull in outlook.known.state.never
            dated_pull = thing.pull in outlook.known.state.bookings
            if placed.pulled is not None or dated_pull:
                if placed.reset is not None:
                    yield name, started_at(placed.reset, calendar), False
            elif placed.since is not None:
                yield name, started_at(placed.since, calendar), stands
            elif stands:
                yield name, self._set_by(name), True
            elif placed.dated_by_work:
                set_at = self._set_by(name)
                if set_at > EARLIER:
                    yield name, set_at, False

    def _set_by(self, name: str) -> int:
        """Return when the work that sets a thing is committed, `EARLIER` if it is not."""
        site, network = self.outlook.site, self.network
        stay = site.things[name].set_by
        if stay not in site.stay_tasks:
            return EARLIER
        nodes = list(self.outlook.forecast.nodes)
        gap_calendar = gap_calendar_of(network, self.calendars)
        commits = []
        for part in sorted(site.stay_tasks[stay].parts, key=network.rank.__getitem__):
            if not self._is_committed(stay, part):
                continue
            if part in self.starts:
                commits.append(self.starts[part])
                continue
            nodes[2 * part], nodes[2 * part + 1] = self._dates(part, nodes, gap_calendar)
            commits.append(nodes[2 * part])
        return min(commits, default=EARLIER)
