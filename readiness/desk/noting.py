"""Writes into the diary of a job, and hears what lines for it mean.

Invariant: an entry is refused whole, with what is missing, or written whole.
"""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

from readiness.desk.drafting import Draft
from readiness.exchange.note_listener import Listener
from readiness.job.durations import Duration
from readiness.job.instants import moment_of
from readiness.job.words import understand
from readiness.job.written import MisreadError
from readiness.site.answers import questions_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readiness.desk.desk import Desk
    from readiness.desk.statement import Noted, Statement, Writer


def listener_of(desk: Desk) -> Listener:
    """Return what is needed to understand lines for the diary of a job."""
    case = desk.case()
    site = case.site
    return Listener(
        job=site.job,
        facts=site.facts,
        works=tuple(site.stays),
        approvals=tuple(site.approval_kinds),
        requirements=tuple(dict.fromkeys(r.code for r in site.requirements if r.task is None)),
        trips=tuple(site.job.trips) or tuple(site.trips),
        read_when=lambda text: when_said(desk, text),
        later_by=lambda what, text: _later_by(desk, what, text),
        questions=(*questions_of(site), *site.stays),
        names=site.places.names,
    )


def when_said(desk: Desk, text: str) -> date | datetime:
    """Return the day or moment that words mean at the desk's clock.

    Raises:
        MisreadError: They have no reading, or two.
    """
    said = understand(text, moment_of(desk.clock(), desk.zone), desk.working_day)
    return datetime.combine(said.day, said.at) if said.at is not None else said.day


def _later_by(desk: Desk, what: str, text: str) -> date | datetime:
    """Return the booking of a work or trip moved by working days, calendar days or hours."""
    case = desk.case()
    if text.split() and text.split(maxsplit=1)[0][:4].isdigit() and "-" in text:
        return when_said(desk, text)
    duration = Duration.parse(text)
    booked = _booked(desk, what)
    if booked is None:
        message = f"{what} has no date to move; write the new one instead"
        raise MisreadError(text, "a day", message)
    if duration.clock or not duration.days:
        minutes = duration.minutes(case.site.calendars[case.site.job_calendar].day_minutes)
        return booked + timedelta(minutes=minutes)
    day = desk.working_day(booked.date(), int(duration.days))
    return datetime.combine(day, booked.time())


def _booked(desk: Desk, what: str) -> datetime | None:
    outlook = desk.case().outlook
    if what in outlook.known.arrivals:
        return moment_of(outlook.known.arrivals[what], desk.zone).replace(tzinfo=None)
    commitment = outlook.known.commitments.get(what)
    if commitment is None:
        return None
    return moment_of(commitment.late, desk.zone).replace(tzinfo=None)


def note(
    desk: Desk,
    statements: Sequence[Statement],
    writer: Writer | None = None,
    *,
    via: str = "",
) -> Noted:
    """Write what is stated, all of it or nothing, and return it with the job as it is now.

    Args:
        desk: The open job.
        statements: One per entry, in order.
        writer: In whose file they stand; None means that of the first author.
        via: How they reached the diary.

    Raises:
        NoteRefused: An author may not say this, or something is missing first.
        JobFileError: The diary can't be written.
    """
    draft = Draft(desk, writer or statements[0].author, via)
    for statement in statements:
        draft.add(statement)
    return draft.write()
