"""Working days against numpy's business days, and clock time against the zone database."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from readiness.job.instants import instant_of_local, moment_of, shifted
from readiness.schedule.calendar import CLOCK
from readiness.schedule.worktime import Worktime

EPOCH = date(1970, 1, 1)
SHIFT_MINUTES = 480
OPENS_AT = 8 * 60
DAY = 24 * 60

FEDERAL_2021 = tuple(
    date(2021, month, day)
    for month, day in (
        (1, 1), (1, 18), (2, 15), (5, 31), (7, 4), (9, 6), (10, 11), (11, 11), (11, 25), (12, 25),
    )
)  # fmt: skip


def shifts(weekmask: str, holidays: tuple[date, ...] = ()) -> Worktime:
    """Return a calendar of eight-hour days for numpy's seven ones and noughts from Monday on."""

    def spans(low: int, high: int) -> list[tuple[int, int]]:
        days = [EPOCH + timedelta(days=day) for day in range(low // DAY - 1, high // DAY + 1)]
        return [
            (opening(day), opening(day) + SHIFT_MINUTES)
            for day in days
            if weekmask[day.weekday()] == "1" and day not in holidays
        ]

    return Worktime(spans, opening(date(2011, 1, 1)), opening(date(2012, 6, 1)))


def opening(day: date) -> int:
    return (day - EPOCH).days * DAY + OPENS_AT


def day_of(instant: int) -> date:
    return EPOCH + timedelta(days=instant // DAY)


weekmasks = st.text("01", min_size=7, max_size=7).filter(lambda mask: "1" in mask)
days = st.dates(date(2009, 1, 1), date(2015, 12, 31))
off = st.lists(days, max_size=12).map(tuple)


@given(weekmasks, off, days, st.integers(1, 250))
def test_work_of_n_days_ends_on_the_nth_business_day(
    weekmask: str, holidays: tuple[date, ...], first: date, count: int
) -> None:
    """Source: numpy.busday_offset, roll forward."""
    calendar = shifts(weekmask, holidays)
    finish = calendar.finish(opening(first), count * SHIFT_MINUTES)
    last = np.busday_offset(
        first, count - 1, roll="forward", weekmask=weekmask, holidays=list(holidays)
    )
    assert day_of(finish) == last.astype(date)
    assert finish == opening(day_of(finish)) + SHIFT_MINUTES


@given(weekmasks, off, days, st.integers(1, 250))
def test_work_of_n_days_must_start_on_the_nth_business_day_back(
    weekmask: str, holidays: tuple[date, ...], last: date, count: int
) -> None:
    """Source: numpy.busday_offset, roll backward."""
    calendar = shifts(weekmask, holidays)
    start = calendar.latest_start(opening(last) + SHIFT_MINUTES, count * SHIFT_MINUTES)
    first = np.busday_offset(
        last, 1 - count, roll="backward", weekmask=weekmask, holidays=list(holidays)
    )
    assert start == opening(first.astype(date))


@given(weekmasks, off, days, days)
def test_working_time_between_two_days_is_the_count_of_business_days(
    weekmask: str, holidays: tuple[date, ...], early: date, late: date
) -> None:
    """Source: numpy.busday_count (for reversed dates it shifts by a day, so they are ordered)."""
    early, late = sorted((early, late))
    minutes = shifts(weekmask, holidays).minutes_between(opening(early), opening(late))
    counted = np.busday_count(early, late, weekmask=weekmask, holidays=list(holidays))
    assert minutes == counted * SHIFT_MINUTES


WEEKDAYS = "1111100"


@pytest.mark.parametrize(
    ("weekmask", "first", "count", "last"),
    [
        (WEEKDAYS, date(2011, 10, 1), 1, date(2011, 10, 3)),
        ("0010000", date(2011, 1, 1), 3, date(2011, 1, 19)),
        ("0000001", date(2012, 5, 1), 2, date(2012, 5, 13)),
        (WEEKDAYS, date(2011, 3, 20), 1, date(2011, 3, 21)),
        (WEEKDAYS, date(2011, 3, 22), 2, date(2011, 3, 23)),
    ],
)
def test_days_that_the_numpy_reference_prints(
    weekmask: str, first: date, count: int, last: date
) -> None:
    """Source: examples printed in the numpy reference of busday_offset (seen)."""
    finish = shifts(weekmask).finish(opening(first), count * SHIFT_MINUTES)
    assert day_of(finish) == last


@pytest.mark.parametrize(
    ("weekmask", "first", "after", "count"),
    [
        (WEEKDAYS, date(2011, 1, 1), date(2011, 2, 1), 21),
        (WEEKDAYS, date(2011, 1, 1), date(2012, 1, 1), 260),
        ("0000010", date(2011, 1, 1), date(2012, 1, 1), 53),
    ],
)
def test_counts_that_the_numpy_reference_prints(
    weekmask: str, first: date, after: date, count: int
) -> None:
    """Source: examples printed in the numpy reference of busday_count (seen)."""
    minutes = shifts(weekmask).minutes_between(opening(first), opening(after))
    assert minutes == count * SHIFT_MINUTES


def test_a_chain_of_phases_through_a_year_starts_on_the_days_worked_out_with_numpy() -> None:
    """Source of the phases and holidays: an exercise on a 2021 calendar (seen); dates by numpy."""
    lengths = (8, 16, 6, 5, 6, 6, 19, 17, 21, 25, 4, 8, 20, 18, 6, 11, 17, 9, 12, 6)
    expected = (
        "2020-12-28 2021-01-08 2021-02-02 2021-02-10 2021-02-18 2021-02-26 2021-03-08 2021-04-02 "
        "2021-04-27 2021-05-26 2021-07-01 2021-07-07 2021-07-19 2021-08-16 2021-09-10 2021-09-20 "
        "2021-10-05 2021-10-29 2021-11-12 2021-12-01 2021-12-09"
    )
    calendar = shifts(WEEKDAYS, FEDERAL_2021)
    start = calendar.next_minute(opening(date(2020, 12, 28)))
    starts = [start]
    for length in lengths:
        start = calendar.next_minute(calendar.finish(start, length * SHIFT_MINUTES))
        starts.append(start)
    assert " ".join(day_of(one).isoformat() for one in starts) == expected


CHANGES = [
    ("America/New_York", date(2026, 3, 8), 23),
    ("America/New_York", date(2026, 11, 1), 25),
    ("Europe/Berlin", date(2026, 3, 29), 23),
    ("Europe/Berlin", date(2026, 10, 25), 25),
]


@pytest.mark.parametrize(("name", "day", "hours"), CHANGES)
def test_the_day_of_a_clock_change_has_the_hours_the_zone_database_gives_it(
    name: str, day: date, hours: int
) -> None:
    """Source: the zone database, through zoneinfo and plain UTC arithmetic."""
    zone = ZoneInfo(name)
    midnights = [
        datetime.combine(one, time(), zone).astimezone(UTC) for one in (day, day + timedelta(1))
    ]
    assert midnights[1] - midnights[0] == timedelta(hours=hours)

    def around_the_clock(low: int, high: int) -> list[tuple[int, int]]:
        return [(low, high)]

    begin = instant_of_local(datetime.combine(day, time()), zone)
    end = instant_of_local(datetime.combine(day + timedelta(1), time()), zone)
    calendar = Worktime(around_the_clock, begin - DAY, end + DAY)
    assert calendar.minutes_between(begin, end) == hours * 60


@pytest.mark.parametrize(("name", "day", "hours"), CHANGES)
def test_elapsed_time_across_a_clock_change_is_that_of_the_zone_database(
    name: str, day: date, hours: int
) -> None:
    """A wait of 72 hours from Saturday evening ends an hour off the same time on Tuesday."""
    zone = ZoneInfo(name)
    evening = datetime.combine(day - timedelta(1), time(18))
    begin = instant_of_local(evening, zone)
    expected = (evening.replace(tzinfo=zone).astimezone(UTC) + timedelta(hours=72)).astimezone(zone)
    _, finish = CLOCK.earliest(begin, begin, 72 * 60)
    assert finish == shifted(begin, 72 * 60)
    assert moment_of(finish, zone) == expected
    assert moment_of(finish, zone).hour == 18 + 24 - hours


@pytest.mark.parametrize(("name", "day", "hours"), CHANGES)
def test_a_night_shift_across_a_clock_change_is_an_hour_off(
    name: str, day: date, hours: int
) -> None:
    """From 22:00 to 06:00 there are 7 or 9 hours of work, and work of that length ends at 06:00."""
    zone = ZoneInfo(name)
    begin = instant_of_local(datetime.combine(day - timedelta(1), time(22)), zone)
    end = instant_of_local(datetime.combine(day, time(6)), zone)

    def one_night(low: int, high: int) -> list[tuple[int, int]]:
        return [(max(begin, low), min(end, high))]

    calendar = Worktime(one_night, begin - DAY, end + DAY)
    minutes = (hours - 16) * 60
    assert calendar.finish(begin, minutes) == end
    assert calendar.latest_start(end, minutes) == begin
