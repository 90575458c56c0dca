"""A pasted message: one line says one thing, with when and by whom in front if it is known.

`2026-06-09 07:40 Lea Brandt, crew lead: arrived main` - the moment and the person may be left out.

Invariant: every line that says something is either understood or kept as a remark; none is lost.
"""

from __future__ import annotations

import re
import shlex
from dataclasses import dataclass
from typing import TYPE_CHECKING

from readiness.exchange.note_listener import Fields, Listener, NoteRefused
from readiness.exchange.note_words import FORMS, note_fields

if TYPE_CHECKING:
    from collections.abc import Iterable

LONGEST_MESSAGE = 200_000
_HEAD = re.compile(
    r"^(?:(?P<when>[0-9]{4}-[0-9]{2}-[0-9]{2}(?:[ T][0-9]{2}:[0-9]{2})?)\s+)?"
    r"(?:(?P<who>[^:\"']{2,80}):\s+)?(?P<rest>.+)$"
)


@dataclass(frozen=True, slots=True)
class Heard:
    """One line of a message."""

    line: int
    text: str
    when: str
    """Words for when it was so; empty means now."""
    who: str
    """`NAME, ROLE` if the line names somebody."""
    fields: Fields
    doubt: str
    """Why it was not understood and is kept as a remark; empty if it was."""


def heard(text: str, listener: Listener) -> tuple[Heard, ...]:
    """Return what each line of a message says.

    Raises:
        NoteRefused: The message is far too long to be one.
    """
    if len(text) > LONGEST_MESSAGE:
        message = f"the message has {len(text)} signs"
        raise NoteRefused(message, f"at most {LONGEST_MESSAGE} are read")
    return tuple(_lines(text, listener))


def _lines(text: str, listener: Listener) -> Iterable[Heard]:
    for number, raw in enumerate(text.splitlines(), 1):
        line = _plain(raw)
        if not line or line.startswith("#"):
            continue
        match = _HEAD.match(line)
        if match is None:
            continue
        when, who, rest = match["when"] or "", (match["who"] or "").strip(), match["rest"]
        if who and who.split()[0].casefold() in FORMS:
            who, rest = "", line if not when else line[len(when) :].strip()
        try:
            fields = note_fields(_words(rest), listener)
        except NoteRefused as refused:
            fields = {"kind": "remark", "text": rest}
            yield Heard(number, line, when, who, fields, str(refused))
            continue
        yield Heard(number, line, when, who, fields, "")


def _plain(line: str) -> str:
    """Return a line without signs that can't be seen and without marks of a quoted message."""
    shown = "".join(sign if sign.isprintable() else " " for sign in line)
    return " ".join(shown.lstrip("> ").split())


def _words(text: str) -> list[str]:
    """Return the words of a line; what stands in quotes stays together."""
    try:
        return shlex.split(text.replace("“", '"').replace("”", '"'))
    except ValueError:
        return text.split()
