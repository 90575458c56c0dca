"""What must be asked or told before an arrival, of whom, and until when.

Invariant: a question that better evidence has answered is not asked again.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.facts.vocabulary import Effect, Role
from readiness.gates.due import DECIDING, CallKind, DueCall, arrival_of
from readiness.gates.due_looks import looks_due
from readiness.gates.due_questions import questions_due
from readiness.gates.due_work import things_due, work_due
from readiness.job.instants import is_dated

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.diary.seen import Confirmation
    from readiness.gates.verdict import Judge
    from readiness.schedule.outlook import Outlook

CONFIRMED_AHEAD_HOURS = 48


def calls_due(outlook: Outlook, judge: Judge, trip: str) -> tuple[DueCall, ...]:
    """Return what must be asked now for one trip, and what is waited for, by cut-off.

    For a trip that has no date at all nothing but that can be asked about.
    """
    arrival = arrival_of(outlook, judge, trip)
    found = [*work_due(outlook, trip, arrival), *things_due(outlook, judge, trip, arrival)]
    if is_dated(arrival):
        found += questions_due(outlook, judge, trip, arrival)
        found += looks_due(outlook, trip, arrival)
        found += _confirmation(outlook, trip)
    return tuple(
        sorted(found, key=lambda call: (call.until, DECIDING[call.decides], call.code, call.places))
    )


def _confirmation(outlook: Outlook, trip: str) -> Iterable[DueCall]:
    """Yield the dispatcher's word, wanted two days ahead of a booked arrival."""
    arrival = outlook.known.arrivals.get(trip)
    if arrival is None or trip in outlook.known.arrived:
        return
    until = arrival - CONFIRMED_AHEAD_HOURS * 60
    if outlook.seen.as_of < until - 1440 or word_of_arrival(outlook, trip) is not None:
        return
    yield DueCall(
        kind=CallKind.CONFIRM,
        code="confirmation",
        whom=Role.DISPATCHER.value,
        about="Will the rig come as agreed?",
        places=(),
        surfaces=outlook.site.trips[trip].surfaces,
        until=until,
        overdue=until < outlook.seen.as_of,
        decides=Effect.STOPS_TRIP,
        trip=trip,
    )


def word_of_arrival(outlook: Outlook, trip: str) -> Confirmation | None:
    """Return the dispatcher's last word about an arrival, not about one that has slipped since."""
    moved = max((slip.at for slip in outlook.seen.slips if slip.what == trip), default=None)
    words = [
        word
        for word in outlook.seen.confirmations
        if word.trip == trip and (moved is None or word.at >= moved)
    ]
    return words[-1] if words else None
