"""Calendar files: what stands in them, and what cannot get into them."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as some

from readiness.exchange.calendar_file import is_ours
from tests.conftest import ROOT
from tests.exchange.builders import answer, entry, file_of
from tests.exchange.rfc_lines import complaints, moment_of, read, unescaped


def values(content: bytes, name: str) -> list[str]:
    """Return the values of a property of all events."""
    events = [each for each in read(content).components if each.name == "VEVENT"]
    return [event.first(name).value for event in events]


def test_an_entry_holds_what_the_letter_says() -> None:
    content = file_of(entry(agreed=False, busy=False))
    (event,) = [each for each in read(content).components if each.name == "VEVENT"]
    assert {each.name: each.value for each in event.properties} == {
        "UID": "e02b429f-87d5-5821-a9d5-90a85f7e52d1",
        "DTSTAMP": "20260504T103000Z",
        "DTSTART": "20260514T070000",
        "DTEND": "20260514T150000",
        "SUMMARY": "Set tub\\, Bath 1",
        "DESCRIPTION": "Agreed.\\nCall: Doyle Homes\\, 555-0140",
        "LOCATION": "14 Alder Street",
        "STATUS": "TENTATIVE",
        "TRANSP": "TRANSPARENT",
        "SEQUENCE": "3",
        "LAST-MODIFIED": "20260504T103000Z",
        "CATEGORIES": "Plumber,SITE READINESS",
        "X-MICROSOFT-CDO-BUSYSTATUS": "FREE",
    }
    assert event.first("DTSTART").parameters == {"TZID": "America/New_York"}


def test_agreed_work_is_confirmed_and_takes_time() -> None:
    content = file_of(entry())
    assert values(content, "STATUS") == ["CONFIRMED"]
    assert values(content, "TRANSP") == ["OPAQUE"]


def test_a_file_asks_for_no_answer() -> None:
    """Without a method a file is a snapshot."""
    assert b"METHOD" not in file_of()
    assert b"ATTENDEE" not in file_of()


def test_a_file_with_one_entry_has_no_name() -> None:
    """Some programs make a new calendar of a named file, even for one entry."""
    assert b"CALNAME" not in file_of(entry())
    two = file_of(entry(), entry(item="sink"))
    assert b"NAME:Alder Street 14 plumber\r\nX-WR-CALNAME:Alder Street 14 plumber" in two


def test_names_of_calendars_hold_no_sign_that_is_escaped() -> None:
    content = file_of(entry(), entry(item="sink"), job="Alder; Street, \\14\r\nMETHOD:CANCEL")
    assert b"NAME:Alder Street 14 METHOD:CANCEL plumber\r\n" in content
    assert complaints(content) == []


HOSTILE = [
    "a\r\nMETHOD:CANCEL",
    "a\rEND:VEVENT",
    "a\nBEGIN:VALARM",
    "a\x00b\x07c\x1bd\x7fe",
    "a\u2028b\u2029c\x85d",
    "\\n \\, \\; \\\\",
    'quote " colon : caret ^',
    "a" * 1_000,
    "🏠" * 200,
    "e\u0301" * 100,
    "\ud800 half",
    "\u202egnirts\u202c",
    "\ufeffmark",
    "",
    "\t tab\tand   spaces ",
    "BEGIN:VCALENDAR",
]


@pytest.mark.parametrize("text", HOSTILE)
def test_no_text_breaks_a_file(text: str) -> None:
    content = file_of(
        entry(title=text, says=(text, text), place=text), entry(item="sink", title=text), job=text
    )
    assert complaints(content) == []
    assert len(values(content, "UID")) == 2


@given(some.text(max_size=200))
def test_plain_text_comes_back(text: str) -> None:
    """What is no control character and no space comes back as it was written."""
    content = file_of(entry(title=text, says=(text,), place=text))
    assert complaints(content) == []
    unseen = "\u200b\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\ufeff"
    kept = "".join(
        sign
        for sign in text
        if not sign.isspace() and sign not in unseen and not 0x7F <= ord(sign) < 0xA0
        and ord(sign) >= 0x20
    )  # fmt: skip
    (title,) = values(content, "SUMMARY")
    assert "".join(unescaped(title).split()) == kept


def test_local_times_that_exist_twice_are_written_in_utc() -> None:
    """Read as the first one by the rules, and as the second one by some readers."""
    first = file_of(entry("2026-11-01 01:30", hours=3))
    later = file_of(entry("2026-11-01 01:30", hours=3, fold=1))
    (early,) = [each for each in read(first).components if each.name == "VEVENT"]
    (late,) = [each for each in read(later).components if each.name == "VEVENT"]
    assert early.first("DTSTART").value == "20261101T053000Z"
    assert late.first("DTSTART").value == "20261101T063000Z"
    starts, ends = moment_of(late.first("DTSTART")), moment_of(late.first("DTEND"))
    assert starts is not None
    assert ends is not None
    assert (ends - starts).total_seconds() == 3 * 3600


@pytest.mark.parametrize(
    "zone", ["UTC", "Etc/UTC", "Africa/Abidjan", "Atlantic/Reykjavik", "Factory"]
)
def test_what_never_differs_from_utc_has_no_zone(zone: str) -> None:
    content = file_of(entry(zone=zone), zone=zone)
    assert b"VTIMEZONE" not in content
    assert b"DTSTART:20260514T070000Z" in content
    assert complaints(content) == []


PROGRAM = """
import sys
from tests.exchange.builders import entry, file_of
sys.stdout.buffer.write(file_of(entry(), entry(item="sink", title="a\\r\\nMETHOD:CANCEL")))
"""


@pytest.mark.parametrize(
    ("seed", "zone", "switch"),
    [("0", "UTC", "-B"), ("1", "Asia/Tokyo", "-B"), ("2", "America/St_Johns", "-O")],
)
def test_equal_letters_give_equal_bytes(seed: str, zone: str, switch: str) -> None:
    """Whatever the hash seed, the machine's zone, and with assertions switched off."""
    environment = {**os.environ, "PYTHONHASHSEED": seed, "TZ": zone}
    run = subprocess.run(
        [sys.executable, switch, "-c", PROGRAM],
        cwd=ROOT,
        env=environment,
        capture_output=True,
        check=True,
    )
    assert run.stdout == file_of(entry(), entry(item="sink", title="a\r\nMETHOD:CANCEL"))


def test_our_files_are_known_again() -> None:
    assert is_ours(file_of())
    assert is_ours(file_of(*(entry(item=f"item-{number}") for number in range(50)))[:4096])


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"# notes\nPRODID:-//readiness//trade calendar 0.1//EN",
        b"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//example.com//other//EN\r\n",
        b"BEGIN:VCALENDAR\r\n" + b"X-A:b\r\n" * 50 + b"PRODID:-//readiness//trade calendar 0.1",
    ],
)
def test_other_files_are_not(content: bytes) -> None:
    assert not is_ours(content)


def test_entries_keep_their_order() -> None:
    made = answer(entry(item="b"), entry(item="a"))
    assert [each.item for each in made.letters[0].entries] == ["b", "a"]
    content = file_of(entry(item="b", title="first"), entry(item="a", title="second"))
    assert values(content, "SUMMARY") == ["first", "second"]
