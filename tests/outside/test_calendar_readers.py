"""Other programs read our calendar files as we mean them.

Sources: the readers are the released `icalendar` and `vobject` libraries; the zone and the UUID
are examples of RFC 5545 section 3.6.5 and RFC 9562 appendix A.4, keyed again from public test
suites that quote them (the RFC texts themselves were not at hand).
"""

from __future__ import annotations

import io
import uuid
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import icalendar
import pytest
import vobject
from dateutil.tz import tzical

from readiness.exchange.zone_rules import observances
from readiness.telling.calendar_entries import Entry
from readiness.telling.identity import NAMESPACE, entry_uid, named_uuid
from tests.exchange.builders import entry, file_of

Told = tuple[str, datetime, datetime, str, str, str, str, str]


def told(entries: list[Entry]) -> list[Told]:
    return sorted(
        (
            each.uid,
            each.starts.astimezone(UTC),
            each.ends.astimezone(UTC),
            each.title,
            "\n".join(each.says),
            each.place,
            "CONFIRMED" if each.agreed else "TENTATIVE",
            "OPAQUE" if each.busy else "TRANSPARENT",
        )
        for each in entries
    )


def read_by_icalendar(content: bytes) -> list[Told]:
    icalendar.use_zoneinfo()  # type: ignore[no-untyped-call]
    calendar = icalendar.Calendar.from_ical(content)
    assert isinstance(calendar, icalendar.Calendar)
    assert calendar.errors == []
    return sorted(_told_by_icalendar(event) for event in calendar.events if not event.errors)


def _told_by_icalendar(event: icalendar.Event) -> Told:
    starts, ends = event.start, event.end
    assert isinstance(starts, datetime)
    assert isinstance(ends, datetime)
    names = ("SUMMARY", "DESCRIPTION", "LOCATION", "STATUS", "TRANSP")
    title, says, place, status, shown = (str(event[name]) for name in names)
    uid = str(event["UID"])
    return uid, starts.astimezone(UTC), ends.astimezone(UTC), title, says, place, status, shown


def read_by_vobject(content: bytes) -> list[Told]:
    calendar = vobject.readOne(content.decode())
    assert calendar.validate()
    return sorted(
        (
            event.uid.value,
            event.dtstart.value.astimezone(UTC),
            event.dtend.value.astimezone(UTC),
            event.summary.value,
            event.description.value,
            event.location.value,
            event.status.value,
            event.transp.value,
        )
        for event in calendar.vevent_list
    )


PLAIN = [entry(), entry("2026-12-14 07:30", item="sink", agreed=False, busy=False)]
AWKWARD = [
    entry(title='Büro, Küche; 3-1/2" \\ 62 °F: 🏠' * 4, says=("a, b; c", "d\\n", "e:f"), item="a"),
    entry("2026-03-08 01:30", item="b", hours=1),
    entry("2026-11-01 01:30", item="c", hours=1),
    entry("2026-11-01 01:30", item="d", hours=1, fold=1),
    entry("2026-10-31 07:00", item="e", hours=72),
]


@pytest.mark.parametrize("entries", [PLAIN, AWKWARD], ids=["plain", "awkward"])
def test_two_readers_read_alike_what_we_meant(entries: list[Entry]) -> None:
    content = file_of(*entries)
    assert read_by_icalendar(content) == told(entries)
    assert read_by_vobject(content) == told(entries)


@pytest.mark.parametrize(
    "zone", ["America/New_York", "Europe/Berlin", "Australia/Sydney", "America/Santiago"]
)
def test_seven_stays_seven_on_both_sides_of_a_clock_change(zone: str) -> None:
    """A week of entries at 07:00 around both changes of the year, in every reader."""
    first_days = [
        (observance.onset.replace(year=2026) - timedelta(days=8)).date()
        for observance in observances(
            ZoneInfo(zone), datetime(2026, 1, 1, tzinfo=UTC), datetime(2027, 1, 1, tzinfo=UTC)
        )
    ]
    entries = [
        entry(f"{day + timedelta(days=number)} 07:00", item=f"{day}-{number}", zone=zone)
        for day in first_days
        for number in range(17)
    ]
    offsets = {each.starts.utcoffset() for each in entries}
    assert len(offsets) == 2
    content = file_of(*entries, zone=zone)
    for read in (read_by_icalendar, read_by_vobject):
        found = read(content)
        assert len(found) == 34
        assert {row[1].astimezone(ZoneInfo(zone)).hour for row in found} == {7}


def test_a_reader_that_knows_no_zones_reads_seven_too() -> None:
    """Under a name that no program knows, only the rules in the file can tell the offset."""
    entries = [entry("2026-03-02 07:00", item="a"), entry("2026-03-09 07:00", item="b")]
    content = file_of(*entries).replace(b"America/New_York", b"Site Local")
    calendar = vobject.readOne(content.decode())
    read = sorted(event.dtstart.value.astimezone(UTC) for event in calendar.vevent_list)
    assert read == [each.starts.astimezone(UTC) for each in entries]


RFC_5545_NEW_YORK = """\
BEGIN:VTIMEZONE
TZID:America/New_York
LAST-MODIFIED:20050809T050000Z
BEGIN:STANDARD
DTSTART:20071104T020000
RRULE:FREQ=YEARLY;BYMONTH=11;BYDAY=1SU
TZOFFSETFROM:-0400
TZOFFSETTO:-0500
TZNAME:EST
END:STANDARD
BEGIN:DAYLIGHT
DTSTART:20070311T020000
RRULE:FREQ=YEARLY;BYMONTH=3;BYDAY=2SU
TZOFFSETFROM:-0500
TZOFFSETTO:-0400
TZNAME:EDT
END:DAYLIGHT
END:VTIMEZONE
"""
"""RFC 5545, section 3.6.5, the example that is right since 2007."""


def test_our_zone_is_that_of_the_rfc() -> None:
    """The same rules, offsets and names; only the year in which the rules begin differs."""
    lines = file_of(entry()).decode().split("\r\n")
    ours = lines[lines.index("BEGIN:VTIMEZONE") : lines.index("END:VTIMEZONE")]

    def parts(text: list[str], name: str) -> set[str]:
        part = text[text.index(f"BEGIN:{name}") : text.index(f"END:{name}")]
        plain = {";".join(sorted(line.replace("RRULE:", "RRULE;").split(";"))) for line in part}
        return {line for line in plain if not line.startswith("DTSTART")}

    for name in ("STANDARD", "DAYLIGHT"):
        assert parts(ours, name) == parts(RFC_5545_NEW_YORK.splitlines(), name)


def test_the_zone_of_the_rfc_gives_the_instants_of_ours() -> None:
    zone = tzical(io.StringIO(RFC_5545_NEW_YORK)).get()
    for each in read_by_icalendar(file_of(*PLAIN)):
        assert each[1].astimezone(zone).hour == 7


def test_identities_are_uuids_of_version_5() -> None:
    """RFC 9562, appendix A.4: www.example.com in the name space of domain names."""
    domain_names = bytes.fromhex("6ba7b8109dad11d180b400c04fd430c8")
    found = named_uuid(domain_names, "www.example.com")
    assert found == "2ed6657d-e927-568b-95e1-2665a8aea6a2"


def test_identities_are_those_of_the_standard_library() -> None:
    expected = uuid.uuid5(uuid.UUID(bytes=NAMESPACE), "c1b7d0a29e\x1ftub\x1fplumber")
    assert entry_uid("c1b7d0a29e", "tub", "plumber") == str(expected)
