"""Who must get a mail about which entry: invited, moved, cancelled.

A calendar that somebody subscribes to may lag by a day, so what is agreed and what moves also goes
out as an invitation, one for each entry and person.

Invariant: nobody is mailed the same version twice, nobody is mailed that an entry falls away who
was never mailed that it exists, whoever is no longer asked is told so, and what is said of a
keep-out is never held back.
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
    leaves: bool = False
    """The entry stands, but not for this address any more."""

    @property
    def method(self) -> str:
        """Return what the mail does."""
        return CANCEL if self.leaves or self.entry.cancelled else REQUEST

    def kept(self) -> MailedNotice:
        """Return what the diary keeps of it."""
        entry = self.entry
        return MailedNotice(
            uid=entry.uid,
            to=self.to,
            address=self.address,
            method="cancel" if self.method == CANCEL else "request",
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
    open_ = [
        (recipient, entry)
        for recipient, entries in calendars
        if recipient != CONTRACTOR
        for entry in entries
        if entry.ends > now
    ]
    possible = [
        Notice(recipient, address, entry)
        for recipient, entry in open_
        if (address := post.addresses.get(recipient))
    ]
    leaving = [
        Notice(recipient, state.mails[entry.uid].address, entry, leaves=not entry.cancelled)
        for recipient, entry in open_
        if has_left(entry.uid, state, post.addresses.get(recipient, ""))
    ]
    due = [notice for notice in possible if _is_due(notice, state, every_move=post.every_move)]
    if leaving or due:
        return (*leaving, *due)
    last = {(mail.version, mail.uid, mail.address, mail.method) for mail in state.last_mails}
    again = [
        Notice(recipient, mail.address, entry, leaves=not entry.cancelled)
        for recipient, entry in open_
        for mail in state.last_mails
        if mail.uid == entry.uid
        and mail.method == CANCEL
        and mail.address != post.addresses.get(recipient)
    ]
    repeated = (notice for notice in (*again, *possible))
    return tuple(
        notice
        for notice in repeated
        if (notice.kept().version, notice.entry.uid, notice.address, notice.method) in last
    )


def has_left(uid: str, state: SentState, address: str) -> bool:
    """Say whether an entry was mailed to another address than its recipient has now."""
    mailed = state.mails.get(uid)
    return mailed is not None and mailed.method == REQUEST and mailed.address != address


def needs_number(uid: str, state: SentState, address: str) -> bool:
    """Say whether the next mail must stand above the last one though nothing has moved.

    Source: RFC 5546, section 2.1.4: whoever is asked no more gets a cancellation, and each of
    those raises the number; whoever is asked again after it must be told a higher one.
    """
    mailed = state.mails.get(uid)
    before = state.entries.get(uid)
    if mailed is None or before is None or before.sequence > mailed.sequence:
        return False
    asked_again = mailed.method == CANCEL and bool(address) and not before.cancelled
    return asked_again or has_left(uid, state, address)


def _is_due(notice: Notice, state: SentState, *, every_move: bool) -> bool:
    mailed, entry = state.mails.get(notice.entry.uid), notice.entry
    if mailed is None or mailed.method == CANCEL:
        return not entry.cancelled
    if entry.cancelled:
        return mailed.address == notice.address
    if mailed.address != notice.address:
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
