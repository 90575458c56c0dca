"""What somebody wants to write into the diary, shown with what it changes before it is written.

Invariant: nothing is written but what was shown; when the job has changed since, it is shown anew.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from readiness.desk.difference import changed
from readiness.desk.drafting import Draft
from readiness.desk.noting import listener_of, when_said
from readiness.desk.statement import Statement
from readiness.exchange.note_listener import NoteRefused
from readiness.exchange.note_words import note_fields
from readiness.job.instants import moment_of
from readiness.pages.entry_text import entry_text

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import datetime

    from readiness.desk.desk import Desk
    from readiness.desk.statement import Noted, Writer


@dataclass(frozen=True, slots=True)
class Wanted:
    """What somebody wants to write: lines as for `note`, or fields that an answer proposes."""

    lines: tuple[tuple[str, ...], ...] = ()
    """Each in words."""
    fields: tuple[Mapping[str, Any], ...] = ()
    """Of entries, in order, behind the lines."""
    seen: str = ""
    """Words for when it was so; empty means now."""
    how: str = ""
    """How it is known; empty means as the lines say, else seen."""
    replaces: str = ""
    """The entry that is corrected."""
    via: str = ""
    """How it reaches the diary."""


@dataclass(frozen=True, slots=True)
class Proposal:
    """What would be written, and what it would change."""

    wanted: Wanted
    entries: tuple[str, ...]
    """Each in a line."""
    changes: tuple[str, ...]
    """The verdicts that would change; the last line is the verdict then."""
    draft: Draft
    writer: Writer
    at: datetime
    """When it was shown first, on the wall clock at the site: then it was so."""

    @property
    def says(self) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """Return all that is shown of it."""
        return self.entries, self.changes


def proposed(desk: Desk, wanted: Wanted, writer: Writer, at: datetime | None = None) -> Proposal:
    """Return what would be written and what it changes; nothing is written.

    Args:
        desk: The open job.
        wanted: What somebody wants to write.
        writer: Who that is.
        at: When it was shown first; None is now.

    Raises:
        NoteRefused: It has no reading, the writer may not say it, or it stands there already.
        MisreadError: The words for the moment have no reading.
    """
    listener = listener_of(desk) if wanted.lines else None
    fields = [note_fields(list(words), listener) for words in wanted.lines if listener]
    fields += [dict(each) for each in wanted.fields]
    at = at or moment_of(desk.clock(), desk.zone).replace(tzinfo=None)
    seen = when_said(desk, wanted.seen) if wanted.seen else None if wanted.replaces else at
    draft = Draft(desk, writer, wanted.via)
    for each in fields:
        draft.add(Statement(each, writer, seen, wanted.how, wanted.replaces))
    if not len(draft):
        message = "it stands in the diary already"
        raise NoteRefused(message)
    entries = tuple(entry_text(entry, is_written=False) for entry in draft.entries)
    return Proposal(wanted, entries, tuple(changed(desk, draft.desk)), draft, writer, at)


def may_write(desk: Desk, *, is_on_disk: bool) -> None:
    """Refuse to write where no diary is, or as of a moment that has passed.

    Raises:
        NoteRefused: With what to do instead.
    """
    if not is_on_disk:
        message = "this job stands in no file"
        raise NoteRefused(message, "`readiness new FOLDER` makes one of your own")
    if desk.stands_at is not None and desk.job.as_of is None:
        message = "this is the job as it was at another moment"
        raise NoteRefused(message, "open it without --as-of to write")


def write(proposal: Proposal) -> Noted:
    """Write what was shown, all of it or nothing.

    Raises:
        JobFileError: The diary can't be written.
    """
    return proposal.draft.write()
