"""What calendars of others say, as plain values, before anybody has judged it.

Invariant: nothing here was checked against the job, and nothing of it is true only because a file
says so.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True)
class Answer:
    """A reply to an invitation, or another time that somebody proposes."""

    line: int
    method: str
    """`REPLY` or `COUNTER`."""
    uid: str
    sequence: int
    stamp: datetime
    organizer: str
    """Whom it names as the one who invited."""
    attendees: tuple[str, ...]
    status: str
    comment: str
    proposed: tuple[datetime, datetime] | None = None


@dataclass(frozen=True, slots=True)
class Busy:
    """A time at which somebody has something else to do."""

    line: int
    uid: str
    """Empty where only busy and free are told."""
    title: str
    starts: datetime
    ends: datetime


@dataclass(frozen=True, slots=True)
class Heard:
    """Everything that one file says."""

    answers: tuple[Answer, ...] = ()
    busy: tuple[Busy, ...] = ()
    losses: tuple[tuple[int, str], ...] = ()
    """Lines that were left out, and why; line 0 is the whole file."""
    outside: int = 0
    """Events that take no time in the days of the job."""


NOTHING_HEARD = Heard()
