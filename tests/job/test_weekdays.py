"""Names of weekdays and months."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from readiness.job.weekdays import MONTHS, WEEKDAYS, day_text, month_of, weekday_of


@pytest.mark.parametrize("word", ["thu", "Thu.", "thur", "THURS", "thursday"])
def test_a_beginning_of_a_name_stands_for_it(word: str) -> None:
    assert weekday_of(word) == 3


@pytest.mark.parametrize("word", ["", "t", "th", "thx", "thursdays", "may"])
def test_other_words_name_no_weekday(word: str) -> None:
    assert weekday_of(word) is None


def test_every_name_is_known_under_its_number() -> None:
    assert [weekday_of(name) for name in WEEKDAYS] == list(range(7))
    assert [month_of(name) for name in MONTHS] == list(range(1, 13))
    assert month_of("september") == 9
    assert month_of("ju") is None


def test_a_day_is_told_with_weekday_and_year() -> None:
    assert day_text(date(2026, 5, 7)) == "Thu 7 May 2026"
    assert [day_text(date(2026, 5, 4) + timedelta(days=step))[:3] for step in range(7)] == list(
        WEEKDAYS
    )
