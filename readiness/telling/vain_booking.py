"""A booked coming of the rig to which the answer is no, in words: whom to tell before it leaves.

Invariant: a rig that is there, or comes on another day than the asked one, is never called off.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from readiness.facts.vocabulary import Gate
from readiness.telling.teller import Who

if TYPE_CHECKING:
    from readiness.gates.verdict import Verdicts
    from readiness.telling.case import Case


@dataclass(frozen=True, slots=True)
class BookedInVain:
    """A booked coming of the rig to which the answer is no: somebody has to tell the yard."""

    who: Who
    """Who sends the rig."""
    arrival: datetime
    is_about_to_leave: bool
    """The rig leaves its yard next; else only the promise of the day does not hold."""
    open_from: datetime | None
    """From when every surface of the trip is open as things stand; None without such a moment."""


def booked_in_vain(case: Case, verdicts: Verdicts) -> BookedInVain | None:
    """Return the booking to which the verdict says no; None if nobody has to be told."""
    known, trip = case.outlook.known, verdicts.trip
    booked = known.arrivals.get(trip)
    if booked != verdicts.on or verdicts.is_yes or verdicts.gate is Gate.BOARD:
        return None
    if trip in known.arrived:
        return None
    arrival, as_of = case.teller.moment(booked), case.outlook.seen.as_of
    assert arrival is not None  # noqa: S101  a booking is a real instant
    windows = [verdict.window for verdict in verdicts.surfaces.values() if verdict.counts]
    opens = max((as_of if window is None else window.opens for window in windows), default=as_of)
    last = min((window.last_start for window in windows if window is not None), default=opens)
    return BookedInVain(
        who=case.teller.who("dispatcher"),
        arrival=arrival,
        is_about_to_leave=verdicts.gate is not Gate.PROMISE,
        open_from=case.teller.moment(opens) if as_of < opens <= last else None,
    )
