"""What one arrival of the rig means to others: the keep-out, and a booking that is in vain.

Invariant: a keep-out ends by a named person; the clock only says when that may be asked for.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from readiness.facts.vocabulary import Gate
from readiness.gates.release import release_gaps
from readiness.job.instants import shifted
from readiness.schedule.outlook import late_end
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


@dataclass(frozen=True, slots=True)
class KeepOutLine:
    """From arrival until a named person releases the place."""

    from_: datetime
    not_before: datetime | None
    """The clock only says when release may be asked for."""
    residents_not_before: datetime | None
    """The same for residents, whom a named person lets in by a word of its own."""
    hours: float
    usual_figure: bool
    """No product sheet is entered; the usual planning figure stands."""
    running: bool
    missing: tuple[str, ...]
    """What is still missing before a named person may release a running one."""


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


def keep_out_line(case: Case, trip: str, on: int) -> KeepOutLine | None:
    """Return the keep-out of an arrival; None once a named person has released the place."""
    tasks = case.site.trips[trip]
    news = case.outlook.seen.trips.get(trip)
    if news is not None and news.released is not None:
        return None
    running = trip in case.outlook.known.arrived
    arrival = case.outlook.known.arrivals[trip] if running else on
    end = late_end(tasks, case.outlook.frame, arrival, news.last_foam if news else None)
    from_ = case.teller.moment(arrival)
    assert from_ is not None  # noqa: S101  an arrival is a real instant
    gaps = release_gaps(case.outlook, trip, case.outlook.seen.as_of) if running else ()
    return KeepOutLine(
        from_=from_,
        not_before=case.teller.moment(end),
        residents_not_before=case.teller.moment(
            shifted(end, tasks.residents_minutes - tasks.keep_out_minutes)
        ),
        hours=round(tasks.keep_out_minutes / 60, 2),
        usual_figure=tasks.keep_out_is_default,
        running=running,
        missing=tuple(gap.says for gap in gaps),
    )
