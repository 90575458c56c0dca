"""What the asking commands share: the job and the two instants.

Invariant: words with two readings are refused with both, and what was understood is in the answer.
"""

from __future__ import annotations

from datetime import date, datetime, time
from pathlib import Path
from typing import TYPE_CHECKING

import click

from readiness.desk.desk import Desk, open_desk
from readiness.job.instants import instant_of_local, moment_of
from readiness.job.written import MisreadError

if TYPE_CHECKING:
    from readiness.telling.case import Case, On


def open_case(job: Path, as_of: str | None) -> tuple[Desk, Case]:
    """Return the desk of a job and its case at the moment asked about.

    Raises:
        JobFileError: The job can't be used.
        click.UsageError: The words for the moment have no reading, or two.
    """
    desk = opened(job, as_of, looks_back=True)
    return desk, desk.case()


def opened(job: Path, as_of: str | None, *, looks_back: bool = False) -> Desk:
    """Return the desk of a job with its clock where words put it; tell what is doubtful about it.

    Args:
        job: A job file or its folder.
        as_of: Words for the moment; None means now.
        looks_back: A moment that has passed is asked about, as it was then; else the clock of a
            script stands there.

    Raises:
        JobFileError: The job can't be used.
        click.UsageError: The words for the moment have no reading, or two.
    """
    desk, doubted = opened_with_doubts(job, as_of, looks_back=looks_back)
    for doubt in doubted:
        click.echo(doubt, err=True)
    return desk


def opened_with_doubts(
    job: Path, as_of: str | None, *, looks_back: bool = False
) -> tuple[Desk, tuple[str, ...]]:
    """Return the desk of a job as `opened` does, and what is doubtful about it untold."""
    desk = open_desk(job)
    moved = desk_at(desk, as_of)
    if desk.diary.history is None and not desk.diary.problems:
        return moved, ()
    from readiness.desk.looking_back import doubts, looking_back

    if looks_back and as_of is not None:
        moved = looking_back(desk, moved.clock())
    return moved, tuple(doubts(moved))


def desk_at(desk: Desk, as_of: str | None) -> Desk:
    """Return the desk with its clock where words put it; a day alone is its first minute.

    Raises:
        click.UsageError: The words have no reading, or two.
    """
    if as_of is None:
        return desk
    said = _understood(as_of, desk, desk.clock(), "--as-of")
    moment = said if isinstance(said, datetime) else datetime.combine(said, time())
    return desk.at(instant_of_local(moment, desk.zone))


def asked_on(words: str | None, desk: Desk, case: Case) -> On:
    """Return the day or moment that words mean, seen from the moment of the question.

    Raises:
        click.UsageError: The words have no reading, or two.
    """
    if words is None:
        return None
    return _understood(words, desk, case.outlook.seen.as_of, "--on")


def _understood(words: str, desk: Desk, as_of: int, option: str) -> date | datetime:
    from readiness.job.words import understand

    try:
        said = understand(words, moment_of(as_of, desk.zone), desk.working_day)
    except MisreadError as error:
        message = f"{option}: {error}"
        raise click.UsageError(message) from None
    return datetime.combine(said.day, said.at) if said.at is not None else said.day
