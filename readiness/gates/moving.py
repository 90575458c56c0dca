"""The least start of a later item with which an arrival is in time: what a call about it asks for.

Invariant: this is the adjoint of the latest arrival; a start one minute earlier would be too early.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.gates.latest import LatestArrival
from readiness.job.instants import NEVER
from readiness.schedule.outlook import closed_network

if TYPE_CHECKING:
    from readiness.schedule.outlook import Outlook

FURTHEST_MINUTES = 2 * 366 * 1440
"""Whatever would have to start later than this from the arrival has no date that helps a call."""


def least_start(outlook: Outlook, trip: str, task: int, on: int) -> int:
    """Return the least start of a task with which the trip may arrive at `on`, or `NEVER`."""
    tasks = outlook.site.trips[trip]
    network, calendars = closed_network(outlook.frame, outlook.closures, trip)
    network = network.with_minutes({**outlook.known.minutes, **outlook.site.late_minutes})
    latest = LatestArrival(network, calendars, tasks, outlook.frame.downstream[trip], outlook)
    if latest.before_start(task, on + FURTHEST_MINUTES) < on:
        return NEVER
    too_early, in_time = on - 1, on + FURTHEST_MINUTES
    while in_time - too_early > 1:
        middle = (too_early + in_time) // 2
        if latest.before_start(task, middle) >= on:
            in_time = middle
        else:
            too_early = middle
    return in_time
