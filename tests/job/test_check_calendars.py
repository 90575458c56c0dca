"""Calendars that leave a minute to work in."""

from __future__ import annotations

import pytest

from tests.job.builders import checked, job_text, line_with, loaded

NEVER = "no working day is left in the year from 2026-"


def one(text: str) -> str:
    (problem,) = checked(text)
    return f"{problem.key}: {problem.what}"


@pytest.mark.parametrize(
    "trade",
    [
        'off = "FREQ=DAILY"',
        'off = ["2026-01-01 to 2026-12-31", "2027-01-01 to 2027-12-31"]',
        'hours = "Fri 07:00-15:30", off = "FREQ=WEEKLY;BYDAY=FR"',
        'off = "FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR"',
    ],
)
def test_a_trade_without_a_working_day_is_told(trade: str) -> None:
    """A search for its next working minute would have no end."""
    text = job_text(trades=f"electrician = {{ {trade} }}")
    (problem,) = checked(text)
    assert (problem.line, problem.key) == (
        line_with(text, "electrician ="),
        "trades.electrician.off",
    )
    assert problem.what.startswith(NEVER)


def test_an_office_and_a_site_without_a_day_are_told() -> None:
    office = 'county = { visits = "Tue 09:00-12:00", off = "FREQ=WEEKLY;BYDAY=TU" }'
    assert one(job_text(offices=office)).startswith(f"offices.county.off: {NEVER}")
    text = job_text().replace('state = "OH"', 'closed = "FREQ=DAILY"')
    assert one(text).startswith(f"site.closed: {NEVER}")


def test_closed_days_of_the_site_are_closed_for_every_trade() -> None:
    text = job_text(trades='electrician = { hours = "Fri 07:00-15:30", off = "2026-05-08" }')
    text = text.replace('state = "OH"', 'closed = "FREQ=WEEKLY;BYDAY=FR"')
    assert [problem.key for problem in checked(text)] == ["trades.electrician.off"]


@pytest.mark.parametrize(
    "trade",
    [
        'off = "FREQ=WEEKLY;BYDAY=FR"',
        'off = "2026-05-01 to 2026-09-30"',
        'hours = "Fri 07:00-15:30", off = "FREQ=MONTHLY;BYDAY=1FR"',
        'hours = "Fri 07:00-15:30"',
    ],
)
def test_a_trade_with_some_working_day_is_taken(trade: str) -> None:
    loaded(job_text(trades=f"electrician = {{ {trade} }}"))


def test_a_day_the_site_opens_again_counts() -> None:
    text = job_text().replace('state = "OH"', 'closed = "FREQ=DAILY", open = [2026-05-06]')
    loaded(text)


@pytest.mark.parametrize(
    ("first", "is_left"),
    [
        ("board = 2026-01-05", False),
        ('board = "by 2026-01-05"', False),
        ('board = "2026-01-05 to 2026-03-01"', False),
        ("as_of = 2026-01-05T06:00:00", False),
        ("board = 2026-03-02", True),
        ("as_of = 2026-03-02T06:00:00", True),
    ],
)
def test_the_year_looked_at_begins_with_the_first_day_the_file_names(
    first: str, *, is_left: bool
) -> None:
    text = (
        f'name = "A"\nkey = "abcd"\n{first}\nsite = {{ time_zone = "UTC", '
        'closed = ["2026-01-01 to 2026-12-31", "2027-01-01 to 2027-01-31"] }\n'
    )
    if is_left:
        loaded(text)
    else:
        assert one(text) == "site.closed: no working day is left in the year from 2026-01-05"


def test_bookings_of_work_and_trips_are_days_the_file_names() -> None:
    site = 'closed = ["2026-01-01 to 2026-12-31", "2027-01-01 to 2027-01-31"]'
    text = job_text().replace('state = "OH"', site).replace("as_of = 2026-05-04T06:30:00\n", "")
    loaded(text)
    for early in (
        text.replace("2026-05-11T07:00:00", "2026-01-05T07:00:00"),
        text.replace("agreed = 2026-04-30", "agreed = 2026-01-05"),
        text.replace("agreed = 2026-04-30", "booked = 2026-01-05"),
        text.replace("agreed = 2026-05-11T07:00:00", "booked = 2026-01-05"),
    ):
        assert one(early) == "site.closed: no working day is left in the year from 2026-01-05"


def test_without_any_day_the_year_looked_at_is_a_fixed_one() -> None:
    text = 'name = "A"\nkey = "abcd"\nsite = { time_zone = "UTC", closed = "FREQ=DAILY" }\n'
    assert one(text) == "site.closed: no working day is left in the year from 2026-01-01"
