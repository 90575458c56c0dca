"""The strict reader complains about each fault that it is there for."""

from __future__ import annotations

import pytest

from tests.exchange.builders import entry, file_of
from tests.exchange.rfc_lines import complaints

GOOD = file_of(entry(title="Büro, Küche; 100 % \\ fertig"), entry(item="sink"))


def test_a_good_file_has_no_complaint() -> None:
    assert complaints(GOOD) == []


@pytest.mark.parametrize(
    ("read", "broken"),
    [
        (b"\r\n", b"\n"),
        (b"\r\nUID", b"\r\n\r\nUID"),
        (b"SEQUENCE:3", b"SEQUENCE:-1"),
        (b"DESCRIPTION:Agreed.", b"DESCRIPTION:Agreed, done."),
        (b"DESCRIPTION:Agreed.", b"DESCRIPTION:Agreed;"),
        (b"DESCRIPTION:Agreed.", b"DESCRIPTION:Agreed\\t"),
        (b"DESCRIPTION:Agreed.", b"DESCRIPTION:Agreed\x07"),
        (b"DESCRIPTION:Agreed.", b"DESCRIPTION:Agr\xc3\r\n \xb6ed"),
        (b"DESCRIPTION:Agreed.", b"DESCRIPTION:" + b"A" * 80),
        (b"DTSTART;TZID=America/New_York:", b"DTSTART:"),
        (b"DTSTART;TZID=America/New_York:", b"DTSTART;TZID=Europe/Paris:"),
        (b"DTEND;TZID=America/New_York:20260514", b"DTEND;TZID=America/New_York:20260513"),
        (b"DTSTAMP:20260504T103000Z", b"DTSTAMP:20260504T103000"),
        (b"STATUS:CONFIRMED", b"STATUS:CANCELED"),
        (b"STATUS:CONFIRMED", b"STATUS:CANCELLED"),
        (b"BUSYSTATUS:BUSY", b"BUSYSTATUS:OOF"),
        (b"LAST-MODIFIED:20260504T103000Z", b"LAST-MODIFIED:20260504T103000"),
        (b"TRANSP:OPAQUE", b"TRANSP:BUSY"),
        (b"TRANSP:OPAQUE", b"TRANSP:OPAQUE\r\nTRANSP:OPAQUE"),
        (b"TRANSP:OPAQUE", b"TRANSP:OPAQUE\r\nMETHOD:CANCEL"),
        (b"TRANSP:OPAQUE\r\n", b""),
        (b"VERSION:2.0", b"VERSION:1.0"),
        (b";VALUE=DURATION", b""),
        (b"END:VEVENT", b"END:VTODO"),
        (b"RRULE:FREQ=YEARLY", b"RRULE:FREQ=HOURLY"),
        (b"RRULE:FREQ=YEARLY;BYDAY=1SU;BYMONTH=11", b"RDATE:20261101T020000"),
        (b"TZOFFSETTO:-0500", b"TZOFFSETTO:-05"),
        (b"TZID:America/New_York", b"TZID:America/Nowhere"),
        (b"END:VCALENDAR\r\n", b""),
        (b"UID:", b"UID:x@example.com-"),
    ],
)
def test_a_broken_file_has_one(read: bytes, broken: bytes) -> None:
    assert read in GOOD
    assert complaints(GOOD.replace(read, broken))


def test_one_identity_twice_has_one() -> None:
    assert complaints(file_of(entry(), entry("2026-05-15 07:00")))
