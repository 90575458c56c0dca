"""The days of a stay, from its booked start and its working time."""

from __future__ import annotations

from readiness.job.hours import Hours
from readiness.schedule.worktime import Worktime
from readiness.site.calendars import Calendar, ClosedDays
from readiness.telling.days import days_from
from tests.builders import at, told

HOURS = Calendar(
    id="plumber",
    hours=Hours.parse("Mon-Thu 07:00-12:00 12:30-15:30"),
    closed=ClosedDays("US", "", holidays=False, off=(), open=frozenset()),
    zone="UTC",
    day_minutes=480,
)
TIMER = Worktime(HOURS.spans, at("2026-01-01"), at("2027-01-01"))


def days(starts: str, minutes: int, timer: Worktime = TIMER, latest: str = "") -> list[str]:
    found = days_from(at(starts), minutes, HOURS, timer, at_latest=at(latest) if latest else None)
    return [f"{told(opens)} - {told(shuts)[11:]}" for opens, shuts in found]


def test_each_day_is_an_entry_from_opening_to_the_end_of_the_shift() -> None:
    """2026-05-06 is a Wednesday; nobody works on Fridays and at the weekend."""
    assert days("2026-05-06 07:00", 3 * 480) == [
        "2026-05-06 07:00 - 15:30",
        "2026-05-07 07:00 - 15:30",
        "2026-05-11 07:00 - 15:30",
    ]


def test_an_end_is_told_to_the_next_quarter_of_an_hour() -> None:
    assert days("2026-05-06 09:10", 101) == ["2026-05-06 09:10 - 11:00"]


def test_an_end_is_never_told_after_the_shift() -> None:
    assert days("2026-05-06 07:00", 480) == ["2026-05-06 07:00 - 15:30"]
    assert days("2026-05-06 07:00", 479) == ["2026-05-06 07:00 - 15:30"]


def test_a_shift_that_ends_between_quarters_is_not_overrun() -> None:
    short = HOURS._replace(hours=Hours.parse("Mon-Thu 07:00-15:10"))
    timer = Worktime(short.spans, at("2026-01-01"), at("2027-01-01"))
    ((_, shuts),) = days_from(at("2026-05-06 07:00"), 485, short, timer)
    assert told(shuts) == "2026-05-06 15:10"


def test_a_start_before_the_shift_stands() -> None:
    assert days("2026-05-06 06:00", 60) == ["2026-05-06 06:00 - 08:00"]


def test_a_start_after_the_shift_stands_and_lasts_by_the_clock() -> None:
    assert days("2026-05-06 18:00", 120) == ["2026-05-06 18:00 - 20:00"]


def test_a_day_off_that_was_agreed_stands() -> None:
    """2026-05-08 is a Friday; a day without a time begins at the usual hour."""
    assert days("2026-05-08 00:00", 600) == [
        "2026-05-08 07:00 - 15:00",
        "2026-05-11 07:00 - 09:00",
    ]


def test_a_closed_place_is_left_out() -> None:
    """A keep-out from Thursday noon until Monday noon."""
    timer = TIMER.without([(at("2026-05-07 12:00"), at("2026-05-11 12:00"))])
    assert days("2026-05-06 07:00", 3 * 480, timer) == [
        "2026-05-06 07:00 - 15:30",
        "2026-05-07 07:00 - 12:00",
        "2026-05-11 12:30 - 15:30",
        "2026-05-12 07:00 - 15:30",
    ]


def test_a_start_left_open_runs_to_the_end_of_the_latest_start() -> None:
    assert days("2026-05-04 07:00", 480, latest="2026-05-05 07:00") == [
        "2026-05-04 07:00 - 15:30",
        "2026-05-05 07:00 - 15:30",
    ]


def test_work_of_no_time_is_seen_all_the_same() -> None:
    assert days("2026-05-06 07:00", 0) == ["2026-05-06 07:00 - 07:15"]
