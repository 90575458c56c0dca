"""Public holidays against the lists that two countries publish.

Sources: United States Office of Personnel Management, federal holidays of 2023, as a page that
names it reproduces them with their substitute days (seen there); United Kingdom government, bank
holidays of England and Wales of 2023, as its published data set stands in a public repository
(seen there).
"""

from __future__ import annotations

from datetime import date

import pytest

from readiness.site.calendars import public_holidays
from tests.builders import ROOMS, TRIP, laid_out

UNITED_STATES = (
    "2023-01-02 2023-01-16 2023-02-20 2023-05-29 2023-06-19 2023-07-04 2023-09-04 2023-10-09 "
    "2023-11-10 2023-11-23 2023-12-25"
)
ENGLAND_AND_WALES = (
    "2023-01-02 2023-04-07 2023-04-10 2023-05-01 2023-05-08 2023-05-29 2023-08-28 2023-12-25 "
    "2023-12-26"
)


@pytest.mark.parametrize(
    ("country", "state", "published"),
    [("US", "", UNITED_STATES), ("GB", "ENG", ENGLAND_AND_WALES)],
)
def test_weekdays_off_are_those_of_the_published_list(
    country: str, state: str, published: str
) -> None:
    """On weekends sites are closed anyway; lists name the substitute day."""
    days = {date.fromisoformat(day) for day in published.split()}
    found = {day for day in public_holidays(country, state, 2023) if day.weekday() < 5}
    assert found == days


def test_nobody_works_on_a_public_holiday_unless_the_job_opens_it() -> None:
    head = (
        'name = "Cedar Lane 3"\nkey = "5b0e77a1"\n'
        'site = {{ time_zone = "America/New_York", country = "US"{more} }}\n'
    )
    fourth = date(2023, 7, 4)
    for more, closed in (
        ("", True),
        (", holidays = false", False),
        (", open = [2023-07-04]", False),
    ):
        site = laid_out(head.format(more=more) + ROOMS + TRIP)
        calendar = site.calendars[site.job_calendar]
        assert (calendar.shift_on(fourth) is None) == closed
        assert calendar.shift_on(date(2023, 7, 5)) is not None
