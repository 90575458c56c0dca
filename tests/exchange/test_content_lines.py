"""Our lines are those that the library writes; folds cut no character and no escape."""

from __future__ import annotations

import zoneinfo
from dataclasses import replace

import icalendar
import pytest
from hypothesis import given
from hypothesis import strategies as some

from readiness.exchange.content_lines import escaped, folded, offset, quoted, text_line
from readiness.telling.calendar_entries import Tie
from tests.exchange.builders import entry, file_of
from tests.exchange.rfc_lines import offset_of, unescaped


@given(some.text(some.characters(exclude_categories=["Cs", "Cc"]), max_size=400))
def test_a_line_of_text_is_the_librarys(text: str) -> None:
    theirs = icalendar.Event()
    theirs["SUMMARY"] = icalendar.vText(text)
    lines = theirs.to_ical().decode().split("\r\n")[1:-2]
    assert text_line("SUMMARY", text) == "\r\n".join(lines) + "\r\n"


@given(some.text(some.sampled_from("a\\^;,n\nü🏠 "), max_size=300))
def test_folds_cut_no_escape_and_no_character(text: str) -> None:
    whole = f"DESCRIPTION:{escaped(text)}"
    pieces = folded(whole).split("\r\n ")
    assert "".join(pieces) == whole
    assert all(len(f" {piece}".encode()) <= 75 for piece in pieces)
    assert unescaped(escaped(text)) == text


@pytest.mark.parametrize("length", range(70, 155))
@pytest.mark.parametrize("sign", ["a", "\\", "ü"])
def test_a_line_of_each_length_is_the_librarys(length: int, sign: str) -> None:
    theirs = icalendar.Event()
    text = "b" * (length - len(sign)) + sign
    theirs["SUMMARY"] = icalendar.vText(text + "tail, tail")
    ours = f"BEGIN:VEVENT\r\n{text_line('SUMMARY', text + 'tail, tail')}END:VEVENT\r\n"
    assert ours == theirs.to_ical().decode()


@given(some.text(some.characters(exclude_categories=["Cs", "Cc"]), min_size=1, max_size=60))
def test_a_name_of_a_person_is_quoted_as_the_library_does(name: str) -> None:
    person = icalendar.vCalAddress("mailto:a@example.com")
    person.params["CN"] = icalendar.vText(name.replace('"', "'"))
    assert f"CN={quoted(name)}" == person.params.to_ical().decode()


@pytest.mark.parametrize("text", ["+0000", "-0500", "+0545", "-0330", "+1400"])
def test_an_offset_is_told_as_it_is_read(text: str) -> None:
    assert offset(offset_of(text)) == text


@pytest.mark.parametrize("zone", ["America/New_York", "America/Santiago", "Africa/Casablanca"])
def test_the_library_writes_a_file_of_ours_as_it_is(zone: str) -> None:
    """Read and written again: the order of lines, the zone, titles, moments and ties."""
    one, two = entry(zone=zone), entry("2026-11-01 01:30", item="c", hours=1, zone=zone)
    tie = Tie(two.uid, "end to start", is_earlier=True, gap_minutes=90)
    back = Tie(one.uid, "end to start", is_earlier=False, gap_minutes=90)
    title = 'Büro, Küche; 3-1/2" \\ 62 °F: 🏠' * 4
    content = file_of(replace(one, ties=(tie,)), replace(two, title=title, ties=(back,)), zone=zone)
    icalendar.use_zoneinfo()  # type: ignore[no-untyped-call]
    assert icalendar.Calendar.from_ical(content).to_ical(sorted=True) == content


@pytest.mark.long
def test_the_library_writes_every_zone_of_ours_as_it_is() -> None:
    icalendar.use_zoneinfo()  # type: ignore[no-untyped-call]
    zones = sorted(zoneinfo.available_timezones() - {"localtime", "posixrules", "Factory"})
    files = {zone: file_of(entry(zone=zone), zone=zone) for zone in zones}
    read = {zone: icalendar.Calendar.from_ical(content) for zone, content in files.items()}
    assert len(zones) > 500
    assert [zone for zone in zones if read[zone].to_ical(sorted=True) != files[zone]] == []
