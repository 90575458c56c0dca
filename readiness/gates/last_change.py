"""Until when a change may be ordered without moving the spray.

A change voids the looks at what it opens: its work takes the time of a correction again, and the
office comes again, by its notice. The request is taken to go out with the change.

Invariant: a change ordered a minute after the answer lets some look come after the arrival.
"""

from __future__ import annotations

from bisect import bisect_left
from typing import TYPE_CHECKING

from readiness.job.durations import Duration
from readiness.job.instants import NEVER, is_dated
from readiness.schedule.forward import calendar_at
from readiness.schedule.notice import earliest_slot

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.schedule.outlook import Outlook
    from readiness.site.site import ApprovalTasks

LONGEST_NOTICE_DAYS = 90
"""A request further ahead than this is not looked for."""

MINUTES_A_DAY = 1440


def last_change(outlook: Outlook, surfaces: Iterable[str], trip: str) -> tuple[int, str]:
    """Return the last instant for a change to some surfaces of a trip, and the look that sets it.

    Returns:
        `NEVER` and an empty name where the trip has no arrival, or no look stands before the foam.
    """
    arrival = outlook.known.arrivals.get(trip)
    if arrival is None:
        return NEVER, ""
    found = [
        (_last_for(outlook, approval, surface, arrival), approval.id)
        for approval in outlook.site.approvals
        if approval.before_foam and approval.trip == trip
        for surface in surfaces
        if surface in approval.looks
    ]
    return min(found, default=(NEVER, ""))


def _last_for(outlook: Outlook, approval: ApprovalTasks, surface: str, arrival: int) -> int:
    site, network = outlook.site, outlook.network
    look, correction = approval.looks[surface], approval.corrections[surface]
    calendar = calendar_at(outlook.calendars, network.calendar[look])
    slot, _ = calendar.latest(NEVER, arrival, network.minutes[look])
    if not is_dated(slot):
        return slot
    index = site.tasks[correction].calendar
    takes = Duration.parse(site.approval_kinds[approval.id].correction_takes)
    minutes = takes.minutes(site.calendars[index].day_minutes) if index is not None else 0
    mending = calendar_at(outlook.calendars, network.calendar[correction])
    begun, _ = mending.latest(NEVER, slot, minutes)
    return min(begun, _last_request(outlook, approval, slot))


def _last_request(outlook: Outlook, approval: ApprovalTasks, slot: int) -> int:
    """Return the last minute at which a request still brings the office in a slot."""
    site = outlook.site
    name = site.office_of[approval.id]
    row = site.job.offices.get(name)
    notice = (row.notice if row else None) or Duration.parse(
        site.approval_kinds[approval.id].notice
    )
    cut_off = row.cut_off if row else ""
    office = site.calendars[site.office_calendar[name]]
    minutes = range(slot - LONGEST_NOTICE_DAYS * MINUTES_A_DAY, slot + 1)

    def comes_later(at: int) -> bool:
        return earliest_slot(at, notice, cut_off, office) > slot

    return minutes[max(0, bisect_left(minutes, True, key=comes_later) - 1)]  # noqa: FBT003
