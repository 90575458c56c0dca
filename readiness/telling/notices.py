"""Who must get a mail about which entry: invited, moved, cancelled.

A calendar that somebody subscribes to may lag by a day, so what is agreed and what moves also goes
out as an invitation, one for each entry and person.

Invariant: nobody is mailed the same version twice, nobody is mailed that an entry falls away who
was never mailed that it exists, and what is said of a keep-out is never held back.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from readiness.diary.sending_entries import MailedNotice
from readiness.telling.calendar_entries import Entry
from readiness.telling.changes import HALF_A_DAY
from readiness.telling.occasions import OccasionKind
from readiness.telling.recipients import CONTRACTOR

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from datetime import datetime

    from readiness.diary.sent import SentState

REQUEST, CANCEL = "request", "cancel"


@dataclass(frozen=True, slots=True)
class Notice:
    """One mail about one entry."""

    to: str
    """Whose calendar the entry stands in."""
    address: str
    entry: Entry

    @property
    def method(self) -> str:
        """Return what the mail does."""
        return CANCEL if self.entry.cancelled else REQUEST

    def kept(self) -> MailedNotice:
        """Return what the diary keeps of it."""
        entry = self.entry
        return MailedNotice(
            uid=entry.uid,
            to=self.to,
            address=self.address,
            method="cancel" if entry.cancelled else "request",
            sequence=entry.sequence,
            stamp=entry.stamp,
            starts=entry.starts,
            ends=entry.ends,
            agreed=entry.agreed,
        )


@dataclass(frozen=True, slots=True)
class Post:
    """Who can be mailed, and how much they want to hear."""

    addresses: Mapping[str, str]
    every_move: bool = False


def notices(
    calendars: Iterable[tuple[str, Iterable[Entry]]], state: SentState, post: Post, now: datetime
) -> tuple[Notice, ...]:
    """Return the mails that are due, or those of the last sending if nothing is due since.

    Args:
        calendars: Recipients and the entries of their calendars.
        state: What people have, and were mailed, by now.
        post: Who can be mailed.
        now: The moment of this sending; what is over by then is not told.

    Source: RFC 5546, sections 3.2.2 (one UID for each request) and 3.2.5.
    """
    possible = [
        Notice(recipient, address, entry)
        for recipient, entries in calendars
        if recipient != CONTRACTOR and (address := post.addresses.get(recipient))
        for entry in entries
        if entry.ends > now
    ]
    due = [notice for notice in possible if _is_due(notice, state, every_move=post.every_move)]
    if due:
        return tuple(due)
    last = {(mail.uid, mail.sequence, mail.stamp, mail.address) for mail in state.last_mails}
    return tuple(
        notice
        for notice in possible
        if (notice.entry.uid, notice.entry.sequence, notice.entry.stamp, notice.address) in last
    )


def _is_due(notice: Notice, state: SentState, *, every_move: bool) -> bool:
    mailed, entry = state.mails.get(notice.entry.uid), notice.entry
    if mailed is None or mailed.method == CANCEL:
        return not entry.cancelled
    if entry.cancelled or mailed.address != notice.address:
        return True
    if entry.sequence <= mailed.sequence:
        return False
    return (
        every_move
        or entry.kind == OccasionKind.KEEP_OUT
        or entry.agreed != mailed.agreed
        or mailed.starts.astimezone(entry.starts.tzinfo).date() != entry.starts.date()
        or abs(mailed.starts - entry.starts) >= HALF_A_DAY
        or abs(mailed.ends - entry.ends) >= HALF_A_DAY
    )
