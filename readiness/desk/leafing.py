"""The diary to read: newest first, what was corrected beside what corrects it.

Invariant: every line that was recorded by the moment of the question is there, those that no longer
count too.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from readiness.desk.correcting import corrected_by
from readiness.diary.counting import corrected
from readiness.diary.line import read_in_full, written_key
from readiness.exchange.entry_lines import entry_line
from readiness.exchange.note_listener import NoteRefused
from readiness.job.instants import moment_of
from readiness.job.problems import Problem
from readiness.pages.entry_text import about_text
from readiness.pages.moments import told

if TYPE_CHECKING:
    from collections.abc import Mapping

    from readiness.desk.desk import Desk
    from readiness.desk.statement import Writer
    from readiness.diary.line import Line

BY_THE_TOOL = {
    "job-file": "the job file as it was then is kept here",
    "sent": "dates were sent out",
}
"""What stands for entries that nobody typed and whose content is long."""
LONGEST = 400
"""Characters of one entry."""


@dataclass(frozen=True, slots=True)
class Leaf:
    """One entry of the diary."""

    name: str
    """As `writer#number`."""
    when: str
    """When it was so, on the wall clock at the site."""
    by: str
    """Whose word it is, with the role."""
    says: str
    known: str
    """How it is known, and how it reached the diary."""
    corrects: str
    """Name of the entry it corrects."""
    corrected_by: str
    """Name of the entry that corrects it; then it no longer counts."""
    line: str
    """As it would be typed again; empty if no line says it."""
    refused: str
    """Why this writer can't correct it; empty if they can."""


@dataclass(frozen=True, slots=True)
class Leaves:
    """The newest entries of a diary."""

    leaves: tuple[Leaf, ...]
    older: int
    """How many more there are."""


def leaves_of(desk: Desk, writer: Writer, most: int) -> Leaves:
    """Return the newest entries, newest first: by when it was so, then by when it was written."""
    history = desk.diary.history
    if history is None:
        return Leaves((), 0)
    limit = written_key(moment_of(desk.clock(), desk.zone).astimezone(UTC).isoformat())
    known = [line for line in history.lines if written_key(str(line.data["written"])) <= limit]
    gone = corrected(known)
    by = {
        str(line.data["replaces"]): _name(line.data) for line in known if line.data.get("replaces")
    }
    shown = known[::-1][:most]
    return Leaves(
        tuple(
            _leaf(desk, writer, line, by.get(_name(line.data), "") if id(line) in gone else "")
            for line in shown
        ),
        len(known) - len(shown),
    )


def _leaf(desk: Desk, writer: Writer, line: Line, later: str) -> Leaf:
    data = line.data
    entry = read_in_full(line)
    if data["kind"] in BY_THE_TOOL:
        says, typed, refused = BY_THE_TOOL[data["kind"]], "", "nobody typed it"
    elif isinstance(entry, Problem):
        says, typed, refused = str(entry), "", "it can't be read"
    else:
        says, typed = _short(about_text(entry)), entry_line(entry)
        refused = _why_not(desk, writer, _name(data))
    role = str(data.get("trade") or data.get("role") or "")
    known = ", ".join(str(word) for word in (data.get("how"), data.get("via")) if word)
    return Leaf(
        name=_name(data),
        when=_when(str(data["seen"])),
        by=f"{data['by']}, {role}" if role else str(data["by"]),
        says=says,
        known=known,
        corrects=str(data.get("replaces") or ""),
        corrected_by=later,
        line=typed,
        refused=refused,
    )


def _name(data: Mapping[str, object]) -> str:
    return f"{data['writer']}#{data['number']}"


def _when(seen: str) -> str:
    moment = datetime.fromisoformat(seen)
    if "T" in seen:
        return told(moment)
    return f"{moment:%a} {moment.day} {moment:%b %Y}"


def _short(text: str) -> str:
    return text if len(text) <= LONGEST else f"{text[:LONGEST]}..."


def _why_not(desk: Desk, writer: Writer, name: str) -> str:
    """Return why a writer can't correct an entry, or nothing."""
    try:
        corrected_by(desk, writer, writer, name)
    except NoteRefused as error:
        return str(error)
    return ""
