"""Takes a message into the diary: every line is checked first, then all of it is written or none.

Invariant: a line that says something is understood, kept as a remark, known already or refused; and
one that is refused keeps the whole message out.
"""

from __future__ import annotations

import codecs
from dataclasses import dataclass
from enum import StrEnum
from textwrap import wrap
from typing import TYPE_CHECKING

from readiness.desk.drafting import Draft
from readiness.desk.noting import listener_of, when_said
from readiness.desk.statement import Statement, Writer, writer_of
from readiness.exchange.message import Said, message_of, words_of
from readiness.exchange.note_listener import Fields, Listener, NoteRefused
from readiness.exchange.note_words import forms_hint, note_fields
from readiness.facts.vocabulary import Role
from readiness.job.fields import LONGEST_TEXT
from readiness.job.written import MisreadError

if TYPE_CHECKING:
    from readiness.desk.desk import Desk
    from readiness.desk.statement import Noted

BY_MESSAGE = "by message"
NEW_NAMES = frozenset({"set", "trip"})
"""Kinds after which a line may name what was unknown before."""


class Outcome(StrEnum):
    """What becomes of a line."""

    UNDERSTOOD = "understood"
    REMARK = "kept as a remark"
    KNOWN = "already in the diary"
    REFUSED = "refused"

    @property
    def stops(self) -> bool:
        """Say whether it keeps the whole message out."""
        return self is Outcome.REFUSED


@dataclass(frozen=True, slots=True)
class Heard:
    """One line of a message, and what becomes of it."""

    said: Said
    author: str
    fields: Fields
    outcome: Outcome
    why: str = ""
    """Why it is only a remark, or refused."""


@dataclass(frozen=True, slots=True)
class Received:
    """A message that was heard whole, and is not written yet."""

    lines: tuple[Heard, ...]
    quoted: int
    """Lines that quote an older message."""
    draft: Draft

    @property
    def refused(self) -> tuple[Heard, ...]:
        """Return the lines that keep the message out."""
        return tuple(line for line in self.lines if line.outcome.stops)

    @property
    def to_ask_back(self) -> tuple[Heard, ...]:
        """Return the lines to ask their author about."""
        return tuple(line for line in self.lines if line.outcome is Outcome.REMARK)

    def write(self) -> Noted:
        """Write what is new, all of it or nothing."""
        return self.draft.write()


def text_of_bytes(content: bytes) -> str:
    """Return what bytes say; signs that can't be read become marks, and never an error."""
    if content.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return content.decode("utf-16", "replace")
    return content.decode("utf-8-sig", "replace")


def received(desk: Desk, text: str, author: Writer, writer: Writer, how: str = "") -> Received:
    """Return what a message says, each line checked after the ones before it.

    Args:
        desk: The open job.
        text: The message.
        author: Whose it is, where no line says so.
        writer: Who takes it, and in whose file it will stand.
        how: How it is known, where no line says so.

    Raises:
        NoteRefused: The message is far too long to be one.
    """
    roles = {*Role, *desk.case().site.job.trades}
    message = message_of(text, roles)
    hearing = _Hearing(desk, Draft(desk, writer, BY_MESSAGE), author, how)
    lines = tuple(hearing.line(said) for said in message.lines)
    return Received(lines, message.quoted, hearing.draft)


class _Hearing:
    """Hears the lines of one message in order."""

    def __init__(self, desk: Desk, draft: Draft, author: Writer, how: str) -> None:
        self.desk, self.draft, self.author, self.how = desk, draft, author, how
        self.listener: Listener = listener_of(desk)

    def line(self, said: Said) -> Heard:
        """Return what becomes of a line; what is understood goes into the draft."""
        author = writer_of(said.who) if said.who else self.author
        why = ""
        try:
            seen = when_said(self.desk, said.when) if said.when else None
            fields = note_fields(words_of(said.says), self.listener)
        except (NoteRefused, MisreadError) as error:
            seen, fields, why = None, _remark(said), _why(error)
        outcome = Outcome.REMARK if why else Outcome.UNDERSTOOD
        try:
            if not self.draft.add(Statement(fields, author, seen, self.how)):
                outcome = Outcome.KNOWN
        except NoteRefused as error:
            outcome, why = Outcome.REFUSED, str(error)
        if fields["kind"] in NEW_NAMES and outcome is Outcome.UNDERSTOOD:
            self.listener = listener_of(self.draft.desk)
        return Heard(said, author.name, fields, outcome, why)


def _why(error: NoteRefused | MisreadError) -> str:
    """Return why a line was not understood, without the list of all forms."""
    if isinstance(error, NoteRefused) and error.hint == forms_hint():
        return error.what
    return str(error)


def _remark(said: Said) -> Fields:
    """Return the line as a remark, in lines as long as a remark can hold."""
    return {"kind": "remark", "text": "\n".join(wrap(said.text, LONGEST_TEXT - 1))}
