"""Which words of a job must not leave it, and answers without them.

Invariant: whatever people wrote freely and looks like health, a way through a door or money is left
out of an answer that others read: of pages, of calendars and of short messages.
"""

from __future__ import annotations

import re
from dataclasses import fields, is_dataclass, replace
from typing import TYPE_CHECKING, TypeVar, cast

from readiness.exchange.private_words import looks_private

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.diary.sent import SentState
    from readiness.telling.case import Case

LEFT_OUT = "(call for this)"
"""Stands for words that look private."""

T = TypeVar("T")


class PrivateWords:
    """The private words of one case."""

    def __init__(self, case: Case, sent: SentState | None = None) -> None:
        """Look for them; what was sent may hold words that the job no longer has."""
        texts = [*_free_texts(case), *_sent_texts(sent)]
        self._instead = {text: LEFT_OUT for text in texts if looks_private(text)}
        places = [case.site.job.site.address]
        places += [entry.place for entry in sent.entries.values()] if sent is not None else []
        self._instead |= {text: _place(text) for text in places if text in self._instead}
        longest_first = sorted(self._instead, key=len, reverse=True)
        self._pattern = re.compile("|".join(re.escape(text) for text in longest_first))

    def without(self, answer: T) -> T:
        """Return an answer in which every text has its private words left out."""
        return cast("T", self._without(answer)) if self._instead else answer

    def _without(self, value: object) -> object:
        if isinstance(value, str):
            return self._pattern.sub(lambda found: self._instead[found[0]], value)
        if isinstance(value, tuple):
            return tuple(self._without(part) for part in value)
        if is_dataclass(value) and not isinstance(value, type):
            inside = {f.name: self._without(getattr(value, f.name)) for f in fields(value)}
            return replace(value, **inside)
        return value


def _place(address: str) -> str:
    """Return an address without the parts between commas that look private."""
    kept = [part.strip() for part in address.split(",") if not looks_private(part)]
    told = ", ".join(kept)
    return LEFT_OUT if looks_private(told) or not told else f"{told}, {LEFT_OUT}"


def _sent_texts(sent: SentState | None) -> Iterable[str]:
    for entry in sent.entries.values() if sent is not None else ():
        yield from (entry.short, entry.place)


def _free_texts(case: Case) -> Iterable[str]:
    """Yield whatever people wrote freely and an answer may repeat."""
    job, seen = case.site.job, case.outlook.seen
    yield from (job.name, job.site.address, job.site.address.partition(",")[0], job.site.contact)
    yield from (row.name for row in job.trades.values())
    yield from (row.name for row in job.offices.values())
    yield from (condition for row in job.offices.values() for condition in row.conditions)
    yield from (row.name for row in job.rooms.values())
    yield from (row.name for row in job.surfaces.values())
    yield from (row.name for row in job.obstructions.values())
    yield from (row.name for row in job.trips.values())
    yield from (stay.title for stay in case.site.stays.values())
    yield from (look.correct for looks in seen.looks.values() for look in looks)
    yield from (look.by for looks in seen.looks.values() for look in looks)
    yield from (slip.cause for slip in seen.slips)
    yield from (stop.reason for stop in seen.stops)
    yield from (waiver.reason for waiver in seen.waivers)
    yield from (voided.what for voided in seen.voided)
    yield from (both.told for both in seen.contested.values())
    yield from (said.reason for said in seen.confirmations)
    yield from (said.by for said in seen.confirmations)
    yield from (void.cause for void in seen.reading_voids)
