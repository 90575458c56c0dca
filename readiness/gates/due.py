"""One thing to ask or tell somebody before an arrival, and when it is asked again.

Invariant: whoever has answered is left alone until the next time to ask; an open promise is waited
for until its time.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from readiness.facts.vocabulary import Effect, Rung
from readiness.gates.evidence import answer_as_evidence
from readiness.job.instants import NEVER, is_dated, shifted
from readiness.job.places import surfaces_of
from readiness.site.answers import codes_answered

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.gates.evidence import Evidence
    from readiness.gates.verdict import Judge
    from readiness.schedule.outlook import Outlook


class CallKind(StrEnum):
    """Why somebody is called."""

    QUESTION = "question"
    NOT_REPORTED = "not reported"
    REQUEST = "ask for a look"
    LOOK = "has it passed"
    WORK = "will it be done"
    CLEAR = "take it out of the way"
    CONFIRM = "confirm"


class Heard(StrEnum):
    """How far what was said of one thing settles, for now, that nobody need be asked."""

    ASK = "ask"
    WAIT = "wait"
    """Somebody has promised it, and the time is not over."""
    LEAVE = "leave"
    """Somebody has answered; the next time to ask has not come."""


DECIDING = {effect: rank for rank, effect in enumerate(Effect)}
"""Effects by weight: what stops the trip comes first."""

ASKED_DAYS = (7, 2, 1)
"""How many days before the arrival work and things in the way are asked about, first time first."""


@dataclass(frozen=True, slots=True)
class DueCall:
    """One thing to ask somebody."""

    kind: CallKind
    code: str
    whom: str
    """Id of a trade, an office or a role."""
    about: str
    """The question, or what is asked for."""
    places: tuple[str, ...]
    surfaces: tuple[str, ...]
    until: int
    """Cut-off; `EARLIER` if it has passed for this arrival, `NEVER` if there is none."""
    overdue: bool
    decides: Effect
    trip: str
    task: int | None = None
    said: Evidence | None = None
    """What was said last and does not settle it."""
    wants: Rung | None = None
    """The weakest rung that would settle it, where somebody has only said so."""
    waits_until: int | None = None
    """Until when it is waited for, since somebody has promised it; None if it is asked now."""


def arrival_of(outlook: Outlook, judge: Judge, trip: str) -> int:
    """Return the arrival that everything is asked for: booked, else when all its surfaces open.

    `NEVER` if something stands in the way that nobody has dated.
    """
    booked = outlook.known.arrivals.get(trip)
    if booked is not None:
        return booked
    tasks = outlook.site.trips[trip]
    if any(outlook.forecast.start[spray] == NEVER for spray in tasks.sprays.values()):
        return NEVER
    windows = (judge.windows[surface] for surface in tasks.surfaces)
    return max((outlook.forecast.start[tasks.set_up], *(window.opens for window in windows)))


def asked_at(arrival: int) -> tuple[int, ...]:
    """Return when work and things in the way are asked about before an arrival."""
    return tuple(shifted(arrival, -days * 1440) for days in ASKED_DAYS)


def is_near(outlook: Outlook, arrival: int, days: int = ASKED_DAYS[0]) -> bool:
    """Say whether an arrival has a date, and lies no more than so many days off."""
    return is_dated(arrival) and outlook.seen.as_of >= shifted(arrival, -days * 1440)


def heard(said: Evidence | None, times: Iterable[int], as_of: int) -> Heard:
    """Return what an answer, whatever it was, means for asking again.

    What two people say differently is asked at once, and so is a promise whose time is over.
    """
    if said is None or said.contested:
        return Heard.ASK
    if said.promised_by is not None:
        return Heard.WAIT if as_of <= said.promised_by else Heard.ASK
    again = min((when for when in times if when > said.at), default=NEVER)
    return Heard.LEAVE if as_of < again else Heard.ASK


def broken_promise(said: Evidence | None, as_of: int) -> int | None:
    """Return the time of a promise that is over; None if there is none."""
    if said is None or said.promised_by is None or said.promised_by >= as_of:
        return None
    return said.promised_by


def said_of(outlook: Outlook, code: str, surfaces: Iterable[str]) -> Evidence | None:
    """Return the last answer about a work or a thing on some of its surfaces."""
    site, wanted = outlook.site, set(surfaces)
    found = [
        answer_as_evidence(answer, site)
        for answer in outlook.seen.answers
        if code in codes_answered(answer.code, site)
        and not wanted.isdisjoint(surfaces_of(answer.places, site.job))
    ]
    return max(found, key=lambda evidence: evidence.at, default=None)
