"""Days off: a day, some days, a rule that comes round."""

from __future__ import annotations

from datetime import date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from readiness.job.days_off import DaysOff
from readiness.job.written import MisreadError

MAY = (date(2026, 5, 1), date(2026, 5, 31))


def days(text: str, first: date = MAY[0], last: date = MAY[1]) -> list[int]:
    """Return the days of the month that a text covers."""
    return [day.day for day in sorted(DaysOff.parse(text).covers(first, last))]


def test_a_day_covers_itself() -> None:
    assert days("2026-05-07") == [7]
    assert DaysOff.from_written(date(2026, 5, 7)) == DaysOff.parse("2026-05-07")
    off = DaysOff.from_written(date(2026, 5, 7))
    assert str(off) == "2026-05-07"
    assert DaysOff.from_written(off) is off


def test_a_span_covers_its_ends_and_is_cut_to_the_range() -> None:
    assert days("2026-05-07 to 2026-05-09") == [7, 8, 9]
    assert days("2026-04-20 to 2026-05-02") == [1, 2]
    assert days("2026-05-30 to 2026-06-20") == [30, 31]
    assert days("2026-06-01 to 2026-06-20") == []


def test_a_rule_without_a_start_comes_round_in_every_range() -> None:
    assert days("FREQ=WEEKLY;BYDAY=FR") == [1, 8, 15, 22, 29]
    assert days("rrule:freq=weekly;byday=fr") == [1, 8, 15, 22, 29]
    assert days("FREQ=MONTHLY;BYDAY=1MO") == [4]
    assert days("FREQ=MONTHLY;BYMONTHDAY=-1") == [31]
    assert days("FREQ=YEARLY;BYMONTH=5;BYMONTHDAY=1") == [1]
    assert days("FREQ=DAILY") == list(range(1, 32))


def test_a_rule_of_every_other_week_counts_from_its_start() -> None:
    rule = "FREQ=WEEKLY;INTERVAL=2;BYDAY=FR;DTSTART="
    assert days(rule + "20260501") == [1, 15, 29]
    assert days(rule + "20260508") == [8, 22]
    assert days(rule + "20240101") == [8, 22]


def test_a_rule_ends_with_its_count_or_its_last_day() -> None:
    assert days("FREQ=WEEKLY;COUNT=2;BYDAY=FR;DTSTART=20260508") == [8, 15]
    assert days("FREQ=WEEKLY;UNTIL=20260515;BYDAY=FR") == [1, 8, 15]
    assert days("FREQ=WEEKLY;UNTIL=20260514;BYDAY=FR") == [1, 8]
    assert days("FREQ=WEEKLY;BYDAY=FR;DTSTART=20270101") == []


def test_a_rule_over_the_turn_of_the_year_loses_no_day() -> None:
    first, last = date(2026, 12, 28), date(2027, 1, 10)
    assert DaysOff.parse("FREQ=WEEKLY;BYDAY=FR").covers(first, last) == {
        date(2027, 1, 1),
        date(2027, 1, 8),
    }


@given(
    st.sampled_from(
        [
            "FREQ=WEEKLY;BYDAY=MO,FR",
            "FREQ=MONTHLY;BYDAY=-1FR",
            "FREQ=WEEKLY;INTERVAL=3;BYDAY=TU;DTSTART=20250107",
            "FREQ=DAILY;INTERVAL=5;DTSTART=20251230",
            "FREQ=YEARLY;BYWEEKNO=1;BYDAY=MO",
            "FREQ=MONTHLY;BYDAY=MO,TU,WE,TH,FR;BYSETPOS=1",
            "2026-01-05 to 2026-01-09",
        ]
    ),
    st.dates(date(2024, 12, 1), date(2027, 2, 1)),
    st.integers(0, 60),
    st.integers(0, 60),
)
def test_the_days_of_a_range_do_not_hang_on_where_it_is_cut(
    text: str, first: date, before: int, after: int
) -> None:
    off = DaysOff.parse(text)
    middle = first + timedelta(days=before)
    last = middle + timedelta(days=after + 1)
    cut = off.covers(first, middle) | off.covers(middle + timedelta(days=1), last)
    assert off.covers(first, last) == cut


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("FREQ=HOURLY", "a day off is a whole day"),
        ("FREQ=MINUTELY", "a day off is a whole day"),
        ("FREQ=SECONDLY;COUNT=5", "a day off is a whole day"),
        ("FREQ=WEEKLY;INTERVAL=0;BYDAY=FR", "INTERVAL counts from 1"),
        ("FREQ=WEEKLY;INTERVAL=9999;BYDAY=FR", "INTERVAL counts from 1"),
        ("FREQ=WEEKLY;INTERVAL=2;BYDAY=FR", "say where it begins"),
        ("FREQ=WEEKLY;COUNT=4;BYDAY=FR", "say where it begins"),
        ("FREQ=WEEKLY", "say where it begins"),
        ("FREQ=MONTHLY", "say where it begins"),
        ("FREQ=YEARLY;BYMONTH=5", "say where it begins"),
        ("FREQ=DAILY;COUNT=20000;DTSTART=20260101", "COUNT goes to 10000"),
        ("FREQ=DAILY;COUNT=5;UNTIL=20260601;DTSTART=20260101", "not both"),
        ("FREQ=WEEKLY;BYDAY=FR;UNTIL=20260601T000000Z", "a day without a time"),
        ("FREQ=WEEKLY;BYDAY=FR;UNTIL=20261301", "write it like"),
        ("FREQ=WEEKLY;BYDAY=FR;DTSTART=00010101", "1990 to 2200"),
        ("FREQ=WEEKLY;BYDAY=XX", "BYDAY=XX can't be"),
        ("FREQ=MONTHLY;BYMONTHDAY=99", "BYMONTHDAY goes to 31"),
        ("FREQ=MONTHLY;BYMONTHDAY=0", "BYMONTHDAY goes to 31"),
        ("FREQ=YEARLY;BYMONTH=13;BYMONTHDAY=1", "BYMONTH goes to 12"),
        ("FREQ=WEEKLY;BYHOUR=9;BYDAY=FR", "BYHOUR is no part"),
        ("FREQ=YEARLY;BYEASTER=0", "BYEASTER is no part"),
        ("BYDAY=FR", "begins with FREQ"),
        ("FREQ=WEEKLY;FREQ=DAILY", "each once"),
        ("FREQ=WEEKLY;BYDAY", "each once"),
        ("2026-05-07 morning", "a whole day"),
        ("by 2026-05-07", "a whole day"),
        ("2026-05-07 09:00", "a whole day"),
        ("fridays", "write it like 2026-05-07"),
    ],
)
def test_what_is_no_day_off_is_refused(text: str, words: str) -> None:
    with pytest.raises(MisreadError) as caught:
        DaysOff.parse(text)
    assert words in caught.value.hint


def test_a_very_long_rule_is_refused() -> None:
    with pytest.raises(MisreadError):
        DaysOff.parse("FREQ=WEEKLY;BYDAY=" + "FR," * 200 + "FR")


@pytest.mark.parametrize("value", [5, True, datetime(2026, 5, 7, 9)])  # noqa: DTZ001
def test_other_values_are_no_day_off(value: object) -> None:
    with pytest.raises(MisreadError):
        DaysOff.from_written(value)


@pytest.mark.parametrize(
    "text",
    [
        "FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30",
        "FREQ=MONTHLY;BYMONTH=2;BYMONTHDAY=31",
        "FREQ=DAILY;BYMONTH=2;BYMONTHDAY=30",
        "FREQ=DAILY;COUNT=9;BYMONTH=2;BYMONTHDAY=30;DTSTART=19900101",
        "FREQ=DAILY;INTERVAL=7;BYDAY=FR;DTSTART=20260504",
        "FREQ=WEEKLY;BYDAY=FR;BYSETPOS=2",
    ],
)
def test_a_rule_that_never_comes_is_refused(text: str) -> None:
    """Looked for day by day it would cost seconds until the year 9999, each time it is asked."""
    with pytest.raises(MisreadError, match="no day fits all its parts together"):
        DaysOff.parse(text)


def test_a_rule_that_comes_rarely_is_read() -> None:
    rule = DaysOff.parse("FREQ=DAILY;BYMONTH=2;BYMONTHDAY=29;BYDAY=FR;DTSTART=21990101")
    assert rule.covers(*MAY) == frozenset()
    assert DaysOff.parse("FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=29").covers(
        date(2028, 1, 1), date(2028, 12, 31)
    ) == {date(2028, 2, 29)}


def test_a_range_far_ahead_is_answered() -> None:
    rule = DaysOff.parse("FREQ=WEEKLY;BYDAY=FR")
    assert rule.covers(date(2201, 1, 1), date(2201, 1, 10)) == {date(2201, 1, 2), date(2201, 1, 9)}
