"""What people have in their calendars by now, folded from all sendings of all writers.

Where two copies of a folder have both been sent from, one number may stand for two contents; the
next sending must go above both.

Invariant: of several sendings of one entry the highest number counts, then the later moment; what
a line that can't be read says is left out.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import TYPE_CHECKING

from readiness.diary.line import read_in_full, written_key
from readiness.diary.sending_entries import MailedNotice, Replied, Sent, SentEntry

if TYPE_CHECKING:
    from readiness.diary.history import History


@dataclass(frozen=True, slots=True)
class SentState:
    """What went out so far."""

    entries: Mapping[str, SentEntry] = field(default_factory=dict)
    """The last state of every entry, those that fell away too."""
    mails: Mapping[str, MailedNotice] = field(default_factory=dict)
    """The last mail about every entry."""
    last_mails: tuple[MailedNotice, ...] = ()
    """Those of the last sending that had any: they are written again if it is repeated."""
    clashes: Mapping[str, tuple[str, str]] = field(default_factory=dict)
    """Entries that two copies of the folder sent apart from each other, with their writers."""
    replies: Mapping[tuple[str, str], tuple[int, datetime]] = field(default_factory=dict)
    """By entry and address: number and moment of the last answer, so that a late one is told."""
    sender: str = ""
    """Who sent last, by the name of their file."""
    sender_name: str = ""
    at: datetime | None = None
    """When."""


NOTHING_SENT = SentState()


def sent_state(history: History | None) -> SentState:
    """Return what went out so far."""
    entries: dict[str, SentEntry] = {}
    by: dict[str, str] = {}
    mails: dict[str, MailedNotice] = {}
    clashes: dict[str, tuple[str, str]] = {}
    last_mails: tuple[MailedNotice, ...] = ()
    last: Sent | None = None
    for sent in _sendings(history):
        last = sent
        for each in sent.entries:
            known = entries.get(each.uid)
            if known is not None and _is_clash(known, each):
                clashes[each.uid] = (by[each.uid], sent.writer)
            else:
                clashes.pop(each.uid, None)
            if known is None or _order(each) >= _order(known):
                entries[each.uid] = each
                by[each.uid] = sent.writer
        mails.update((mail.uid, mail) for mail in sent.mails)
        last_mails = sent.mails or last_mails
    return SentState(
        entries=entries,
        mails=mails,
        last_mails=last_mails,
        clashes=clashes,
        replies=_replies(history),
        sender=last.writer if last else "",
        sender_name=last.by if last else "",
        at=last.written if last else None,
    )


def _replies(history: History | None) -> dict[tuple[str, str], tuple[int, datetime]]:
    """Return the last answer of everybody about every entry."""
    last: dict[tuple[str, str], tuple[int, datetime]] = {}
    for line in history.lines if history is not None else ():
        entry = read_in_full(line) if line.data["kind"] == "replied" else None
        if isinstance(entry, Replied):
            key, told = (entry.uid, entry.address), (entry.sequence, entry.stamp)
            last[key] = max(told, last.get(key, told))
    return last


def _sendings(history: History | None) -> list[Sent]:
    """Return all sendings in the order in which they were written."""
    if history is None:
        return []
    lines = [line for line in history.lines if line.data["kind"] == "sent"]
    lines.sort(
        key=lambda line: (
            written_key(str(line.data["written"])),
            str(line.data["writer"]),
            int(line.data["number"]),
        )
    )
    read = (read_in_full(line) for line in lines)
    return [entry for entry in read if isinstance(entry, Sent)]


def _is_clash(known: SentEntry, each: SentEntry) -> bool:
    """Say whether two versions came about without knowing of each other."""
    alike = (each.sequence, each.digest) == (known.sequence, known.digest)
    return each.after != known.version and not alike


def _order(each: SentEntry) -> tuple[int, datetime]:
    return each.sequence, each.stamp
