"""Days, moments and times of day as a job file holds them."""

from __future__ import annotations

from datetime import UTC, date, datetime, time

import pytest

from readiness.job.dates import (
    clock_of_text,
    day_of_text,
    day_or_moment_of_text,
    read_day,
    read_moment,
    read_plain_day,
)
from readiness.job.written import MisreadError


def test_a_day_is_read_year_first() -> None:
    assert day_of_text("2026-05-07") == date(2026, 5, 7)
    assert day_of_text(" 2026‑05‑07 ") == date(2026, 5, 7)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("5/4/2026", "it has two readings"),
        ("5.4.2026", "it has two readings"),
        ("2026/05/07", "it has two readings"),
        ("2026-02-30", "write it like 2026-05-07"),
        ("2026-W19-4", "write it like 2026-05-07"),
        ("20260507", "write it like 2026-05-07"),
        ("thursday", "write it like 2026-05-07"),
        ("", "write it like 2026-05-07"),
        ("9999-01-01", "years go from 1990 to 2200"),
        ("1989-12-31", "years go from 1990 to 2200"),
    ],
)
def test_what_is_no_day_is_refused_with_a_hint(text: str, words: str) -> None:
    with pytest.raises(MisreadError) as caught:
        day_of_text(text)
    assert words in caught.value.hint


def test_the_first_and_last_year_of_a_job_are_read() -> None:
    assert day_of_text("1990-01-01").year == 1990
    assert day_of_text("2200-12-31").year == 2200


@pytest.mark.parametrize(
    ("text", "clock"), [("07:00", time(7)), ("7:05", time(7, 5)), ("23:59:00", time(23, 59))]
)
def test_a_time_counts_hours_to_24(text: str, clock: time) -> None:
    assert clock_of_text(text) == clock


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("3:30 pm", "3:30 pm is 15:30"),
        ("7am", "3:30 pm is 15:30"),
        ("24:00", "hours go to 23"),
        ("12:60", "minutes to 59"),
        ("0700", "write it like 07:00"),
        ("07:00:30", "write it like 07:00"),
    ],
)
def test_what_is_no_time_is_refused_with_a_hint(text: str, words: str) -> None:
    with pytest.raises(MisreadError) as caught:
        clock_of_text(text)
    assert words in caught.value.hint


def test_a_day_may_carry_a_time() -> None:
    assert day_or_moment_of_text("2026-05-07 09:00") == datetime(2026, 5, 7, 9)  # noqa: DTZ001
    assert day_or_moment_of_text("2026-05-07T09:00:00") == datetime(2026, 5, 7, 9)  # noqa: DTZ001
    assert day_or_moment_of_text("2026-05-07") == date(2026, 5, 7)
    with pytest.raises(MisreadError):
        day_or_moment_of_text("2026-05-07 25:00")


def test_values_of_the_file_are_taken_as_they_are() -> None:
    moment = datetime(2026, 5, 7, 9)  # noqa: DTZ001
    assert read_day(date(2026, 5, 7)) == date(2026, 5, 7)
    assert read_day(moment) is moment
    assert read_day("2026-05-07") == date(2026, 5, 7)
    assert read_moment(moment) is moment
    assert read_plain_day(date(2026, 5, 7)) == date(2026, 5, 7)


def test_a_moment_with_a_zone_of_its_own_is_refused() -> None:
    """The site's zone is the only one a job has; another would be converted in silence."""
    with pytest.raises(MisreadError, match="without Z or an offset"):
        read_day(datetime(2026, 5, 7, 9, tzinfo=UTC))


@pytest.mark.parametrize("value", [5, True, None, 1.5, [], time(9), "x"])
def test_other_values_are_no_day(value: object) -> None:
    with pytest.raises(MisreadError):
        read_day(value)


def test_a_moment_needs_a_time_and_a_plain_day_has_none() -> None:
    with pytest.raises(MisreadError, match="2026-05-07T09:00:00"):
        read_moment(date(2026, 5, 7))
    with pytest.raises(MisreadError, match="a day without a time"):
        read_plain_day(datetime(2026, 5, 7, 9))  # noqa: DTZ001


def test_a_moment_in_a_year_of_no_job_is_refused() -> None:
    with pytest.raises(MisreadError, match="1990 to 2200"):
        read_day(datetime(9999, 1, 1, 9))  # noqa: DTZ001
