"""Days of spreadsheet programs: what settles the order of numbers, and what is not settled."""

from __future__ import annotations

from datetime import date, datetime

import pytest

from readiness.exchange.spreadsheet_days import DayReader, order_of_numbers
from readiness.job.written import MisreadError

AMERICAN = "month/day/year"
BRITISH = "day/month/year"


@pytest.mark.parametrize(
    ("cells", "order"),
    [
        ([("5/7/2026", "2026-05-07"), ("6/8/2026", "2026-05-08")], AMERICAN),
        ([("7/5/2026", "2026-05-07"), ("6/8/2026", "2026-05-08")], BRITISH),
        ([("07.05.2026", "2026-05-07 09:00")], BRITISH),
        ([("5/7/2026", "2026-05-07"), ("13/5/2026", "2026-05-08")], AMERICAN),
        ([("5/13/2026", ""), ("6/8/2026", "")], AMERICAN),
        ([("5/7/2026", "2026-05-08"), ("6/8/2026", "")], ""),
        ([("5/5/2026", "2026-05-05")], ""),
        ([("13/5/2026", ""), ("5/13/2026", "")], ""),
        ([("2026-05-07", "2026-05-07"), ("5/7/2026", "")], ""),
        ([(date(2026, 5, 7), "2026-05-07"), (None, "")], ""),
    ],
)
def test_unchanged_days_settle_the_order_first_then_days_beyond_twelve(
    cells: list[tuple[str | date | None, str]], order: str
) -> None:
    assert order_of_numbers(cells) == order


def words(text: str) -> date | datetime:
    return datetime.fromisoformat(text) if ":" in text else date.fromisoformat(text)


@pytest.mark.parametrize(
    ("written", "order", "text"),
    [
        ("5/7/2026", AMERICAN, "2026-05-07"),
        ("5/7/26", BRITISH, "2026-07-05"),
        ("13/5/2026", AMERICAN, "2026-05-13"),
        ("5/7/2026 09:30", AMERICAN, "2026-05-07 09:30"),
        ("7.5.2026 morning", BRITISH, "2026-05-07 morning"),
        (date(2026, 5, 7), "", "2026-05-07"),
        (None, "", ""),
        (" BY ", "", "by"),
    ],
)
def test_a_day_is_written_year_first(written: str | date | None, order: str, text: str) -> None:
    assert DayReader(order, words).text(written) == text


@pytest.mark.parametrize(
    ("written", "says"),
    [
        ("5/7/2026", "Thu 7 May 2026 or Sun 5 Jul 2026"),
        (46149, "it may be the number of Thu 7 May 2026: format the cell as a date"),
        (46149.5, "it may be the number of Thu 7 May 2026"),
        (12, "write it like 2026-05-07"),
        ("in 3 days", "write the day itself"),
        ("31/31/2026", "there is no such day"),
        (date(1900, 1, 1), "years go from"),
    ],
)
def test_a_day_that_nobody_can_know_is_refused(written: str | float | date, says: str) -> None:
    """46149 is 7 May 2026 counted from 30 December 1899, as ECMA-376, 18.17.4.1, has it."""
    with pytest.raises(MisreadError, match=says):
        DayReader("", words).text(written)
