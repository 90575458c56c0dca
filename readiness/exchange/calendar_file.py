"""Letters as calendar files: values in, bytes out.

A file without a method is a snapshot that a calendar subscribes to or takes in; it asks nobody for
an answer.

Invariant: equal letters give equal bytes; every line is at most 75 octets long and ends with CRLF;
no text that somebody typed can end a line or begin a property.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import lru_cache
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from readiness.exchange.content_lines import END, line, offset, stamp, text_line, wall
from readiness.exchange.text import clean_line, clean_text, plain_name
from readiness.exchange.zone_rules import Observance, observances

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Sequence

    from readiness.exchange.zone_rules import YearlyRule
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

FETCH_AGAIN = "PT1H"
"""A hint for programs that subscribe to a file; none has to heed it."""

LARGEST_FILE_BYTES = 900_000
"""Some readers drop entries of larger files."""


@dataclass(frozen=True, slots=True)
class Guest:
    """Who is invited to an entry."""

    attendee: str
    """Line of who is invited."""
    organizer: str
    """Line of who invites."""
    leaves: bool
    """Asked no more, while the entry stands: RFC 5546, section 3.2.5, wants no status then."""


def calendar_bytes(letter: Letter, letters: LettersAnswer) -> bytes:
    """Return the calendar file of one letter.

    Source: RFC 5545, sections 3.4, 3.6 and 3.6.1; RFC 7986, sections 5.1 and 5.7.
    """
    head = []
    if len(letter.entries) > 1:
        name = plain_name(f"{letters.job} {letter.file.removesuffix('.ics')}")
        head += [text_line("NAME", name), text_line("X-WR-CALNAME", name)]
    head.append(line("REFRESH-INTERVAL;VALUE=DURATION", FETCH_AGAIN))
    head.append(line("X-PUBLISHED-TTL", FETCH_AGAIN))
    moments = moments_of(letter.entries) or [letters.as_of]
    return calendar_of(moments, letters.time_zone, head, lambda zone: _events(letter, zone))


def moments_of(entries: Iterable[Entry]) -> list[datetime]:
    """Return when entries start and end."""
    return [moment for entry in entries for moment in (entry.starts, entry.ends)]


def calendar_of(
    moments: Sequence[datetime],
    time_zone: str,
    head: Iterable[str],
    events: Callable[[ZoneInfo | None], Iterable[str]],
) -> bytes:
    """Return a calendar with the zone that its entries need; a zone alone is a calendar too.

    Args:
        moments: At which the zone must be right, one at least.
        time_zone: Of the site.
        head: Lines behind the name of the product.
        events: Gives the lines of the events; it is told their zone, None where that is UTC.
    """
    zone = ZoneInfo(time_zone)
    parts = _parts(zone, min(moments), max(moments))
    in_utc = _is_utc(parts)
    lines = [f"BEGIN:VCALENDAR{END}", line("VERSION", "2.0"), line("PRODID", PRODUCT), *head]
    lines += () if in_utc else _zone_lines(zone, parts)
    lines += events(None if in_utc else zone)
    lines.append(f"END:VCALENDAR{END}")
    return "".join(lines).encode()


def _parts(zone: ZoneInfo, first: datetime, last: datetime) -> Sequence[Observance]:
    return observances(zone, first, last + timedelta(days=366 * YEARS_AHEAD))


def _events(letter: Letter, zone: ZoneInfo | None) -> Iterator[str]:
    for entry in letter.entries:
        yield from event_lines(entry, letter.who, zone)


def event_lines(
    entry: Entry, who: Who, zone: ZoneInfo | None, guest: Guest | None = None
) -> Iterator[str]:
    """Yield the lines of one entry of a recipient.

    Args:
        entry: What is told.
        who: Whose calendar it stands in.
        zone: None if times are written in UTC anyway.
        guest: Who is invited or asked no more, in a mail.
    """
    last_change = stamp(entry.stamp.astimezone(UTC))
    yield f"BEGIN:VEVENT{END}"
    yield text_line("SUMMARY", clean_line(entry.title))
    yield _moment_line("DTSTART", entry.starts, zone)
    yield _moment_line("DTEND", entry.ends, zone)
    yield line("DTSTAMP", last_change)
    yield text_line("UID", entry.uid)
    yield line("SEQUENCE", str(entry.sequence))
    yield guest.attendee if guest else ""
    yield _categories(who.trade)
    yield text_line("DESCRIPTION", "\n".join(_lines(entry.says)))
    yield line("LAST-MODIFIED", last_change)
    yield text_line("LOCATION", clean_line(entry.place))
    yield guest.organizer if guest else ""
    for tie in entry.ties:
        yield line(f"RELATED-TO;{_tie(tie)}", tie.uid)
    if guest is None or not guest.leaves:
        yield line("STATUS", _status(entry))
    yield line("TRANSP", "OPAQUE" if entry.busy else "TRANSPARENT")
    yield line("X-MICROSOFT-CDO-BUSYSTATUS", _shown_as(entry))
    yield f"END:VEVENT{END}"


def _moment_line(name: str, moment: datetime, zone: ZoneInfo | None) -> str:
    """Return a moment with its zone, or in UTC."""
    written = written_moment(moment, zone)
    if written.tzinfo is UTC or zone is None:
        return line(name, stamp(written))
    return line(f"{name};TZID={zone.key}", wall(written))


@lru_cache(maxsize=64)
def _categories(trade: str) -> str:
    return line("CATEGORIES", f"{plain_name(trade)},{SITE_READINESS}")


def _tie(tie: Tie) -> str:
    """Return how an entry hangs together with another one, as parameters.

    Source: RFC 9253, section 4 (the earlier one points to the later), 5 (DEPENDS-ON stands in the
    one that waits) and 6.2 (GAP).
    """
    gap = ""
    if tie.gap_minutes:
        hours, minutes = divmod(tie.gap_minutes, 60)
        gap = "GAP=PT" + (f"{hours}H" if hours else "") + (f"{minutes}M" if minutes else "") + ";"
    return f"{gap}RELTYPE={_RELATIONS[tie.kind] if tie.is_earlier else 'DEPENDS-ON'}"


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
    for each in says:
        yield from (part.rstrip() for part in clean_text(each).split("\n"))


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


def _zone_lines(zone: ZoneInfo, parts: Sequence[Observance]) -> Iterator[str]:
    """Yield the zone by rules of our own making."""
    yield f"BEGIN:VTIMEZONE{END}"
    yield text_line("TZID", zone.key)
    for part in parts:
        name = "DAYLIGHT" if part.summer else "STANDARD"
        yield f"BEGIN:{name}{END}"
        yield line("DTSTART", wall(part.onset))
        if part.rule is not None:
            yield line("RRULE", _rule(part.rule))
        yield text_line("TZNAME", clean_line(part.name))
        yield line("TZOFFSETFROM", offset(part.before))
        yield line("TZOFFSETTO", offset(part.after))
        yield f"END:{name}{END}"
    yield f"END:VTIMEZONE{END}"


def _rule(rule: YearlyRule) -> str:
    parts = rule.parts()
    told = []
    for key in ("FREQ", "BYDAY", "BYMONTHDAY", "BYMONTH"):
        if key in parts:
            said = parts[key]
            values = said if isinstance(said, list | tuple) else [said]
            told.append(f"{key}={','.join(map(str, values))}")
    return ";".join(told)
