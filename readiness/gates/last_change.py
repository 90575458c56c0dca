"""Until which day a change may be ordered without moving the spray.

What a change does is asked of the forecast itself: the same change, ordered now, tells which work
and which looks it opens again. Ordered later, all that begins later, and each office comes by its
notice from then on; work and looks that lie before then in the forecast are done over.

Invariant: ordered at the moment told a change leaves open by the arrival what would be; at the
opening of the next day of the job it does not.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import replace
from typing import TYPE_CHECKING

from readiness.diary.seen import Voided
from readiness.gates.windows import opens_of
from readiness.job.origin import Origin
from readiness.schedule.forward import forward
from readiness.schedule.notice import asking_of, correction_minutes
from readiness.schedule.outlook import outlook_of

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator

    from readiness.schedule.outlook import Outlook
    from readiness.site.site import ApprovalTasks

LATEST_RANK = 1 << 60
"""Behind every statement of a diary."""


class LastChange:
    """Asks the forecast when a change would come too late for one trip."""

    def __init__(self, outlook: Outlook, trip: str) -> None:
        """Find the moments that are tried: now, and the openings of the job's days."""
        self.outlook, self.trip = outlook, outlook.site.trips[trip]
        job = outlook.site.calendars[outlook.site.job_calendar]
        now, arrival = outlook.seen.as_of, outlook.known.arrivals[trip]
        self.moments = sorted({now, *(opens for opens, _ in job.spans(now, arrival))})
        self.arrival = arrival
        self.open = [s for s in self.trip.surfaces if self._opens(outlook, s) <= arrival]

    def _opens(self, outlook: Outlook, surface: str) -> int:
        return opens_of(outlook, self.trip, surface, frozenset())[0]

    def looks(self, surfaces: Collection[str]) -> Iterator[tuple[str, int | None]]:
        """Yield the looks before the foam at some surfaces, each with its last moment.

        Yields:
            Id of the look whose work is changed, and the last moment that leaves the trip where it
            is; None if it is too late already.
        """
        there = [
            approval
            for approval in self.outlook.site.approvals
            if approval.before_foam
            and approval.trip == self.trip.id
            and not approval.looks.keys().isdisjoint(surfaces)
        ]
        for changed in there:
            change = _Change(self.outlook, there, changed, surfaces)

            def moves(moment: int, change: _Change = change) -> bool:
                after = change.ordered_at(moment)
                return any(self._opens(after, surface) > self.arrival for surface in self.open)

            too_late = bisect_left(self.moments, True, key=moves)  # noqa: FBT003
            yield changed.id, self.moments[too_late - 1] if too_late else None


class _Change:
    """One change of the work that one look covers, on some surfaces."""

    def __init__(
        self,
        outlook: Outlook,
        looks: list[ApprovalTasks],
        changed: ApprovalTasks,
        surfaces: Collection[str],
    ) -> None:
        """Ask what it opens if it is ordered now."""
        self.outlook, self.looks, self.surfaces = outlook, looks, surfaces
        tasks = outlook.site.tasks
        self.covered = {task for surface in surfaces for task in changed.covers.get(surface, ())}
        # Without any work of its own it names the look, which opens none
        works = tuple(dict.fromkeys(tasks[task].stay for task in self.covered)) or (changed.id,)
        seen = outlook.seen
        voided = Voided(
            surfaces=tuple(surfaces),
            at=seen.as_of,
            what="",
            works=works,
            foam_only=False,
            origin=Origin("change"),
            rank=LATEST_RANK,
        )
        self.ordered = outlook_of(outlook.frame, replace(seen, voided=(*seen.voided, voided)))

    def ordered_at(self, moment: int) -> Outlook:
        """Return the forecast if it is ordered at a moment."""
        before, after = self.outlook, self.ordered.known
        minutes = dict(after.minutes)
        bookings, notices = dict(after.state.bookings), dict(after.state.notices)
        opened = before.known.state.finished.keys() - after.state.finished.keys()
        bookings |= {task: max(moment, bookings.get(task, moment)) for task in opened}
        site, finish = before.site, before.forecast.finish
        over = sum(before.network.minutes[t] for t in self.covered - opened if finish[t] <= moment)
        for approval in self.looks:
            asking = asking_of(site, approval.id)
            for surface in self.surfaces:
                look = approval.looks.get(surface)
                if look is None or (look not in opened and finish[look] > moment):
                    continue
                correction = approval.corrections[surface]
                minutes[correction] = correction_minutes(site, approval.id, correction) + over
                bookings[correction] = moment
                notices[look] = asking.earliest(moment)
        state = replace(after.state, bookings=bookings, notices=notices)
        network = self.ordered.network.with_minutes(minutes)
        return replace(
            self.ordered,
            known=after._replace(state=state, minutes=minutes),
            network=network,
            forecast=forward(network, self.ordered.calendars, state),
        )
