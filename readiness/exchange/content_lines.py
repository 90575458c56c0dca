"""Lines of a calendar file: a name, parameters and a value in, folded text out.

A writer of our own, because a job's calendars are written again at every look at them, and the
library makes an object of each value first. It writes what the library would; a test compares.

Invariant: no line is longer than 75 octets, none is cut inside of a character or an escape, and no
value ends a line.

Source: RFC 5545, sections 3.1, 3.2 and 3.3.11; RFC 6868, section 3.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import datetime, timedelta

LONGEST_OCTETS = 75
END = "\r\n"
_FOLD = "\r\n "
_ESCAPES = frozenset("\\^")
_QUOTED = re.compile("[,;:’ ']")


def line(name: str, value: str) -> str:
    """Return a content line with its end; the value is written as it is."""
    return folded(f"{name}:{value}") + END


def text_line(name: str, value: str) -> str:
    """Return a content line whose value is text."""
    return folded(f"{name}:{escaped(value)}") + END


def escaped(text: str) -> str:
    """Return a text as a value."""
    text = text.replace("\\N", "\n").replace("\\", "\\\\")
    return text.replace(";", "\\;").replace(",", "\\,").replace("\n", "\\n")


def quoted(value: str) -> str:
    """Return a value of a parameter, in quotes where it needs them."""
    value = value.replace('"', "'").replace("^", "^^").replace("\n", "^n")
    return f'"{value}"' if _QUOTED.search(value) else value


def stamp(moment: datetime) -> str:
    """Return a moment in UTC as a value."""
    return f"{wall(moment)}Z"


def wall(moment: datetime) -> str:
    """Return what the clock on the wall shows as a value."""
    day = f"{moment.year:04}{moment.month:02}{moment.day:02}"
    return f"{day}T{moment.hour:02}{moment.minute:02}{moment.second:02}"


def offset(span: timedelta) -> str:
    """Return an offset from UTC as a value: `-0500`, with seconds where it has some."""
    seconds = round(span.total_seconds())
    sign = "-" if seconds < 0 else "+"
    hours, rest = divmod(abs(seconds), 3_600)
    minutes, seconds = divmod(rest, 60)
    return f"{sign}{hours:02}{minutes:02}" + (f"{seconds:02}" if seconds else "")


def folded(whole: str) -> str:
    """Return a line cut into pieces that are short enough."""
    if whole.isascii():
        return whole if len(whole) < LONGEST_OCTETS else _FOLD.join(_plain_pieces(whole))
    return _FOLD.join(_pieces(whole))


def _plain_pieces(whole: str) -> list[str]:
    """Return the pieces of a line of which each sign takes one octet."""
    found, start = [], 0
    while len(whole) - start >= LONGEST_OCTETS:
        end = start + LONGEST_OCTETS - 1
        end -= whole[end - 1] in _ESCAPES
        found.append(whole[start:end])
        start = end
    found.append(whole[start:])
    return found


def _pieces(whole: str) -> list[str]:
    """Return the pieces of any line."""
    found, start, octets = [], 0, 0
    for index, sign in enumerate(whole):
        size = len(sign.encode())
        if octets + size >= LONGEST_OCTETS:
            end = index - (index - start > 1 and whole[index - 1] in _ESCAPES)
            found.append(whole[start:end])
            start, octets = end, index - end
        octets += size
    found.append(whole[start:])
    return found
