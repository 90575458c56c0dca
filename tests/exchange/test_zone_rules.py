"""Zones as rules: equal to the zone's own data, by a reader of rules that stands apart."""

from __future__ import annotations

import io
import zoneinfo
from datetime import UTC, datetime, timedelta, tzinfo
from functools import cache
from zoneinfo import ZoneInfo

import pytest
from dateutil.tz import tzical

from readiness.exchange.zone_rules import observances
from tests.exchange.builders import entry, file_of
from tests.exchange.rfc_lines import complaints

FIRST = datetime(2026, 5, 1, tzinfo=UTC)
LAST = FIRST + timedelta(days=366 * 10)

SAMPLED = (
    "America/New_York",  # northern, by the second and first Sunday
    "Europe/Berlin",  # northern, by the last Sunday
    "America/Phoenix",  # no summer time
    "Asia/Kolkata",  # half an hour
    "Australia/Sydney",  # southern
    "Australia/Lord_Howe",  # half an hour of summer time
    "Pacific/Chatham",  # southern, three quarters of an hour
    "America/Santiago",  # southern, a Sunday that is not counted from the start of the month
    "America/Nuuk",  # the evening before the last Sunday
    "Asia/Jerusalem",  # a Friday counted from another weekday
    "Africa/Cairo",  # midnight of a Thursday, sometimes in the next month
    "Africa/Casablanca",  # follows a fasting month: no rule at all
    "Europe/Dublin",  # winter time is the exception in the zone's own data
    "America/St_Johns",
    "America/Toronto",
    "Antarctica/Troll",  # two hours
)


def reader_of(zone: str) -> tzinfo:
    """Return the zone as a reader of rules understands our file."""
    content = file_of(entry("2026-05-01 07:00", zone=zone), zone=zone)
    assert complaints(content) == []
    text = content.decode().replace("\r\n ", "").replace("\r\n", "\n")
    first, _, rest = text.partition("BEGIN:VTIMEZONE")
    assert first
    body = "BEGIN:VTIMEZONE" + rest.partition("END:VTIMEZONE")[0] + "END:VTIMEZONE\n"
    return read_rules(body)


def read_rules(text: str) -> tzinfo:
    """Return the zone that a VTIMEZONE describes."""
    zone = tzical(io.StringIO(text)).get()
    assert zone is not None
    return zone


def differences(zone: str) -> list[datetime]:
    """Return the instants of ten years at which our zone is wrong.

    One instant a day is looked at, and every half hour of a day at whose ends offsets differ.
    """
    own, ours = ZoneInfo(zone), reader_of(zone)
    found: list[datetime] = []
    at, last = FIRST, FIRST.astimezone(own).utcoffset()
    while at < LAST:
        offset = at.astimezone(own).utcoffset()
        steps = 1 if offset == last else 48
        found += [
            instant
            for instant in (at - number * timedelta(minutes=30) for number in range(steps))
            if instant.astimezone(ours).utcoffset() != instant.astimezone(own).utcoffset()
        ]
        at, last = at + timedelta(days=1), offset
    return found


@pytest.mark.parametrize("zone", SAMPLED)
def test_a_zone_is_right_for_ten_years(zone: str) -> None:
    """Every half hour of the days on which the clock changes, and one instant each other day."""
    assert differences(zone) == []


@pytest.mark.long
@pytest.mark.parametrize(
    "zone", sorted(zoneinfo.available_timezones() - {"localtime", "posixrules", "Factory"})
)
def test_every_zone_is_right_for_ten_years(zone: str) -> None:
    if b"BEGIN:VTIMEZONE" not in file_of(entry(zone=zone), zone=zone):
        assert not any(
            (FIRST + timedelta(days=day)).astimezone(ZoneInfo(zone)).utcoffset()
            for day in range(3650)
        )
        return
    assert differences(zone) == []


HALF_HOURS = [FIRST + number * timedelta(minutes=30) for number in range(2 * 365 * 48)]
"""Two years, step by step."""


@cache
def offsets_read(body: str) -> list[timedelta | None]:
    """Return the offset of every half hour as a reader of rules understands a zone."""
    ours = read_rules(f"BEGIN:VTIMEZONE\nTZID:X\n{body}")
    return [at.astimezone(ours).utcoffset() for at in HALF_HOURS]


def wrong_half_hours(zone: str) -> list[datetime]:
    """Return the half hours of two years at which our zone is wrong."""
    own = ZoneInfo(zone)
    text = file_of(entry("2026-05-01 07:00", zone=zone), zone=zone).decode()
    _, found, rest = text.replace("\r\n", "\n").partition(f"TZID:{zone}\n")
    body = rest.partition("END:VTIMEZONE\n")[0] + "END:VTIMEZONE\n"
    read = offsets_read(body) if found else [timedelta()] * len(HALF_HOURS)
    pairs = zip(HALF_HOURS, read, strict=True)
    return [at for at, offset in pairs if at.astimezone(own).utcoffset() != offset]


@pytest.mark.parametrize("zone", ["America/New_York", "Australia/Lord_Howe", "Etc/UTC"])
def test_a_zone_is_right_at_every_half_hour_of_two_years(zone: str) -> None:
    assert wrong_half_hours(zone) == []


@pytest.mark.long
@pytest.mark.timeout(3_600)
def test_every_zone_is_right_at_every_half_hour_of_two_years() -> None:
    """Many zones have the same rules, which are read once."""
    zones = sorted(zoneinfo.available_timezones() - {"localtime", "posixrules", "Factory"})
    assert len(zones) > 500
    assert [zone for zone in zones if wrong_half_hours(zone)] == []


def test_a_zone_without_summer_time_has_one_part() -> None:
    (only,) = observances(ZoneInfo("America/Phoenix"), FIRST, LAST)
    assert (only.summer, only.before, only.after) == (False, only.after, timedelta(hours=-7))
    assert only.rule is None


@pytest.mark.parametrize(
    ("zone", "parts"),
    [
        ("America/New_York", ["1SU of 11", "2SU of 3"]),
        ("Europe/Berlin", ["-1SU of 10", "-1SU of 3"]),
        ("Australia/Sydney", ["1SU of 4", "1SU of 10"]),
        ("America/Santiago", ["SU [2, 3, 4, 5, 6, 7, 8] of 4", "SU [2, 3, 4, 5, 6, 7, 8] of 9"]),
        ("Asia/Jerusalem", ["-1SU of 10", "FR [23, 24, 25, 26, 27, 28, 29] of 3"]),
    ],
)
def test_two_yearly_rules_are_found(zone: str, parts: list[str]) -> None:
    """Winter first; one weekday each, because some readers understand no more."""
    found = observances(ZoneInfo(zone), FIRST, LAST)
    told = []
    for observance in found:
        assert observance.rule is not None
        rule = observance.rule.parts()
        days = f" {rule['BYMONTHDAY']}" if "BYMONTHDAY" in rule else ""
        told.append(f"{rule['BYDAY']}{days} of {rule['BYMONTH']}")
    assert told == parts
    assert [observance.summer for observance in found] == [False, True]
    assert {observance.onset.year for observance in found} == {1970}


def test_a_zone_that_follows_no_rule_tells_each_change() -> None:
    found = observances(ZoneInfo("Africa/Casablanca"), FIRST, LAST)
    assert all(observance.rule is None for observance in found)
    assert len(found) > 20
    assert {(each.summer, each.after) for each in found} == {
        (True, timedelta(hours=1)),
        (False, timedelta()),
    }


@pytest.mark.parametrize("zone", ["America/New_York", "Africa/Casablanca"])
def test_a_zone_is_right_for_entries_before_a_rule_began(zone: str) -> None:
    """Until 2006 summer time in New York began in April."""
    old = entry("2005-03-20 07:00", zone=zone)
    content = file_of(old, entry("2026-05-01 07:00", item="b", zone=zone), zone=zone)
    text = content.decode().replace("\r\n ", "").replace("\r\n", "\n")
    body = text[text.index("BEGIN:VTIMEZONE") : text.index("BEGIN:VEVENT")]
    ours = read_rules(body)
    for day in range(0, 8_000, 3):
        at = datetime(2005, 1, 10, 12, tzinfo=UTC) + timedelta(days=day)
        assert at.astimezone(ours).utcoffset() == at.astimezone(ZoneInfo(zone)).utcoffset(), at
