"""Calendars of others: nothing hangs or leaks, good entries survive, each loss has its line."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as some

from readiness.exchange.ics_reading import Window, is_calendar, read_calendars
from tests.conftest import ROOT
from tests.exchange.hostile import GOOD, HEAD, LOST, SURVIVED, TAIL, beside, event, ruled

WINDOW = Window(
    datetime(2026, 5, 4, tzinfo=UTC),
    datetime(2026, 6, 30, tzinfo=UTC),
    ZoneInfo("America/New_York"),
)
LONGEST_SECONDS = 20


@pytest.mark.parametrize("name", SURVIVED)
def test_a_good_entry_survives_a_bad_one(name: str) -> None:
    began = time.perf_counter()
    heard = read_calendars(SURVIVED[name](), WINDOW)
    assert time.perf_counter() - began < LONGEST_SECONDS
    assert "good" in [busy.uid for busy in heard.busy], heard.losses


HARMLESS = {
    "byte order mark",
    "line feeds only",
    "carriage returns only",
    "cut character",
    "other line ends in text",
    "daily from 1970",
    "never true",
    "related to itself",
    "file as attachment",
    "end and length",
    "zone that says New York is elsewhere",
    "zone from the root",
    "zone with many dates",
    "zone on UTC",
    "many backslashes",
    "folded into single signs",
    "many parameter values",
    "many blanks",
    "zone of nothing",
    "until without a zone",
    "zone after the event",
    "zone of a maker",
    "two calendars",
    "no version",
    "old version",
    "names in small letters",
    "a day with a time",
    "a kind of value that is none",
    "no identity",
    "identity of 60 kB",
    "one identity twice",
    "a change of a series that is not there",
    "a picture that is none",
    "a script as address",
    "an alarm for ever",
    "five thousand of one identity",
    "method twice",
}
"""Cases of which nothing need be left out, or of which it is told elsewhere."""


@pytest.mark.parametrize("name", sorted(set(SURVIVED) - HARMLESS))
def test_each_loss_is_told_with_its_line(name: str) -> None:
    heard = read_calendars(SURVIVED[name](), WINDOW)
    assert heard.losses
    assert all(line > 3 for line, _ in heard.losses), heard.losses
    assert all(len(what) < 250 and what.isprintable() for _, what in heard.losses)


@pytest.mark.parametrize("name", LOST)
def test_what_is_no_calendar_is_told(name: str) -> None:
    began = time.perf_counter()
    heard = read_calendars(LOST[name](), WINDOW)
    assert time.perf_counter() - began < LONGEST_SECONDS
    assert heard.busy == ()
    assert heard.losses


PROGRAM = """
from tests.exchange.hostile import LOST, SURVIVED
from tests.exchange.test_ics_reading import WINDOW
from tests.memory import peak_megabytes
from readiness.exchange.ics_reading import read_calendars
read = {name: read_calendars(make(), WINDOW) for name, make in {**SURVIVED, **LOST}.items()}
good = sum("good" in [busy.uid for busy in heard.busy] for heard in read.values())
print(good, sum(bool(heard.losses) for heard in read.values()),
      peak_megabytes())
"""


def test_all_of_them_without_assertions_and_within_the_memory() -> None:
    """Under -O, where the library's own assertions are gone; the peak is that of all together."""
    ran = subprocess.run(
        [sys.executable, "-O", "-c", PROGRAM],
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=True,
        timeout=240,
    )
    good, _, megabytes = map(int, ran.stdout.split())
    assert good == len(SURVIVED)
    assert megabytes < 300


@given(some.binary(max_size=400))
def test_no_bytes_leak_an_exception(noise: bytes) -> None:
    content = HEAD.encode() + b"BEGIN:VEVENT\r\n" + noise + b"\r\nEND:VEVENT\r\n" + TAIL.encode()
    read_calendars(content, WINDOW)
    read_calendars(noise, WINDOW)


@given(some.integers(0, 400), some.integers(0, 255))
def test_no_changed_byte_leaks_an_exception(at: int, value: int) -> None:
    content = bytearray(ruled("FREQ=WEEKLY;BYDAY=MO,WE;COUNT=4"))
    content[at % len(content)] = value
    read_calendars(bytes(content), WINDOW)


def test_a_zone_of_one_file_says_nothing_in_the_next() -> None:
    """The library keeps zones that files define; another file may mean another zone by the name."""

    def starts(offset: str) -> datetime:
        zone = (
            "BEGIN:VTIMEZONE\r\nTZID:Site Local\r\nBEGIN:STANDARD\r\nDTSTART:19700101T000000\r\n"
            f"TZOFFSETFROM:{offset}\r\nTZOFFSETTO:{offset}\r\nEND:STANDARD\r\nEND:VTIMEZONE\r\n"
        )
        one = event("DURATION:PT1H", start="DTSTART;TZID=Site Local:20260507T080000")
        heard = read_calendars(
            one.replace(b"BEGIN:VEVENT", zone.encode() + b"BEGIN:VEVENT", 1), WINDOW
        )
        return next(busy.starts for busy in heard.busy if busy.uid == "bad").astimezone(UTC)

    assert starts("+0500").hour == 3
    assert starts("-0500").hour == 13
    third = read_calendars(
        event("DURATION:PT1H", start="DTSTART;TZID=Site Local:20260507T080000"), WINDOW
    )
    assert any("Site Local" in what for _, what in third.losses)


def test_a_series_is_unfolded_inside_the_days_of_the_job_only() -> None:
    heard = read_calendars(ruled("FREQ=WEEKLY;BYDAY=WE", "DTSTART:20200101T120000Z"), WINDOW)
    days = [f"{busy.starts:%m-%d}" for busy in heard.busy if busy.uid == "bad"]
    assert days[0] == "05-06"
    assert days[-1] == "06-24"
    assert len(days) == 8


def test_a_series_keeps_its_hour_over_a_clock_change() -> None:
    window = Window(
        datetime(2026, 10, 26, tzinfo=UTC), datetime(2026, 11, 6, tzinfo=UTC), WINDOW.zone
    )
    one = ruled("FREQ=DAILY;COUNT=10", "DTSTART;TZID=America/New_York:20261027T080000")
    hours = {busy.starts.hour for busy in read_calendars(one, window).busy}
    assert hours == {8}


def test_days_begin_and_end_at_midnight_at_the_site() -> None:
    one = event("DTEND;VALUE=DATE:20260509", start="DTSTART;VALUE=DATE:20260507")
    (busy,) = [each for each in read_calendars(one, WINDOW).busy if each.uid == "bad"]
    assert busy.starts == datetime(2026, 5, 7, 4, tzinfo=UTC)
    assert busy.ends == datetime(2026, 5, 9, 4, tzinfo=UTC)


@pytest.mark.parametrize("line", ["TRANSP:TRANSPARENT", "STATUS:CANCELLED"])
def test_what_takes_no_time_is_not_busy(line: str) -> None:
    heard = read_calendars(event("DURATION:PT1H", line), WINDOW)
    assert [busy.uid for busy in heard.busy] == ["good"]


def test_a_message_of_lines_is_no_calendar() -> None:
    assert not is_calendar(b"From: Bo Tan, electrician\ndone cable\n")
    assert not is_calendar(b"done cable bath\n")
    assert is_calendar(beside(""))
    assert is_calendar(GOOD.encode()) is False
