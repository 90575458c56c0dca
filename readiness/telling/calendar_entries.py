"""One entry of somebody's calendar: first as a draft, then with its number and its moment.

Invariant: an entry whose content is what people have already keeps its number and its moment, so an
unchanged job gives the same bytes; times, place, agreement and falling away raise the number.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

from readiness.diary.sending_entries import SentEntry

AS_OF = "\x1f"
"""Stands in a title for the moment of the last change, which is only known later."""

TOMBSTONE_DAYS = 14
"""So long a cancelled entry stays to be seen, unless its own time passes before."""

CANCELLED = "CANCELLED: "
_NOBODY_COMES = "This falls away. Nobody is expected at this time."
_NO_WORD = "This falls away: no answer is needed any more. The work and the dates stand."
ASKING = frozenset({"confirm the rig", "confirm work", "answer an offer"})
"""Kinds of entries that ask for a word; at none of them does anybody come."""
_SECOND = timedelta(seconds=1)


@dataclass(frozen=True, slots=True)
class Tie:
    """How an entry hangs together with another one of the same calendar."""

    uid: str
    """The other entry."""
    kind: str
    """`end to start`, `start to start`, `end to end`, `start to end`; the earlier one first."""
    is_earlier: bool
    """True in the entry that the other one waits for; else it waits for the other."""
    gap_minutes: int = 0
    """On the clock, as the two are placed now."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry of a calendar."""

    uid: str
    """The same for the life of the job."""
    item: str
    """What it is in the job."""
    kind: str
    starts: datetime
    ends: datetime
    title: str
    says: tuple[str, ...]
    """Lines to read under the title."""
    place: str
    """Street, or the name of the job."""
    agreed: bool
    """Agreed with the people concerned; else on paper by us alone."""
    busy: bool
    """It takes the recipient's time."""
    short: str = ""
    """What it is in a few words."""
    sequence: int = 0
    """How often times, place or agreement have changed since it was first sent."""
    stamp: datetime = datetime(1970, 1, 1, tzinfo=UTC)
    """When it last changed."""
    cancelled: bool = False
    """It falls away; it stays for a while so that nobody misses that."""
    ties: tuple[Tie, ...] = ()
    """Entries of the same calendar that it waits for, or that wait for it."""
    asks: bool = False
    """A word is wanted by its end; nobody comes."""

    @property
    def standing(self) -> str:
        """Return in a word how sure it is."""
        if self.cancelled:
            return "cancelled"
        if self.asks:
            return "answer wanted"
        return "agreed" if self.agreed else "booked"


@dataclass(frozen=True, slots=True)
class Version:
    """An entry with what people have of it."""

    entry: Entry
    before: SentEntry | None
    """None if they have nothing."""
    digest: str

    @property
    def is_new(self) -> bool:
        """Say whether people have another version, or none."""
        return self.before is None or (self.before.sequence, self.before.stamp) != (
            self.entry.sequence,
            self.entry.stamp,
        )


def versioned(
    draft: Entry, before: SentEntry | None, now: datetime, *, clash: bool = False
) -> Version:
    """Return a draft with its number and moment.

    Args:
        draft: What is to be told.
        before: What people have of it.
        now: The moment of this sending.
        clash: Two versions were sent apart from each other; this one must stand above both.

    Source: RFC 5546, section 2.1.4 (what raises SEQUENCE); RFC 5545, sections 3.8.7.2 and 3.8.7.4.
    """
    digest = digest_of(draft)
    sequence, stamp = 0, whole_second(now)
    if before is not None:
        sequence, stamp = before.sequence, whole_second(before.stamp)
        if clash or raises_number(draft, before):
            sequence += 1
        if sequence != before.sequence or digest != before.digest:
            stamp = max(whole_second(now), stamp + _SECOND)
    return Version(replace(draft, sequence=sequence, stamp=stamp), before, digest)


def tombstone(before: SentEntry, now: datetime, *, clash: bool = False) -> Version | None:
    """Return a cancelled entry in place of one that is told no more; None once it is stale.

    What is over when it falls away is not cancelled: nobody comes any more.

    Source: RFC 5546, sections 2.1.4 and 3.2.5; some programs hide what is cancelled and others show
    it as it was, so its title says it too.
    """
    if before.ends <= now:
        return None
    if before.cancelled and now > before.stamp + timedelta(days=TOMBSTONE_DAYS):
        return None
    sequence, stamp = before.sequence, whole_second(before.stamp)
    if clash or not before.cancelled:
        sequence, stamp = sequence + 1, max(whole_second(now), stamp + _SECOND)
    entry = Entry(
        uid=before.uid,
        item=before.item,
        kind=before.of,
        starts=before.starts,
        ends=before.ends,
        title=f"{CANCELLED}{before.short}",
        says=(_NO_WORD if before.of in ASKING else _NOBODY_COMES,),
        place=before.place,
        agreed=before.agreed,
        busy=False,
        short=before.short,
        sequence=sequence,
        stamp=stamp,
        cancelled=True,
    )
    return Version(entry, before, before.digest)


def raises_number(draft: Entry, before: SentEntry) -> bool:
    """Say whether a change is one that endangers what people have agreed to."""
    return before.cancelled or (draft.starts, draft.ends, draft.agreed, draft.place) != (
        before.starts,
        before.ends,
        before.agreed,
        before.place,
    )


def digest_of(draft: Entry) -> str:
    """Return a short name for all that a draft says, the moment of its last change left out."""
    content = [
        draft.title,
        draft.says,
        draft.kind,
        draft.place,
        draft.starts.astimezone(UTC).isoformat(),
        draft.ends.astimezone(UTC).isoformat(),
        draft.agreed,
        draft.busy,
        [(tie.uid, tie.kind, tie.is_earlier, tie.gap_minutes) for tie in draft.ties],
    ]
    text = json.dumps(content, ensure_ascii=True)
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def whole_second(moment: datetime) -> datetime:
    """Return a moment in UTC as a calendar file can hold it."""
    return moment.astimezone(UTC).replace(microsecond=0)
