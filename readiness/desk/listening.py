"""Hears a line for the diary while it is being typed: what it says so far, and what may follow.

Invariant: what is read here is read by the same way as what is written, and nothing is written.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from readiness.desk.completing import next_words, options, verbs
from readiness.desk.drafting import Draft
from readiness.desk.names import names_of
from readiness.desk.noting import listener_of, when_said
from readiness.desk.proposing import Wanted
from readiness.desk.statement import Statement
from readiness.exchange.message import words_of
from readiness.exchange.note_listener import NoteRefused
from readiness.exchange.note_words import FORMS, note_fields
from readiness.job.written import MisreadError
from readiness.pages.entry_text import entry_text

if TYPE_CHECKING:
    from readiness.desk.desk import Desk
    from readiness.desk.statement import Writer

OF_THE_ENTRY = ("--seen", "--replaces")
"""Options of `note` that belong to the entry and not to its form."""


@dataclass(frozen=True, slots=True)
class Heard:
    """What a line says so far."""

    form: str
    """How a line with this verb is written; empty before there is one."""
    says: str
    """What such a line means."""
    reading: str
    """The entry it would be; empty if it is none yet."""
    refused: str
    """Why it is none yet; empty if it is one, and before anything is typed."""
    following: tuple[tuple[str, str], ...]
    """Words that may stand next, or may end the one begun, each with what it means."""


def heard(desk: Desk, text: str, writer: Writer, replaces: str = "") -> Heard:
    """Return what a line says so far."""
    words = words_of(text)
    form = FORMS.get(words[0].casefold()) if words else None
    reading = refused = ""
    if words:
        try:
            reading = _reading(desk, text, writer, replaces)
        except (NoteRefused, MisreadError) as error:
            refused = str(error)
    return Heard(
        form=form.usage if form else "",
        says=form.says if form else "",
        reading=reading,
        refused=refused,
        following=tuple(_following(desk, text)),
    )


def wanted_of(text: str, replaces: str = "") -> Wanted:
    """Return what a typed line wants written; an option without its value stays in the line."""
    words = words_of(text)
    found = {"--replaces": replaces, "--seen": ""}
    for option in OF_THE_ENTRY:
        if option in words[:-1]:
            at = words.index(option)
            found[option] = words[at + 1]
            del words[at : at + 2]
    return Wanted((tuple(words),), seen=found["--seen"], replaces=found["--replaces"])


def _reading(desk: Desk, text: str, writer: Writer, replaces: str) -> str:
    wanted = wanted_of(text, replaces)
    fields = note_fields(list(wanted.lines[0]), listener_of(desk))
    seen = when_said(desk, wanted.seen) if wanted.seen else None
    draft = Draft(desk, writer)
    if not draft.add(Statement(fields, writer, seen, replaces=wanted.replaces)):
        return "it stands in the diary already"
    return entry_text(draft.entries[0], is_written=False)


def _following(desk: Desk, text: str) -> list[tuple[str, str]]:
    words = words_of(text)
    incomplete = "" if not words or text[-1:].isspace() else words.pop()
    if not words:
        return verbs(incomplete.casefold())
    if incomplete.startswith("-"):
        own = [option for option in OF_THE_ENTRY if option.startswith(incomplete)]
        return [(word, "") for word in (*options(incomplete), *own)]
    typed = [words[0].casefold(), *words[1:]]
    return [(word, "") for word in next_words(typed, incomplete, lambda: names_of(desk))]


def with_word(text: str, word: str) -> str:
    """Return a line with a word taken for the one begun, or behind the last one."""
    if not text or text[-1].isspace():
        return f"{text}{word} "
    return f"{text[: len(text) - len(text.rsplit(maxsplit=1)[-1])]}{word} "
