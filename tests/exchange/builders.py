"""Letters made of values, without a job behind them."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from readiness.exchange.calendar_file import calendar_bytes
from readiness.questions.letters import Letter, LettersAnswer
from readiness.telling.calendar_entries import Entry
from readiness.telling.identity import entry_uid
from readiness.telling.teller import Who

PLUMBER = Who("plumber", "Reed Plumbing", "555-0144", "Plumber")


def entry(
    starts: str = "2026-05-14 07:00",
    *,
    hours: float = 8,
    item: str = "tub",
    title: str = "Set tub, Bath 1",
    says: tuple[str, ...] = ("Agreed.", "Call: Doyle Homes, 555-0140"),
    place: str = "14 Alder Street",
    agreed: bool = True,
    busy: bool = True,
    zone: str = "America/New_York",
    fold: int = 0,
) -> Entry:
    at = datetime.fromisoformat(starts).replace(tzinfo=ZoneInfo(zone), fold=fold)
    ends = (at.astimezone(ZoneInfo("UTC")) + timedelta(hours=hours)).astimezone(ZoneInfo(zone))
    return Entry(
        uid=entry_uid("c1b7d0a29e", item, "plumber"),
        item=item,
        kind="work",
        starts=at,
        ends=ends,
        title=title,
        says=says,
        place=place,
        agreed=agreed,
        busy=busy,
        short=title,
        sequence=3,
        stamp=datetime(2026, 5, 4, 10, 30, tzinfo=UTC),
    )


def answer(
    *entries: Entry, zone: str = "America/New_York", job: str = "Alder Street 14"
) -> LettersAnswer:
    as_of = datetime(2026, 5, 4, 6, 30, tzinfo=ZoneInfo(zone))
    letter = Letter("plumber.ics", PLUMBER, entries or (entry(zone=zone),))
    return LettersAnswer(job, as_of, zone, (letter,), (), ())


def file_of(*entries: Entry, zone: str = "America/New_York", job: str = "Alder Street 14") -> bytes:
    made = answer(*entries, zone=zone, job=job)
    return calendar_bytes(made.letters[0], made)
