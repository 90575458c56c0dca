"""What was seen, while it is being read into limits on the tasks of a site.

Invariant: of several statements that a task is finished the earliest date stands, and what shows
it is the strongest of them.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from readiness.facts.vocabulary import ApprovalResult, Rung
from readiness.schedule.state import Begun, Finished, State

if TYPE_CHECKING:
    from collections.abc import Mapping

    from readiness.diary.seen import Contested, Look, Seen
    from readiness.job.origin import Origin
    from readiness.schedule.depths_known import DepthKnown
    from readiness.site.calendars import Calendar
    from readiness.site.site import Site

RANK = {rung: rank for rank, rung in enumerate(Rung)}
"""Rungs of evidence by strength."""

PASSED = frozenset(
    {
        ApprovalResult.PASSED,
        ApprovalResult.PASSED_FOR_PART,
        ApprovalResult.MAY_COVER,
        ApprovalResult.ACCEPTED_OTHERWISE,
        ApprovalResult.NOT_REQUIRED,
    }
)
"""Results after which a surface may be covered."""


class Commitment(NamedTuple):
    """A booked or begun stay: the instants its first start may lie at."""

    early: int
    late: int
    agreed: bool


class Shown(NamedTuple):
    """What shows that a task is finished."""

    how: Rung
    told: str
    origin: Origin


class ShownOn(NamedTuple):
    """What shows that a task is finished in one of its surfaces."""

    at: int
    shown: Shown


class Known(NamedTuple):
    """What was seen, task by task and trip by trip."""

    state: State
    minutes: Mapping[int, int]
    """Minutes of corrections that a failed look has woken."""
    commitments: Mapping[str, Commitment]
    """By stay."""
    arrivals: Mapping[str, int]
    """Booked, or actual, arrival by trip; trips without one are not booked."""
    arrived: frozenset[str]
    looks: Mapping[int, Look]
    """The latest statement with a result by task of a look."""
    shown: Mapping[int, Shown]
    """What shows that a task is finished, by task."""
    shown_on: Mapping[int, Mapping[str, ShownOn]]
    """By task and surface: what an approval for part shows of work that is open elsewhere."""
    slots: Mapping[int, int]
    """By task of a look: the start of the slot that the office has confirmed."""
    contested: Mapping[int, Contested]
    """Tasks of which two people say different things, with both."""
    depths: Mapping[str, DepthKnown]
    """What depth readings say, by surface; surfaces without any are left out."""
    unreported: tuple[int, ...]
    """First open part of each stay that is past its booked end without a word."""


class Reader:
    """Collects the limits of one moment."""

    def __init__(self, site: Site, seen: Seen) -> None:
        """Begin with nothing known."""
        self.site = site
        self.seen = seen
        self.finished: dict[int, Finished] = {}
        self.begun: dict[int, Begun] = {}
        self.bookings: dict[int, int] = {}
        self.notices: dict[int, int] = {}
        self.never: set[int] = set()
        self.minutes: dict[int, int] = {}
        self.commitments: dict[str, Commitment] = {}
        self.looks: dict[int, Look] = {}
        self.shown: dict[int, Shown] = {}
        self.shown_on: dict[int, dict[str, ShownOn]] = {}
        self.slots: dict[int, int] = {}
        self.arrivals: dict[str, int] = {}
        self.arrived: set[str] = set()
        self.contested: dict[int, Contested] = {}
        self.depths: dict[str, DepthKnown] = {}

    def calendar(self, task: int) -> Calendar:
        """Return the calendar of a task; the job's for a task of the clock."""
        index = self.site.tasks[task].calendar
        return self.site.calendars[self.site.job_calendar if index is None else index]

    def finish(self, task: int, finish: int, shown: Shown | None = None) -> None:
        """Note a task as finished; of several statements the earliest one stands.

        What shows it is the strongest of them.
        """
        earlier = self.finished.get(task)
        if earlier is None or finish < earlier.finish:
            self.finished[task] = Finished(finish, finish)
            self.begun.pop(task, None)
        if shown is not None and (
            task not in self.shown or RANK[shown.how] > RANK[self.shown[task].how]
        ):
            self.shown[task] = shown
