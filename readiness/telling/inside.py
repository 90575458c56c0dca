"""Who is booked inside from a trip's arrival to its release.

Invariant: everything booked or begun inside the zone in that time is told, whether or not it
stops the trip; nobody unprotected may be inside.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from readiness.schedule.outlook import closable, late_end

if TYPE_CHECKING:
    from readiness.telling.case import Case


@dataclass(frozen=True, slots=True)
class InsideLine:
    """One party that must be told to stay out."""

    title: str
    who: str
    phone: str
    from_: datetime | None


def inside_lines(case: Case, trip: str, arrival: int) -> tuple[InsideLine, ...]:
    """Return the committed inside work of the zone between arrival and release, by date."""
    outlook, site, teller = case.outlook, case.site, case.teller
    tasks = site.trips[trip]
    news = outlook.seen.trips.get(trip)
    end = late_end(tasks, outlook.frame, arrival, news.last_foam if news else None)
    found: list[tuple[int, int]] = []
    for name, commitment in outlook.known.commitments.items():
        parts = site.stay_tasks[name].parts
        open_parts = [part for part in parts if part not in outlook.known.state.finished]
        if not open_parts or not closable(site.tasks[open_parts[0]], site):
            continue
        if site.tasks[open_parts[0]].place not in tasks.zone:
            continue
        minutes = sum(site.tasks[part].minutes for part in open_parts)
        calendar = site.tasks[open_parts[0]].calendar
        if calendar is None:
            continue
        starts = commitment.late
        finishes = outlook.frame.calendars[calendar].earliest(starts, starts, minutes)[1]
        if starts < end and finishes > arrival:
            found.append((starts, open_parts[0]))
    return tuple(
        InsideLine(
            title=teller.task(part),
            who=teller.who_does(part).name,
            phone=teller.who_does(part).phone,
            from_=teller.moment(starts),
        )
        for starts, part in sorted(found)
    )
