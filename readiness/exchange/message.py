"""A pasted message as its lines: what each says, when it was so, and who says it.

`2026-06-09 07:40 Lea Brandt, crew lead: arrived main` - the moment and the person may be left out;
a line with nothing but them, or `From:` and a name, speaks for the lines below it.

Invariant: every line that says something comes out once; only lines quoted from an older message
are left out, and they are counted.
"""

from __future__ import annotations

import re
import shlex
from dataclasses import dataclass
from typing import TYPE_CHECKING

from readiness.exchange.note_listener import NoteRefused

if TYPE_CHECKING:
    from collections.abc import Collection

LONGEST_MESSAGE = 200_000
_COLORS = re.compile(r"\x1b(?:\[[0-?]*[ -/]*[@-~]|\][^\x07\x1b]*(?:\x07|\x1b\\)|[@-Z\\-_])")
_HEAD = re.compile(
    r"^(?:(?P<when>[0-9]{4}-[0-9]{2}-[0-9]{2}(?:[ T][0-9]{2}:[0-9]{2})?)\s+)?"
    r"(?:(?P<who>[^:\"“”]{2,80}):(?:\s+|$))?(?P<rest>.*)$"
)
_FROM = re.compile(r"^from:\s*(?P<who>[^<]{2,80}?)\s*(?:<[^>]*>)?$", re.IGNORECASE)
_DASH = re.compile(r'"(?:\\.|[^"\\])*"|(?<!\S)[—–](?=[a-z])')
"""Two hyphens, as telephones like to write them; what stands in quotes is passed over."""


@dataclass(frozen=True, slots=True)
class Said:
    """One line of a message."""

    line: int
    text: str
    """The line as it can be shown."""
    when: str
    """Words for when it was so; empty means now."""
    who: str
    """`NAME, ROLE` if the line or a line above it names somebody."""
    says: str
    """What is said, without the moment and the person in front."""


@dataclass(frozen=True, slots=True)
class Message:
    """What a text says, line by line."""

    lines: tuple[Said, ...]
    quoted: int
    """Lines that quote an older message; they say nothing new."""


def message_of(text: str, roles: Collection[str]) -> Message:
    """Return the lines of a message.

    Args:
        text: As it was pasted.
        roles: What may stand behind a name and a comma: roles, and the trades of the job.

    Raises:
        NoteRefused: The message is far too long to be one.
    """
    if len(text) > LONGEST_MESSAGE:
        message = f"the message has {len(text)} signs"
        raise NoteRefused(message, f"at most {LONGEST_MESSAGE} are read")
    lines: list[Said] = []
    quoted = 0
    above = ("", "")
    for number, raw in enumerate(_COLORS.sub("", text).splitlines(), 1):
        line = plain_line(raw)
        if not line or line.startswith("#"):
            continue
        if line.startswith(">"):
            quoted += 1
            continue
        head = _FROM.match(line)
        if head is not None:
            above = ("", head["who"].strip())
            continue
        when, who, rest = _apart(line, roles)
        if not rest:
            above = (when or above[0], who or above[1])
            continue
        lines.append(Said(number, line, when or above[0], who or above[1], rest))
    return Message(tuple(lines), quoted)


def plain_line(line: str) -> str:
    """Return a line without signs that can't be seen; between its words stands one blank."""
    return " ".join("".join(sign if sign.isprintable() else " " for sign in line).split())


def _apart(line: str, roles: Collection[str]) -> tuple[str, str, str]:
    """Return the moment, the person and what is said.

    Whatever stands before a colon is a person only behind a moment, or with a role of this job;
    otherwise a greeting or the subject of a mail would sign what follows.
    """
    match = _HEAD.match(line)
    assert match is not None  # noqa: S101  every part of the pattern may be empty
    when, who = match["when"] or "", (match["who"] or "").strip()
    role = who.partition(",")[2].strip().casefold()
    if who and (when or role in roles):
        return when, who, match["rest"].strip()
    return when, "", line[len(when) :].strip()


def words_of(text: str) -> list[str]:
    """Return the words of a line; what stands in quotes stays together, straight or curly ones."""
    if '"' not in text:
        text = text.replace("“", '"').replace("”", '"').replace("„", '"')
    text = _DASH.sub(lambda found: found[0] if found[0].startswith('"') else "--", text)
    reader = shlex.shlex(text, posix=True)
    reader.whitespace_split = True
    reader.quotes = '"'
    reader.commenters = ""
    try:
        return list(reader)
    except ValueError:
        return text.split()


def quoted(text: str) -> str:
    """Return a text in quotes, so that `words_of` gives it back as one word."""
    plain = plain_line(text).replace("\\", "\\\\").replace('"', '\\"')
    return f'"{plain}"'
