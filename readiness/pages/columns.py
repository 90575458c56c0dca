"""How wide a text stands in a terminal, and how it is cut, filled up and wrapped to a width.

Names are typed by people: a letter may take two columns, or none. Counting letters would push
whatever stands to the right of a name out of its place.
Invariant: what is cut or filled to so many columns takes exactly so many; nothing that could steer
a terminal passes.
"""

from __future__ import annotations

import unicodedata

CUT = "..."
"""Stands where a text was cut."""

_WIDE = {"W", "F"}


def columns_of(text: str) -> int:
    """Return how many columns a text takes in a terminal."""
    if text.isascii():
        return len(text)
    return sum(_columns_of_sign(sign) for sign in text)


def _columns_of_sign(sign: str) -> int:
    if unicodedata.combining(sign) or unicodedata.category(sign) in {"Mn", "Me", "Cf"}:
        return 0
    return 2 if unicodedata.east_asian_width(sign) in _WIDE else 1


def plain(text: str) -> str:
    """Return a text on one line, with a question mark for every sign that can't be seen.

    Escape sequences, tabs, line breaks and marks of writing direction would act on the screen
    instead of standing on it.
    """
    if text.isascii() and text.isprintable():
        return text
    return "".join(_seen(sign) for sign in text)


def _seen(sign: str) -> str:
    if sign.isprintable():
        return sign
    return " " if sign.isspace() else "?"


def cut(text: str, columns: int) -> str:
    """Return a text that takes at most so many columns, ending in dots if something is missing."""
    text = plain(text)
    if columns_of(text) <= columns:
        return text
    if columns <= len(CUT):
        return CUT[: max(columns, 0)]
    return _head(text, columns - len(CUT)).rstrip(" ,;:") + CUT


def filled(text: str, columns: int) -> str:
    """Return a text that takes exactly so many columns."""
    short = cut(text, columns)
    return short + " " * (columns - columns_of(short))


def _head(text: str, columns: int) -> str:
    """Return as many signs from the start as fit."""
    taken = 0
    for at, sign in enumerate(text):
        taken += _columns_of_sign(sign)
        if taken > columns:
            return text[:at]
    return text


def wrapped(text: str, columns: int, indent: str = "", first: str | None = None) -> list[str]:
    """Return a text as lines of at most so many columns, broken at blanks where there are any.

    Args:
        text: One paragraph.
        columns: The width, indent included; at least one column more than the indent is used.
        indent: Stands before every line.
        first: Stands before the first line instead.
    """
    before = indent if first is None else first
    lines: list[str] = []
    line, is_begun = before, False
    for whole in plain(text).split():
        word = whole
        gap = " " if is_begun else ""
        if is_begun and columns_of(line + gap + word) > columns:
            lines.append(line)
            line, gap = indent, ""
        while columns_of(line + gap + word) > columns:
            room = max(columns - columns_of(line + gap), 2)
            part = _head(word, room)
            if part == word:
                break
            lines.append(line + gap + part)
            line, gap, word = indent, "", word[len(part) :]
        line, is_begun = line + gap + word, True
    return [*lines, line]
