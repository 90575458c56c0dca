"""Calendars of ours that lie in a folder, read back where the diary knows less than they do.

A diary can be lost while eight telephones still hold what it sent; numbers that began again at
nought would be taken for old news.

Invariant: only files that were written here are read, and whatever can't be read is left out.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import icalendar

from readiness.diary.sending_entries import SentEntry
from readiness.exchange.calendar_file import is_ours
from readiness.telling.calendar_entries import CANCELLED

if TYPE_CHECKING:
    from collections.abc import Iterable


def sent_in(content: bytes, recipient: str) -> tuple[SentEntry, ...]:
    """Return what a calendar of ours says that its reader has.

    Args:
        content: The file.
        recipient: Whose calendar it is.
    """
    if not is_ours(content):
        return ()
    icalendar.use_zoneinfo()  # type: ignore[no-untyped-call]
    try:
        calendar = icalendar.Calendar.from_ical(content)
    except (ValueError, OSError, LookupError, TypeError, AttributeError):
        return ()
    return tuple(_readable(calendar.events, recipient))


def _readable(events: Iterable[icalendar.Event], recipient: str) -> Iterable[SentEntry]:
    for event in events:
        try:
            yield _entry(event, recipient)
        except (ValueError, LookupError, TypeError, AttributeError):
            continue


def _entry(event: icalendar.Event, recipient: str) -> SentEntry:
    title = _text(event, "SUMMARY")
    status = _text(event, "STATUS")
    return SentEntry(
        uid=_text(event, "UID"),
        to=recipient,
        item="",
        of="",
        short=title.removeprefix(CANCELLED),
        place=_text(event, "LOCATION"),
        starts=event.decoded("DTSTART"),
        ends=event.decoded("DTEND"),
        agreed=status == "CONFIRMED",
        sequence=event.decoded("SEQUENCE"),
        stamp=event.decoded("DTSTAMP"),
        cancelled=status == "CANCELLED",
    )


def _text(event: icalendar.Event, name: str) -> str:
    return str(event[name])
