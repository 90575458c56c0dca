"""How much area has to leave a trip so that it is over in time.

A trip without a written length is sprayed in a time that grows with its area; so a release that is
some working minutes too late asks for so much less area, whichever surfaces that is.

Invariant: a trip from which less area is left than told here is released too late.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil
from typing import TYPE_CHECKING

from readiness.site.parts import surface_square_feet

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from readiness.job.job import Job
    from readiness.planning.trying import Attempt

SCALE = 100
"""Hundredths of a square foot, so that sums are whole."""

SLACK_MINUTES = 2
"""What rounding the time of each surface to minutes can make up."""


@dataclass(frozen=True, slots=True)
class TripArea:
    """The area of the surfaces of one trip, with what their spraying takes."""

    trip: str
    of_surface: Mapping[str, int]
    """Hundredths of a square foot, rounded up."""
    spray_minutes: int
    rigs: int
    """So many rigs spray them in that time; more of them need less, in proportion."""

    def of(self, surfaces: Iterable[str]) -> int:
        """Return the area of some surfaces."""
        return sum(self.of_surface.get(surface, 0) for surface in surfaces)

    def left(self, attempt: Attempt) -> int:
        """Return the area that an attempt has taken out of the trip."""
        assert attempt.outlook is not None  # noqa: S101  a forecast has refused it
        still = attempt.outlook.site.trips[self.trip].surfaces
        return sum(area for surface, area in self.of_surface.items() if surface not in still)

    def to_leave(self, attempt: Attempt, latest: int) -> int | None:
        """Return the least area, over all surfaces left, with which the arrival is in time.

        Args:
            attempt: A set with which the trip comes too late for something.
            latest: The latest arrival that would have been in time.

        Returns:
            None if rounding leaves open whether the attempt itself leaves so much.
        """
        assert attempt.outlook is not None  # noqa: S101  a forecast has refused it
        site = attempt.outlook.site
        trip = site.trips[self.trip]
        spans = site.calendars[site.spray_calendar].spans(latest, attempt.on)
        late = sum(min(shut, attempt.on) - max(opens, latest) for opens, shut in spans)
        sprays = sum(site.tasks[task].minutes for task in trip.sprays.values())
        most = trip.late_minutes - (trip.minutes - sprays) - late + SLACK_MINUTES
        everything = sum(self.of_surface.values())
        # The pace is rounded up to a minute in all; reckoned a minute faster it is never too slow
        rigs, pace = site.job.trips[self.trip].rigs, self.rigs * (self.spray_minutes - 1)
        allowed = ceil(most * rigs * everything / pace) if most > 0 else 0
        needed = everything - allowed
        return needed if needed > self.left(attempt) else None


def is_of_written_length(job: Job, trip: str) -> bool:
    """Say whether somebody wrote how long a trip lasts, whatever is sprayed in it."""
    row = job.trips.get(trip)
    return row is not None and row.lasts is not None


def area_of(base: Attempt, trip: str) -> TripArea | None:
    """Return the areas of a trip; None if its length is written, or too short to tell."""
    if base.outlook is None or trip not in base.outlook.site.trips:
        return None
    site = base.outlook.site
    if is_of_written_length(site.job, trip) or trip in base.outlook.known.arrived:
        return None
    sprays = site.trips[trip].sprays
    minutes = sum(site.tasks[task].minutes for task in sprays.values())
    if minutes <= len(sprays) + 1:
        return None
    areas = {s: ceil(SCALE * surface_square_feet(s, site.job)) for s in sprays}
    return TripArea(trip, areas, minutes, site.job.trips[trip].rigs)
