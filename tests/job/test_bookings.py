"""Bookings as exactly as they were agreed."""

from __future__ import annotations

from datetime import date, datetime, time

import pytest

from readiness.job.bookings import Booking
from readiness.job.written import MisreadError

DAY = date(2026, 5, 7)


def test_a_day_is_a_booking_of_that_day() -> None:
    booking = Booking.from_written(DAY)
    assert booking == Booking(DAY, DAY)
    assert str(booking) == "2026-05-07"
    assert Booking.parse("2026-05-07") == booking


def test_a_moment_keeps_its_time() -> None:
    booking = Booking.from_written(datetime(2026, 5, 7, 9, 30))  # noqa: DTZ001
    assert booking == Booking(DAY, DAY, at=time(9, 30))
    assert Booking.parse("2026-05-07 09:30") == booking
    assert Booking.parse("2026-05-07T09:30") == booking


@pytest.mark.parametrize("half", ["morning", "afternoon"])
def test_half_a_day_is_kept(half: str) -> None:
    booking = Booking.parse(f"2026-05-07 {half}")
    assert (booking.first, booking.last, booking.half) == (DAY, DAY, half)
    assert Booking.parse(f"2026-05-07 in the {half}") == booking
    assert str(booking) == f"2026-05-07 {half}"


def test_a_span_keeps_both_ends() -> None:
    booking = Booking.parse("2026-05-07 to 2026-05-09")
    assert (booking.first, booking.last, booking.by) == (DAY, date(2026, 5, 9), False)
    assert Booking.parse("2026-05-07 – 2026-05-09") == booking


def test_by_a_day_has_no_first_day() -> None:
    booking = Booking.parse("by 2026-05-07")
    assert (booking.first, booking.last, booking.by) == (None, DAY, True)


def test_a_booking_is_taken_as_it_is() -> None:
    booking = Booking(DAY, DAY)
    assert Booking.from_written(booking) is booking


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("2026-05-09 to 2026-05-07", "it ends before it starts"),
        ("2026-05-05 or 2026-05-06", "write the days as a span"),
        ("5/4/2026", "it has two readings"),
        ("by friday", "write it like 2026-05-07"),
        ("2026-05-07 evening", "write it like 2026-05-07"),
        ("by 2026-05-07 morning", "write it like 2026-05-07"),
        ("9999-05-07 morning", "years go from 1990 to 2200"),
    ],
)
def test_what_has_no_single_reading_is_refused(text: str, words: str) -> None:
    with pytest.raises(MisreadError) as caught:
        Booking.parse(text)
    assert words in caught.value.hint
    assert caught.value.read == text


def test_a_span_of_years_is_refused() -> None:
    with pytest.raises(MisreadError, match="at most 366 days"):
        Booking.parse("2026-05-07 to 2028-05-07")


@pytest.mark.parametrize("value", [5, True, 1.5, ["2026-05-07"]])
def test_other_values_are_no_booking(value: object) -> None:
    with pytest.raises(MisreadError, match="is not a booking"):
        Booking.from_written(value)
