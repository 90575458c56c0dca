"""What the pages of a job are written from, and which words must not be printed on them.

Invariant: whatever people wrote freely and looks like health, a way through a door or money is
named here, so that no page shows it.
"""

from __future__ import annotations

import re
from dataclasses import fields, is_dataclass, replace
from functools import cache
from typing import TYPE_CHECKING, TypeVar, cast

from readiness.exchange.private_words import looks_private
from readiness.facts.vocabulary import Gate
from readiness.pages.paper import Answers
from readiness.questions.calls import calls
from readiness.questions.check import check
from readiness.questions.foam import foam
from readiness.questions.letters import letters
from readiness.questions.particulars import particulars
from readiness.questions.record import record
from readiness.questions.when import when

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.diary.kept import Picture
    from readiness.telling.case import Case, On


LEFT_OUT = "(call for this)"
"""Stands for words that look private."""


def answers_of(
    case: Case, on: On = None, trip: str = "", pictures: Iterable[Picture] = ()
) -> Answers:
    """Return the answers that the pages of a job are written from, without private words.

    Args:
        case: The job at one moment.
        on: A day or moment at the site.
        trip: Id of the trip; empty means the one that the day names.
        pictures: Those that the diary names.
    """
    private = sorted({text for text in _free_texts(case) if looks_private(text)}, key=len)
    pattern = re.compile("|".join(re.escape(text) for text in reversed(private)) or "(?!)")
    kept = tuple(pictures)

    def clean(answer: T) -> T:
        return cast("T", _without(answer, pattern)) if private else answer

    return Answers(
        check=clean(now := check(case, on, None, trip)),
        board=clean(check(case, None, Gate.BOARD, now.trip)),
        calls=clean(calls([case])),
        letters=clean(letters(case)),
        particulars=clean(particulars(case, on, trip)),
        foam=cache(lambda: clean(foam(case, on, trip))),
        record=cache(lambda: clean(record(case, kept))),
        when=cache(lambda: clean(when(case))),
    )


T = TypeVar("T")


def _without(value: object, pattern: re.Pattern[str]) -> object:
    """Return a copy of an answer in which every text has its private words left out."""
    if isinstance(value, str):
        return pattern.sub(LEFT_OUT, value)
    if isinstance(value, tuple):
        return tuple(_without(part, pattern) for part in value)
    if is_dataclass(value) and not isinstance(value, type):
        inside = {f.name: _without(getattr(value, f.name), pattern) for f in fields(value)}
        return replace(value, **inside)
    return value


def _free_texts(case: Case) -> Iterable[str]:
    """Yield whatever people wrote freely and an answer may repeat."""
    job, seen = case.site.job, case.outlook.seen
    yield from (job.name, job.site.address, job.site.contact)
    yield from (row.name for row in job.trades.values())
    yield from (row.name for row in job.offices.values())
    yield from (row.name for row in job.rooms.values())
    yield from (row.name for row in job.surfaces.values())
    yield from (row.name for row in job.obstructions.values())
    yield from (stay.title for stay in case.site.stays.values())
    yield from (look.correct for looks in seen.looks.values() for look in looks)
    yield from (look.by for looks in seen.looks.values() for look in looks)
    yield from (slip.cause for slip in seen.slips)
    yield from (stop.reason for stop in seen.stops)
    yield from (waiver.reason for waiver in seen.waivers)
    yield from (voided.what for voided in seen.voided)
    yield from (both.told for both in seen.contested.values())
    yield from (said.reason for said in seen.confirmations)
    yield from (void.cause for void in seen.reading_voids)
