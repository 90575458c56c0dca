"""What may come in from the calendar of somebody else, rule by rule.

The rules answer faults of calendar readers that were seen; each test names one and shows it on a
file of our own, mostly beside a good entry that must survive.

Source: RFC 5545, sections 3.1 (lines and their ends), 3.3.10 (rules), 3.6 (what stands inside
what); RFC 5546, section 6.1 (whom to believe). Limits are our own.
"""

from __future__ import annotations

import builtins
import gzip
import io
import socket
from typing import Any

import icalendar
import pytest

from readiness.exchange import ics_reading
from readiness.exchange.ics_gate import gated
from readiness.exchange.ics_reading import read_calendars
from readiness.telling.heard import Heard
from tests.exchange.hostile import GOOD, HEAD, TAIL, beside, event, ruled, zoned
from tests.exchange.test_ics_reading import WINDOW


def read(content: bytes) -> Heard:
    return read_calendars(content, WINDOW)


def survives(heard: Heard) -> bool:
    return "good" in [busy.uid for busy in heard.busy]


def told(content: bytes) -> str:
    """Return what is told of a file whose good entry survives."""
    heard = read(content)
    assert survives(heard), heard.losses
    return "; ".join(f"{line}: {what}" for line, what in heard.losses)


# --- 1: bytes -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (beside("X-A:" + "a" * 5_000_000 + "\r\n"), "at most 5000000 are read"),
        (beside("").decode().encode("utf-16"), "is UTF-16"),
        (gzip.compress(beside("")), "is packed"),
        (b"<html>" + beside(""), "is a web page"),
        (b"hello", "holds no calendar"),
    ],
    ids=["too large", "UTF-16", "gzip", "HTML", "no calendar"],
)
def test_rule_1_what_is_no_text_of_a_calendar_is_refused_in_words(
    content: bytes, says: str
) -> None:
    passed = gated(content)
    assert passed.pieces == []
    heard = read(content)
    assert heard.busy == ()
    assert says in "; ".join(
        what for _, what in (*((0, each.what) for each in passed.losses), *heard.losses)
    )


def test_rule_1_a_mark_of_byte_order_is_passed_over() -> None:
    assert told(b"\xef\xbb\xbf" + beside("")) == ""


@pytest.mark.parametrize("ends", [b"\n", b"\r", b"\r\n"])
def test_rule_1_every_end_of_a_line_is_one(ends: bytes) -> None:
    assert told(beside("").replace(b"\r\n", ends)) == ""


def test_rule_1_lines_are_joined_before_they_are_decoded() -> None:
    """A fold may cut a letter of two bytes in two."""
    cut = beside("").replace(b"Other site", b"B\xc3\r\n \xbcro")
    assert [busy.title for busy in read(cut).busy] == ["Büro"]


def test_rule_1_what_is_not_utf_8_is_read_as_windows_text_and_told() -> None:
    heard = read(beside("").replace(b"Other site", b"B\xfcro"))
    assert [busy.title for busy in heard.busy] == ["Büro"]
    assert any("not UTF-8" in what for _, what in heard.losses)


def test_rule_1_control_signs_are_taken_out_and_told() -> None:
    heard = read(beside("").replace(b"Other site", b"Ot\x00her\x07 site"))
    assert [busy.title for busy in heard.busy] == ["Other site"]
    assert any("control signs" in what for _, what in heard.losses)


def test_rule_1_no_text_is_taken_for_the_name_of_a_file(monkeypatch: pytest.MonkeyPatch) -> None:
    """A reader of earlier years opened what had no line end."""

    def opened(*names: object, **_: object) -> Any:  # noqa: ANN401  never returns
        pytest.fail(f"opened {names}")

    monkeypatch.setattr(io, "open", opened)
    monkeypatch.setattr(builtins, "open", opened)
    read(b"/etc/passwd")
    read(b"BEGIN:VCALENDAR/etc/passwd")


# --- 2: structure ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("X-A:" + "a" * 64_001 + "\r\n", "no property"),
        ("BEGIN:X-A\r\n" + "BEGIN:X-B\r\n" * 4 + "END:X-B\r\n" * 4 + "END:X-A\r\n", "too deep"),
        ("BEGIN:VEVENT\r\nUID:w\r\nEND:VTODO\r\nEND:VEVENT\r\n", "END:VTODO closes VEVENT"),
        ("BEGIN:VEVENT\r\nBEGIN:VEVENT\r\nEND:VEVENT\r\nEND:VEVENT\r\n", "inside VEVENT"),
        ("BEGIN:VEVENT\r\nBEGIN:VTIMEZONE\r\nEND:VTIMEZONE\r\nEND:VEVENT\r\n", "inside VEVENT"),
        (f"BEGIN:{'A' * 41}\r\nEND:{'A' * 41}\r\n", "name of a component"),
        ("BEGIN:A_B\r\nEND:A_B\r\n", "name of a component"),
    ],
    ids=["line", "depth", "end", "event in event", "zone in event", "long name", "bad name"],
)
def test_rule_2_the_structure_is_checked_first(text: str, says: str) -> None:
    if "X-A:" in text:
        text = f"BEGIN:VEVENT\r\nUID:l\r\n{text}END:VEVENT\r\n"
        says = "longer than 64 kB"
    assert says in told(beside(text))


def test_rule_2_at_most_200_000_lines_are_read() -> None:
    late = HEAD + GOOD + "X-A:b\r\n" * 200_000 + GOOD.replace("UID:good", "UID:late") + TAIL
    heard = read(late.encode())
    assert [busy.uid for busy in heard.busy] == ["good"]
    assert any("only 200000 lines" in what for _, what in heard.losses)


def test_rule_2_at_most_20_000_components_are_read() -> None:
    late = HEAD + "BEGIN:X-A\r\nEND:X-A\r\n" * 20_000 + GOOD + TAIL
    heard = read(late.encode())
    assert heard.busy == ()
    assert any("only 20000 components" in what for _, what in heard.losses)


# --- 3: lines of a component ----------------------------------------------------------------


@pytest.mark.parametrize("frequency", ["SECONDLY", "MINUTELY", "HOURLY", "FORTNIGHTLY", ""])
def test_rule_3_a_series_repeats_by_days_weeks_months_or_years(frequency: str) -> None:
    assert "RRULE: repeats" in told(ruled(f"FREQ={frequency}"))


@pytest.mark.parametrize(
    ("rule", "passes"),
    [
        ("FREQ=DAILY;INTERVAL=0", False),
        ("FREQ=DAILY;INTERVAL=-1", False),
        ("FREQ=DAILY;INTERVAL=1", True),
        ("FREQ=DAILY;INTERVAL=400", True),
        ("FREQ=DAILY;INTERVAL=401", False),
        ("FREQ=DAILY;COUNT=5000", True),
        ("FREQ=DAILY;COUNT=5001", False),
        ("FREQ=DAILY;BYHOUR=1", False),
        ("FREQ=DAILY;BYMINUTE=1", False),
        ("FREQ=DAILY;BYSECOND=1", False),
        ("RSCALE=GREGORIAN;FREQ=DAILY", False),
        ("FREQ=DAILY;COUNT=2;UNTIL=20260601T000000Z", False),
        ("FREQ=DAILY;FREQ=DAILY", False),
        ("FREQ=DAILY;UNTIL=tomorrow", False),
        ("FREQ=WEEKLY;BYDAY=MO,WE;UNTIL=20260601T000000Z", True),
    ],
)
def test_rule_3_the_parts_of_a_series_have_limits(rule: str, *, passes: bool) -> None:
    assert (told(ruled(rule)) == "") == passes


def test_rule_3_rules_that_take_away_are_not_read() -> None:
    assert "EXRULE" in told(event("DURATION:PT1H", "EXRULE:FREQ=DAILY"))


@pytest.mark.parametrize(("count", "passes"), [(1_000, True), (1_001, False)])
def test_rule_3_single_dates_have_a_limit(count: int, *, passes: bool) -> None:
    dates = ",".join(["20260507T120000Z"] * count)
    assert (told(event("DURATION:PT1H", f"RDATE:{dates}")) == "") == passes


@pytest.mark.parametrize(
    ("year", "passes"), [("1969", False), ("1970", True), ("2100", True), ("2101", False)]
)
def test_rule_3_years_have_limits(year: str, *, passes: bool) -> None:
    start = f"DTSTART:{year}0506T120000Z"
    assert (told(event("DURATION:PT1H", start=start)) == "") == passes


@pytest.mark.parametrize("zone", ["", "a" * 101, "../../etc/passwd", "Ame\trica"])
def test_rule_3_the_name_of_a_zone_is_a_name(zone: str) -> None:
    start = f"DTSTART;TZID={zone}:20260507T080000"
    assert "name of its time zone is none" in told(event("DURATION:PT1H", start=start))


@pytest.mark.parametrize(
    "twice", ["DTSTART:20260507T120000Z", "UID:again", "SEQUENCE:1", "RRULE:FREQ=DAILY"]
)
def test_rule_3_what_stands_once_stands_once(twice: str) -> None:
    name = twice.partition(":")[0]
    more = [] if name in {"DTSTART", "UID"} else [twice]
    assert f"{name} stands twice" in told(event("DURATION:PT1H", *more, twice))


@pytest.mark.parametrize(
    "rule",
    ["FREQ=MINUTELY", "FREQ=SECONDLY", "FREQ=HOURLY", "FREQ=DAILY", "FREQ=YEARLY;INTERVAL=2"],
)
def test_rule_3_a_zone_changes_once_a_year(rule: str) -> None:
    """A zone that changes every minute keeps a reader busy for ever at the first question."""
    said = told(zoned(f"RRULE:{rule}", f"RRULE:{rule}"))
    assert "VTIMEZONE: RRULE" in said
    assert "Site Local" in said, "whatever used it is told as well"


def test_rule_3_a_zone_that_is_known_keeps_its_own_data() -> None:
    heard = read(zoned("X-A:b", "X-A:b", zone="America/New_York"))
    (mine,) = [busy for busy in heard.busy if busy.uid == "z"]
    assert mine.starts.utcoffset() is not None
    assert f"{mine.starts:%H:%M %z}" == "08:00 -0400"
    bad = zoned("X-A:b", zone="America/New_York").replace(b"+0200", b"+9999")
    assert read(bad).losses == (), "it is not even looked at"


# --- 4: each component alone ----------------------------------------------------------------


def test_rule_4_a_bad_alarm_does_not_cost_the_entry() -> None:
    alarm = ("BEGIN:VALARM", "ACTION:DISPLAY", "TRIGGER:soon", "END:VALARM")
    heard = read(event("DURATION:PT1H", *alarm))
    assert {busy.uid for busy in heard.busy} == {"good", "bad"}
    assert any("alarms" in what for _, what in heard.losses)


RAISED = (
    ValueError,
    TypeError,
    KeyError,
    AttributeError,
    AssertionError,
    OverflowError,
    OSError,
    RecursionError,
)
"""What readers have been seen to raise at bad files."""


@pytest.mark.parametrize("error", RAISED, ids=lambda error: error.__name__)
def test_rule_4_whatever_the_reader_raises_costs_one_component(
    error: type[Exception], monkeypatch: pytest.MonkeyPatch
) -> None:
    real = icalendar.Component.from_ical

    def raising(text: bytes) -> object:
        if b"UID:bad" in text:
            raise error
        return real(text)

    monkeypatch.setattr(icalendar.Component, "from_ical", raising)
    assert "VEVENT can't be read" in told(event("DURATION:PT1H"))


# --- 5: after the reader --------------------------------------------------------------------


@pytest.mark.parametrize(
    ("line", "start"),
    [
        ("DTEND:20260506T110000Z", "DTSTART:20260506T120000Z"),
        ("DTEND:20260506T120000Z", "DTSTART:20260506T120000Z"),
        ("DTEND:20261345T120000Z", "DTSTART:20260506T120000Z"),
        ("DURATION:PT1H", "DTSTART;TZID=Nowhere:20260507T080000"),
        ("DURATION:PT1H", "DTSTART:٢٠٢٦٠٥٠٦T١٢٠٠٠٠Z"),
        ("SEQUENCE:-5", "DTSTART:20260506T120000Z"),
        ("RRULE:FREQ=DAILY;BYDAY=XX", "DTSTART:20260506T120000Z"),
        ("DURATION:PT1H", ""),
    ],
    ids=["before", "at once", "no date", "zone", "digits", "number", "rule", "none"],
)
def test_rule_5_what_the_reader_lets_pass_is_judged(line: str, start: str) -> None:
    heard = read(event(line, start=start))
    assert [busy.uid for busy in heard.busy] == ["good"]
    assert heard.losses


def test_rule_5_every_entry_is_written_once_to_see_what_breaks(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Some values are taken by the reader and raise only when they are written."""
    written = []
    real = icalendar.Event.to_ical

    def noted(self: icalendar.Event, *words: object, **more: object) -> bytes:
        written.append(str(self["UID"]))
        content: bytes = real(self, *words, **more)  # type: ignore[arg-type]
        return content

    monkeypatch.setattr(icalendar.Event, "to_ical", noted)
    read(event("DURATION:PT1H"))
    assert written == ["bad", "good"]
    said = told(event("DURATION:PT1H", "RDATE;VALUE=PERIOD:20260507T120000Z/20260507T110000Z"))
    assert "VEVENT can't be read" in said


# --- 6: series ------------------------------------------------------------------------------


def test_rule_6_a_series_is_unfolded_inside_the_days_of_the_job() -> None:
    heard = read(ruled("FREQ=DAILY", "DTSTART:20200101T120000Z"))
    mine = [busy for busy in heard.busy if busy.uid == "bad"]
    assert all(busy.ends > WINDOW.first and busy.starts < WINDOW.last for busy in mine)
    assert len(mine) == (WINDOW.last - WINDOW.first).days


def test_rule_6_all_series_together_have_a_limit(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(ics_reading, "MOST_TIMES", 10)
    assert "repeats too often" in told(ruled("FREQ=DAILY", "DTSTART:20260501T120000Z"))


# --- 7: nothing is followed, nothing is done ------------------------------------------------


def test_rule_7_no_address_is_followed(monkeypatch: pytest.MonkeyPatch) -> None:
    def called(*words: object, **_: object) -> Any:  # noqa: ANN401  never returns
        pytest.fail(f"asked the network for {words}")

    monkeypatch.setattr(socket.socket, "connect", called)
    monkeypatch.setattr(socket, "getaddrinfo", called)
    lines = (
        "URL:http://example.com/",
        "ATTACH:file:///etc/passwd",
        "IMAGE;VALUE=URI:http://example.com/a.png",
        "SOURCE;VALUE=URI:http://example.com/a.ics",
        'DESCRIPTION;ALTREP="http://example.com/":x',
    )
    assert told(event("DURATION:PT1H", *lines)) == ""


def test_rule_7_what_nobody_asks_for_does_not_get_to_the_reader() -> None:
    lines = ("URL:http://example.com/", "ATTACH:file:///etc/passwd", "DESCRIPTION:x")
    passed = gated(event("DURATION:PT1H", *lines))
    names = {line.partition(":")[0] for _, line in passed.pieces[0].lines}
    assert names == {"BEGIN", "UID", "DTSTAMP", "DTSTART", "DURATION", "END"}


@pytest.mark.parametrize("method", ["REQUEST", "PUBLISH", "ADD", "CANCEL"])
def test_rule_7_a_method_moves_nothing_of_ours(method: str) -> None:
    """Only answers are taken for more than busy times, and those are shown first."""
    content = beside("").replace(
        b"VERSION:2.0\r\n", b"VERSION:2.0\r\nMETHOD:%s\r\n" % method.encode()
    )
    heard = read(content)
    assert heard.answers == ()
    assert len(heard.busy) == (method != "CANCEL")
