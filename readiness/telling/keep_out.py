"""From when and until when nobody may be inside, and what a release still lacks.

Invariant: the clock only says when a release may be asked for; a named person gives it.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from readiness.gates.release import release_gaps
from readiness.job.instants import shifted
from readiness.schedule.outlook import late_end

if TYPE_CHECKING:
    from readiness.telling.case import Case


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


def keep_out_line(case: Case, trip: str, on: int) -> KeepOutLine | None:
    """Return the keep-out of a trip that arrives at an instant; None once it is released."""
    tasks = case.site.trips[trip]
    news = case.outlook.seen.trips.get(trip)
    if news is not None and news.released is not None:
        return None
    running = trip in case.outlook.known.arrived
    arrival = case.outlook.known.arrivals[trip] if running else on
    end = late_end(tasks, case.outlook.frame, arrival, news.last_foam if news else None)
    from_ = case.teller.moment(arrival)
    assert from_ is not None  # noqa: S101  an arrival is a real instant
    return KeepOutLine(
        from_=from_,
        not_before=case.teller.moment(end),
        residents_not_before=case.teller.moment(
            shifted(end, tasks.residents_minutes - tasks.keep_out_minutes)
        ),
        hours=round(tasks.keep_out_minutes / 60, 2),
        usual_figure=tasks.keep_out_is_default,
        running=running,
        missing=tuple(gap.says for gap in release_gaps(case.outlook, trip, case.outlook.seen.as_of))
        if running
        else (),
    )
