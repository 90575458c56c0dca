"""What is written under `seen`, as a line for the diary.

Invariant: a cell says what a line in the forms of `note` could say, or it is refused.
"""

from __future__ import annotations

import re
from contextlib import suppress
from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING

from readiness.exchange.note_listener import NoteRefused
from readiness.exchange.note_site_forms import RESULTS
from readiness.exchange.note_words import note_fields
from readiness.job.places import PlaceError
from readiness.job.written import shown
from readiness.questions.dates import RowKind

if TYPE_CHECKING:
    from readiness.exchange.note_listener import Fields, Listener
    from readiness.exchange.spreadsheet_days import DayReader
    from readiness.questions.dates import DateRow

_COMMA = re.compile(r"(?<=[0-9]),(?=[0-9]+ ?(?:%|d\b|h\b|min\b))")
_SHARE = re.compile(r"(?:begun )?([0-9]+(?:\.[0-9]+)?) ?%(.*)")
_WORK = {"done": "done", "not done": "not-done", "not-done": "not-done", "begun": "begun"}
_PULL = {"pulled": "pulled"}
_APPROVAL = {result.value: verb for verb, result in RESULTS.items()} | {
    verb: verb for verb in RESULTS
}
_WORDS = {RowKind.WORK: _WORK, RowKind.PULL: _PULL, RowKind.APPROVAL: _APPROVAL}
MOST_WORDS_OF_A_DAY = 5


@dataclass(frozen=True, slots=True)
class SeenCell:
    """What a cell of `seen` says."""

    fields: Fields
    at: date | datetime | None
    """When it was so; None where the cell does not say."""


def seen_cell(text: str, about: DateRow, listener: Listener, days: DayReader) -> SeenCell:
    """Return what a cell says of a row.

    Raises:
        NoteRefused: It says nothing that can be noted of such a row.
    """
    words = _WORDS.get(about.kind)
    if words is None:
        message = "what was seen of it is not written here"
        raise NoteRefused(message, "tell it with: readiness note")
    said, at = _without_day(_COMMA.sub(".", " ".join(text.split())), days)
    share = _SHARE.fullmatch(said.casefold())
    if share is not None and about.kind is RowKind.WORK:
        places = share[2].strip()
        fields = _fields(["begun", about.name, *places.split()], listener)
        return SeenCell({**fields, "share": f"{share[1]} %"}, at)
    folded = said.casefold()
    for word in sorted(words, key=len, reverse=True):
        if folded == word or folded.startswith((f"{word} ", f"{word}: ")):
            rest = said[len(word) :].lstrip(": ")
            return SeenCell(_fields([words[word], about.name, *rest.split()], listener), at)
    message = f"{shown(text)!r} is nothing that can be seen of it"
    known = ", ".join(dict.fromkeys(words))
    raise NoteRefused(message, f"write one of: {known}; a day and places may follow")


def _fields(words: list[str], listener: Listener) -> Fields:
    try:
        return note_fields(words, listener)
    except PlaceError as error:
        raise NoteRefused(str(error)) from None


def _without_day(text: str, days: DayReader) -> tuple[str, date | datetime | None]:
    """Return the words before a day at the end, and the day."""
    words = text.split()
    for count in range(min(len(words) - 1, MOST_WORDS_OF_A_DAY), 0, -1):
        tail = " ".join(words[-count:])
        if not any(sign.isdecimal() for sign in tail) or "%" in tail:
            continue
        with suppress(ValueError):
            told = days.text(tail)
            rest = " ".join(words[:-count])
            at = datetime.fromisoformat(told) if ":" in told else date.fromisoformat(told)
            return rest.removesuffix(" on"), at
    return text, None
