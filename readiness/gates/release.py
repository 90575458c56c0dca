"""What is still missing before a named person may release a trip's place.

Invariant: the clock alone never releases; foam of any kind starts everything anew.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from readiness.job.instants import shifted

if TYPE_CHECKING:
    from readiness.schedule.outlook import Outlook


@dataclass(frozen=True, slots=True)
class ReleaseGap:
    """One thing that is missing."""

    says: str
    until: int | None
    """The instant from which it is no longer missing, if only the clock is."""


def release_gaps(
    outlook: Outlook, trip: str, at: int, *, residents: bool = False
) -> tuple[ReleaseGap, ...]:
    """Return what is missing for a release at an instant; nothing means it may be given."""
    news = outlook.seen.trips.get(trip)
    tasks = outlook.site.trips[trip]
    if news is None or news.arrived is None:
        return (ReleaseGap("nobody has noted that the rig arrived", None),)
    gaps = []
    if news.last_foam is None:
        gaps.append(ReleaseGap("no entry says when the last foam was", None))
    else:
        minutes = tasks.residents_minutes if residents else tasks.keep_out_minutes
        earliest = shifted(news.last_foam, minutes)
        if at < earliest:
            hours = minutes / 60
            gaps.append(ReleaseGap(f"{hours:g} h since the last foam are not over", earliest))
    if news.cleaned is None:
        gaps.append(ReleaseGap("no entry says that the crew has cleaned up since", None))
    if news.ventilated is None:
        gaps.append(ReleaseGap("no entry says that fans have run since", None))
    elif not news.ventilated:
        gaps.append(ReleaseGap("the ventilation failed", None))
    return tuple(gaps)
