"""The latest arrival of a trip that still lets a later item begin in time.

Limits are worked back through the tasks between the trip and the item, and then through the trip's
own steps, which follow each other on one calendar.

Invariant: bookings play no part; a trip that arrives a minute later than the answer crosses the
limit.
"""

from __future__ import annotations

from heapq import heappop, heappush
from typing import TYPE_CHECKING

from readiness.job.instants import NEVER, shifted
from readiness.schedule.backward import gap_start
from readiness.schedule.forward import calendar_at, gap_calendar_of
from readiness.schedule.network import Row

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readiness.schedule.calendar import Calendar
    from readiness.schedule.network import Network
    from readiness.schedule.outlook import Outlook
    from readiness.site.site import TripTasks


class LatestArrival:
    """Works limits on later items back to the arrival of one trip."""

    def __init__(
        self,
        network: Network,
        calendars: Sequence[Calendar],
        trip: TripTasks,
        downstream: frozenset[int],
        outlook: Outlook,
    ) -> None:
        """Remember the network: without the trip's keep-out, its steps at their longest."""
        self.network = network
        self.calendars = calendars
        self.trip = trip
        self.downstream = downstream
        self.own = frozenset(trip.tasks)
        self.finished = outlook.known.state.finished
        self.gap_calendar = gap_calendar_of(network, calendars)
        self._arrivals: dict[tuple[int, int], int] = {}
        self._rows: dict[int, Row] = {}
        self._worked = _worked_before(network, trip)

    def before_start(self, task: int, limit: int) -> int:
        """Return the latest arrival with which the task starts by the limit."""
        return self._latest(2 * task, limit)

    def before_release(self, limit: int) -> int:
        """Return the latest arrival with which the release is by the limit."""
        return self._latest(2 * self.trip.release + 1, limit)

    def _latest(self, asked: int, limit: int) -> int:
        """Return the latest arrival with which a node, a start or a finish, is by the limit.

        Every task between the trip and the node is looked at once, the last one first, with the
        least limit that anything behind it puts on its two ends.
        """
        if asked >> 1 in self.own or limit == NEVER:
            return self._arrival(asked, limit)
        rank = self.network.rank
        limits: dict[int, list[int]] = {asked >> 1: [NEVER, NEVER]}
        limits[asked >> 1][asked & 1] = limit
        waiting = [-rank[asked >> 1]]
        arrival = NEVER
        while waiting:
            task = self.network.order[-heappop(waiting)]
            for nodes, instant in self._earlier(task, *limits[task]):
                for node in nodes:
                    earlier = node >> 1
                    if earlier in self.own:
                        arrival = min(arrival, self._arrival(node, instant))
                    elif earlier not in limits:
                        limits[earlier] = [NEVER, NEVER]
                        limits[earlier][node & 1] = instant
                        heappush(waiting, -rank[earlier])
                    elif instant < limits[earlier][node & 1]:
                        limits[earlier][node & 1] = instant
        return arrival

    def _arrival(self, node: int, limit: int) -> int:
        """Return the latest arrival with which a step of the trip itself is by the limit."""
        key = (node, limit)
        if key not in self._arrivals:
            self._arrivals[key] = limit if limit == NEVER else self._worked_back(node, limit)
        return self._arrivals[key]

    def _worked_back(self, node: int, limit: int) -> int:
        """Work a limit back through the trip.

        The steps up to leaving follow each other on one calendar, so their backward steps add up.
        """
        task = node >> 1
        trip, minutes = self.trip, self.network.minutes
        if task == trip.release or (task == trip.keep_out and node & 1):
            limit = shifted(limit, -minutes[trip.keep_out])
        if task in (trip.release, trip.keep_out):
            task, node = trip.clean_up, 2 * trip.clean_up + 1
        worked = self._worked[task] + (minutes[task] if node & 1 else 0)
        calendar = calendar_at(self.calendars, self.network.calendar[trip.set_up])
        return calendar.latest(NEVER, limit, worked)[0] if worked else limit

    def _earlier(
        self, task: int, start_limit: int, finish_limit: int
    ) -> list[tuple[tuple[int, ...], int]]:
        """Return the nodes a task waits for with the limits that its own limits put on them."""
        network = self.network
        calendar = calendar_at(self.calendars, network.calendar[task])
        start, finish = calendar.latest(start_limit, finish_limit, network.minutes[task])
        _, starts, finishes, gaps = self._row(task)
        return [
            (starts, start),
            (finishes, finish),
            *(
                ((gap.there,), gap_start(self.gap_calendar, finish if gap.here else start, gap))
                for gap in gaps
            ),
        ]

    def _row(self, task: int) -> Row:
        """Return the links that a task waits for, without those from where no trip leads to."""
        if task not in self._rows:
            row = self.network.incoming[self.network.rank[task]]
            self._rows[task] = Row(
                task,
                tuple(node for node in row.starts if self._counts(node >> 1)),
                tuple(node for node in row.finishes if self._counts(node >> 1)),
                tuple(gap for gap in row.gaps if self._counts(gap.there >> 1)),
            )
        return self._rows[task]

    def _counts(self, task: int) -> bool:
        """Say whether a task lies behind the trip and is still to be done; its own steps always."""
        return task in self.own or (task in self.downstream and task not in self.finished)


def _worked_before(network: Network, trip: TripTasks) -> dict[int, int]:
    """Return the working minutes of the trip before each of its steps up to leaving."""
    worked: dict[int, int] = {}
    total = 0
    for task in (trip.arrival, trip.set_up, *trip.sprays.values(), trip.clean_up):
        worked[task] = total
        total += network.minutes[task]
    return worked
