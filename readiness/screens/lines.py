"""What a pane shows, as plain values: entries of lines, each with its mark and weight.

The panes turn entries into what the toolkit draws; what they say can so be tested without it.
Invariant: text from a job file becomes content as it is and is never read as instructions for
drawing.
"""

from __future__ import annotations

from dataclasses import dataclass

from textual.content import Content

from readiness.pages.columns import columns_of, filled, plain, wrapped
from readiness.pages.marks import MARKS
from readiness.screens.themes import mark_style

MARK_COLUMNS = 4
"""A mark and a blank."""


@dataclass(frozen=True, slots=True)
class Line:
    """One paragraph."""

    text: str
    word: str = ""
    """A word of a verdict whose mark stands in front."""
    is_strong: bool = False
    indent: int = 0
    """Columns before each line."""
    before: str = ""
    """Columns of a row, kept as they are; the text stands behind them and hangs there."""


@dataclass(frozen=True, slots=True)
class Entry:
    """What is chosen as one."""

    id: str
    lines: tuple[Line, ...]

    def texts(self) -> list[str]:
        """Return what the entry says, unwrapped, with its marks."""
        return [
            f"{MARKS[line.word]} {line.text}" if line.word else f"{line.before}{line.text}"
            for line in self.lines
        ]


def content_of(entry: Entry, columns: int) -> Content:
    """Return an entry wrapped to a width."""
    return Content("\n").join(
        [row for line in entry.lines for row in _rows(line, columns)] or [Content("")]
    )


def _rows(line: Line, columns: int) -> list[Content]:
    indent = " " * (len(line.before) or line.indent + (MARK_COLUMNS if line.word else 0))
    rows = wrapped(line.text, max(columns, len(indent) + 8), indent, line.before or None)
    weight = "bold" if line.is_strong else ""
    contents = [Content.styled(row, weight) if weight else Content(row) for row in rows]
    if line.word:
        mark = marked_content(line.word)
        rest = (
            Content.styled(rows[0][len(indent) :], weight)
            if weight
            else Content(rows[0][len(indent) :])
        )
        contents[0] = Content(" " * line.indent) + mark + Content(" ") + rest
    return contents


def marked_content(word: str) -> Content:
    """Return the mark of a word, drawn in its colors."""
    return Content.styled(MARKS[word], mark_style(word))


def spread(left: str, right: str, columns: int) -> str:
    """Return two texts at the ends of a line; the left one is cut if both do not fit."""
    room = columns - columns_of(right) - 1
    return f"{filled(left, room)} {plain(right)}" if room > 0 else plain(right)
