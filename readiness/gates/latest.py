"""The latest arrival of a trip that still lets a later item begin in time.

Limits are worked back through the network one side at a time. Because every backward step is an
adjoint, the least of the answers for single limits is the answer for all of them together, so each
step is worked out once and remembered.

Invariant: bookings play no part; a trip that arrives a minute later than the answer crosses the
limit.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.job.instants import NEVER, shifted
from readiness.schedule.backward import gap_start
from readiness.schedule.forward import calendar_at, gap_calendar_of

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
        self._known: dict[tuple[int, int], int] = {}
        self._worked = _worked_before(network, trip)

    def before_start(self, task: int, limit: int) -> int:
        """Return the latest arrival with which the task starts by the limit."""
        return self._latest(2 * task, limit)

    def before_release(self, limit: int) -> int:
        """Return the latest arrival with which the release is by the limit."""
        return self._latest(2 * self.trip.release + 1, limit)

    def _latest(self, node: int, limit: int) -> int:
        """Return the latest arrival with which a node, a start or a finish, is by the limit.

        Chains of parts can be longer than Python may recurse, so the steps wait on a list.
        """
        known, asked = self._known, (node, limit)
        waiting: list[tuple[tuple[int, int], list[tuple[int, int]] | None]] = [(asked, None)]
        while waiting:
            step, earlier = waiting.pop()
            if step in known:
                continue
            if earlier is None:
                if step[1] == NEVER or step[0] >> 1 in self.own:
                    known[step] = self._arrival(*step)
                    continue
                earlier = self._earlier(*step)
                missing = [(other, None) for other in earlier if other not in known]
                if missing:
                    waiting.append((step, earlier))
                    waiting += missing
                    continue
            known[step] = min((known[other] for other in earlier), default=NEVER)
        return known[asked]

    def _arrival(self, node: int, limit: int) -> int:
        """Return the latest arrival with which a step of the trip itself is by the limit.

        The steps up to leaving follow each other on one calendar, so their backward steps add up.
        """
        task = node >> 1
        if limit == NEVER:
            return limit
        trip, minutes = self.trip, self.network.minutes
        if task == trip.release or (task == trip.keep_out and node & 1):
            limit = shifted(limit, -minutes[trip.keep_out])
        if task in (trip.release, trip.keep_out):
            task, node = trip.clean_up, 2 * trip.clean_up + 1
        worked = self._worked[task] + (minutes[task] if node & 1 else 0)
        calendar = calendar_at(self.calendars, self.network.calendar[trip.set_up])
        return calendar.latest(NEVER, limit, worked)[0] if worked else limit

    def _earlier(self, node: int, limit: int) -> list[tuple[int, int]]:
        """Return the limits that one limit puts on the nodes it waits for, behind the trip."""
        task = node >> 1
        network = self.network
        calendar = calendar_at(self.calendars, network.calendar[task])
        limits = (NEVER, limit) if node & 1 else (limit, NEVER)
        start, finish = calendar.latest(*limits, network.minutes[task])
        row = network.incoming[network.rank[task]]
        steps = [(other, start) for other in row.starts]
        steps += [(other, finish) for other in row.finishes]
        steps += [
            (gap.there, gap_start(self.gap_calendar, finish if gap.here else start, gap))
            for gap in row.gaps
        ]
        return [(other, instant) for other, instant in steps if self._counts(other >> 1)]

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
