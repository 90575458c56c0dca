"""Entries about what went out in calendars, so that the next sending knows what people have.

Invariant: an entry of a calendar is written here with its number and its moment before any file
holds it, so a crash between the two is repaired by sending again.
"""

from __future__ import annotations

from datetime import UTC
from typing import Annotated, Literal

from pydantic import AwareDatetime, BaseModel, ConfigDict, Field

from readiness.diary.entry import Entry
from readiness.job.fields import Note, Text


class SentEntry(BaseModel):
    """One entry of a calendar as it went out."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)

    uid: str
    to: str
    """Whose calendar it stands in."""
    item: str
    """What it is in the job."""
    of: str
    """Kind of occasion."""
    short: str
    """What it is in a few words, for whoever is told that it moves or falls away."""
    place: str
    starts: AwareDatetime
    ends: AwareDatetime
    agreed: bool
    sequence: Annotated[int, Field(ge=0)]
    """Raised when times, place or agreement change and when it falls away."""
    stamp: AwareDatetime
    """When it last changed, in whole seconds."""
    cancelled: bool = False
    digest: str = ""
    """Of all that it says; empty if it was taken from a file."""
    after: str = ""
    """Version that it replaced, as `version` tells it; two that replaced one are of two copies."""
    told_starts: AwareDatetime | None = None
    """What people were last told of, where a small move since was not; else as above."""
    told_ends: AwareDatetime | None = None

    @property
    def version(self) -> str:
        """Return which version of its entry this is."""
        return f"{self.sequence} {self.stamp.astimezone(UTC).isoformat()}"


class MailedNotice(BaseModel):
    """One mail that was written for one person about one entry."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)

    uid: str
    to: str
    address: str
    method: Literal["request", "cancel"]
    sequence: Annotated[int, Field(ge=0)]
    stamp: AwareDatetime
    starts: AwareDatetime
    ends: AwareDatetime
    agreed: bool

    @property
    def version(self) -> str:
        """Return which version of its entry was mailed."""
        return f"{self.sequence} {self.stamp.astimezone(UTC).isoformat()}"


class Sent(Entry):
    """One sending: what was new in it."""

    kind: Literal["sent"] = "sent"
    entries: tuple[SentEntry, ...] = ()
    mails: tuple[MailedNotice, ...] = ()
    took_over: Text = ""
    """Who sent for this job until now."""


class Replied(Entry):
    """What somebody who was invited has answered: that it was received, refused, or another time.

    It confirms nothing but that; whether work will be done is asked by its own question.
    """

    kind: Literal["replied"] = "replied"
    uid: str
    what: str = ""
    """Which thing of the job it is about."""
    address: str
    answer: str
    """As the calendar says it, or `COUNTER` for another time that is proposed."""
    sequence: Annotated[int, Field(ge=0)]
    stamp: AwareDatetime
    comment: Note = ""
