"""Letters as calendar files: values in, bytes out.

A file without a method is a snapshot that a calendar subscribes to or takes in; it asks nobody for
an answer.

Invariant: equal letters give equal bytes; every line is at most 75 octets long and ends with CRLF;
no text that somebody typed can end a line or begin a property.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from functools import lru_cache
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from icalendar import (
    Calendar,
    Event,
    Timezone,
    TimezoneDaylight,
    TimezoneStandard,
    vCategory,
    vDDDTypes,
    vInt,
    vRecur,
    vText,
)

from readiness.exchange.text import clean_line, clean_text, plain_name
from readiness.exchange.zone_rules import Observance, observances

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from readiness.questions.letters import Letter, LettersAnswer
    from readiness.telling.calendar_entries import Entry, Tie
    from readiness.telling.teller import Who

PRODUCT = "-//readiness//trade calendar 0.1//EN"
_OURS = b"PRODID:-//readiness//trade calendar "

_RELATIONS = {
    "end to start": "FINISHTOSTART",
    "start to start": "STARTTOSTART",
    "end to end": "FINISHTOFINISH",
    "start to end": "STARTTOFINISH",
}

SITE_READINESS = "SITE READINESS"
"""A tag that all entries carry, so that they can be found together."""

YEARS_AHEAD = 10
"""A zone is right for this long after the last entry, for entries that are copied to later days."""

FETCH_AGAIN = timedelta(hours=1)
"""A hint for programs that subscribe to a file; none has to heed it."""

LARGEST_FILE_BYTES = 900_000
"""Some readers drop entries of larger files."""


def calendar_bytes(letter: Letter, letters: LettersAnswer) -> bytes:
    """Return the calendar file of one letter.

    Source: RFC 5545, sections 3.4, 3.6 and 3.6.1; RFC 7986, sections 5.1 and 5.7.
    """
    calendar = calendar_of(letter.entries, letters.time_zone, letters.as_of)
    if len(letter.entries) > 1:
        name = plain_name(f"{letters.job} {letter.file.removesuffix('.ics')}")
        calendar.add("name", vText(name))
        calendar.add("x-wr-calname", vText(name))
    calendar.add("refresh-interval", FETCH_AGAIN, parameters={"VALUE": "DURATION"})
    calendar.add("x-published-ttl", vText("PT1H"))
    for entry in letter.entries:
        calendar.add_component(event_of(entry, letter.who, letters.time_zone))
    content: bytes = calendar.to_ical(sorted=True)
    return content


def calendar_of(
    entries: Sequence[Entry], time_zone: str, as_of: datetime | None = None
) -> Calendar:
    """Return an empty calendar with the zone that the entries need.

    Args:
        entries: The entries.
        time_zone: The zone of the site.
        as_of: From when on the zone must be right if there is no entry.
    """
    calendar = Calendar()
    calendar.add("prodid", vText(PRODUCT))
    calendar.add("version", vText("2.0"))
    zone = ZoneInfo(time_zone)
    moments = [moment for entry in entries for moment in (entry.starts, entry.ends)]
    if not moments and as_of is not None:
        moments = [as_of]
    parts = _parts(zone, min(moments), max(moments))
    if not _is_utc(parts):
        calendar.add_component(_zone(zone, parts))
    return calendar


def _parts(zone: ZoneInfo, first: datetime, last: datetime) -> Sequence[Observance]:
    return observances(zone, first, last + timedelta(days=366 * YEARS_AHEAD))


def event_of(entry: Entry, who: Who, time_zone: str) -> Event:
    """Return one entry of a recipient as an event."""
    zone = ZoneInfo(time_zone)
    return _event(entry, who, None if _is_utc(_parts_at(zone, entry.starts.year)) else zone)


@lru_cache(maxsize=8)
def _parts_at(zone: ZoneInfo, year: int) -> Sequence[Observance]:
    first = datetime(year, 1, 1, tzinfo=UTC)
    return _parts(zone, first, first + timedelta(days=366))


def is_ours(content: bytes) -> bool:
    """Say whether a file was written here, so that writing it again overwrites nobody else's."""
    head = content[:2_000].splitlines()
    return (
        bool(head)
        and head[0] == b"BEGIN:VCALENDAR"
        and any(line.startswith(_OURS) for line in head[:6])
    )


def _is_utc(parts: Sequence[Observance]) -> bool:
    """Say whether a zone never differs from UTC: its times are written with a Z and no zone.

    The library does so for some of them of its own accord, by a table of names.
    """
    return len(parts) == 1 and parts[0].after == timedelta()


def _event(entry: Entry, who: Who, zone: ZoneInfo | None) -> Event:
    """Return an entry as an event; every value is made in its own type, for `add` guesses it."""
    event = Event()
    stamp = vDDDTypes(entry.stamp.astimezone(UTC))
    event["UID"] = vText(entry.uid)
    event["DTSTAMP"] = stamp
    event["LAST-MODIFIED"] = stamp
    event["DTSTART"] = vDDDTypes(written_moment(entry.starts, zone))
    event["DTEND"] = vDDDTypes(written_moment(entry.ends, zone))
    event["SUMMARY"] = vText(clean_line(entry.title))
    event["DESCRIPTION"] = vText("\n".join(_lines(entry.says)))
    event["LOCATION"] = vText(clean_line(entry.place))
    event["CATEGORIES"] = vCategory([plain_name(who.trade), SITE_READINESS])
    event["STATUS"] = vText(_status(entry))
    event["TRANSP"] = vText("OPAQUE" if entry.busy else "TRANSPARENT")
    event["X-MICROSOFT-CDO-BUSYSTATUS"] = vText(_shown_as(entry))
    event["SEQUENCE"] = vInt(entry.sequence)
    for tie in entry.ties:
        event.add("related-to", vText(tie.uid), parameters=_tie(tie))
    return event


def _tie(tie: Tie) -> dict[str, str]:
    """Return how an entry hangs together with another one.

    Source: RFC 9253, section 4 (the earlier one points to the later), 5 (DEPENDS-ON stands in the
    one that waits) and 6.2 (GAP).
    """
    told = {"RELTYPE": _RELATIONS[tie.kind] if tie.is_earlier else "DEPENDS-ON"}
    if tie.gap_minutes:
        hours, minutes = divmod(tie.gap_minutes, 60)
        told["GAP"] = "PT" + (f"{hours}H" if hours else "") + (f"{minutes}M" if minutes else "")
    return told


def _status(entry: Entry) -> str:
    """Return the status; it follows the agreement and never a verdict."""
    if entry.cancelled:
        return "CANCELLED"
    return "CONFIRMED" if entry.agreed else "TENTATIVE"


def _shown_as(entry: Entry) -> str:
    """Return free or busy in the words of a reader that does not heed TRANSP."""
    if not entry.busy:
        return "FREE"
    return "BUSY" if entry.agreed else "TENTATIVE"


def _lines(says: Iterable[str]) -> Iterable[str]:
    for line in says:
        yield from (part.rstrip() for part in clean_text(line).split("\n"))


def written_moment(moment: datetime, zone: ZoneInfo | None) -> datetime:
    """Return a moment as it is written: in UTC where the local time exists twice.

    In a calendar file a local time that exists twice means the first one, but not every reader
    knows that, and the second one could not be told at all.

    Args:
        moment: The moment.
        zone: None if times are written in UTC anyway.

    Source: RFC 5545, section 3.3.5, form 3.
    """
    local = moment.astimezone(zone or UTC)
    twice = local.replace(fold=0).utcoffset() != local.replace(fold=1).utcoffset()
    return moment.astimezone(UTC) if twice else local


def _zone(zone: ZoneInfo, parts: Sequence[Observance]) -> Timezone:
    """Return the zone by rules of our own making."""
    component = Timezone()
    component.add("tzid", vText(zone.key))
    for part in parts:
        component.add_component(_observance(part))
    return component


def _observance(observance: Observance) -> TimezoneStandard | TimezoneDaylight:
    part = TimezoneDaylight() if observance.summer else TimezoneStandard()
    part.add("dtstart", observance.onset)
    part.add("tzoffsetfrom", observance.before)
    part.add("tzoffsetto", observance.after)
    part.add("tzname", vText(clean_line(observance.name)))
    if observance.rule is not None:
        part.add("rrule", vRecur(observance.rule.parts()))
    return part
