"""Dates in plain words."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from readiness.job.weekdays import WEEKDAYS, day_text
from readiness.job.words import understand
from readiness.job.written import MisreadError

TUESDAY = datetime(2026, 5, 5, 6, 30)  # noqa: DTZ001


def working_day(first: date, count: int) -> date:
    """Return the n-th day from Monday to Friday after a day."""
    day = first
    while count:
        day += timedelta(days=1)
        count -= day.weekday() < 5
    return day


def understood(words: str, as_of: datetime = TUESDAY) -> str:
    return str(understand(words, as_of, working_day))


def refused(words: str, as_of: datetime = TUESDAY) -> str:
    with pytest.raises(MisreadError) as caught:
        understand(words, as_of, working_day)
    return caught.value.hint


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ("today", "Tue 5 May 2026"),
        ("tomorrow", "Wed 6 May 2026"),
        ("day after tomorrow", "Thu 7 May 2026"),
        ("yesterday", "Mon 4 May 2026"),
        ("thursday", "Thu 7 May 2026"),
        ("Thu", "Thu 7 May 2026"),
        ("on thursday", "Thu 7 May 2026"),
        ("tuesday", "Tue 5 May 2026"),
        ("monday", "Mon 11 May 2026"),
        ("in 3 working days", "Fri 8 May 2026"),
        ("in 4 working days", "Mon 11 May 2026"),
        ("in 1 working day", "Wed 6 May 2026"),
        ("in a working day", "Wed 6 May 2026"),
        ("in 0 working days", "Tue 5 May 2026"),
        ("in 4 calendar days", "Sat 9 May 2026"),
        ("in 2 weeks", "Tue 19 May 2026"),
        ("in a week", "Tue 12 May 2026"),
        ("in 3650 calendar days", "Fri 2 May 2036"),
        ("in 3 days", "Fri 8 May 2026"),
        ("2026-05-07", "Thu 7 May 2026"),
        ("2026-5-7", "Thu 7 May 2026"),
        ("2025-01-01", "Wed 1 Jan 2025"),
        ("thu 2026-05-07", "Thu 7 May 2026"),
        ("thu 7 may", "Thu 7 May 2026"),
        ("Thursday, May 7th, 2026", "Thu 7 May 2026"),
        ("7 May", "Thu 7 May 2026"),
        ("may 7", "Thu 7 May 2026"),
        ("5 may", "Tue 5 May 2026"),
        ("7 may 2025", "Wed 7 May 2025"),
        ("mon 4 may", "Mon 4 May 2026"),
        ("5/14", "Thu 14 May 2026"),
        ("14/5", "Thu 14 May 2026"),
        ("14.5.2026", "Thu 14 May 2026"),
        ("5/5/2026", "Tue 5 May 2026"),
        ("now", "Tue 5 May 2026 06:30"),
        ("09:00", "Tue 5 May 2026 09:00"),
        ("thursday 09:00", "Thu 7 May 2026 09:00"),
        ("thursday at 9 am", "Thu 7 May 2026 09:00"),
        ("thu 7 may 7:30pm", "Thu 7 May 2026 19:30"),
        ("tomorrow 12 am", "Wed 6 May 2026 00:00"),
        ("tomorrow noon", "Wed 6 May 2026 12:00"),
        ("2026-05-07 09:00", "Thu 7 May 2026 09:00"),
        ("2026-05-07T09:00:00", "Thu 7 May 2026 09:00"),
    ],
)
def test_words_with_one_reading_are_understood(words: str, told: str) -> None:
    assert understood(words) == told


@pytest.mark.parametrize(
    ("words", "first", "second"),
    [
        ("next thursday", "Thu 7 May 2026", "Thu 14 May 2026"),
        ("next tuesday", "Tue 5 May 2026", "Tue 12 May 2026"),
        ("this thursday", "Thu 30 Apr 2026", "Thu 7 May 2026"),
        ("this tuesday", "Tue 5 May 2026", "Tue 12 May 2026"),
        ("last friday", "Fri 24 Apr 2026", "Fri 1 May 2026"),
        ("5/4", "Sun 5 Apr 2026", "Mon 4 May 2026"),
        ("5/4/2026", "Sun 5 Apr 2026", "Mon 4 May 2026"),
        ("5.4.26", "Sun 5 Apr 2026", "Mon 4 May 2026"),
        ("4 may", "Mon 4 May 2026", "Tue 4 May 2027"),
        ("29 feb", "Thu 29 Feb 2024", "Tue 29 Feb 2028"),
        ("in 4 days", "Mon 11 May 2026", "Sat 9 May 2026"),
    ],
)
def test_words_with_two_readings_are_refused_with_both_dates(
    words: str, first: str, second: str
) -> None:
    hint = refused(words)
    assert first in hint
    assert second in hint


@pytest.mark.parametrize(
    ("words", "hint"),
    [
        ("fri 7 may", "that day is Thu 7 May 2026"),
        ("fri 7 may 2026", "that day is Thu 7 May 2026"),
        ("thu 30 feb", "there is no such day"),
        ("30 feb", "there is no such day"),
        ("2026-02-30", "there is no such day"),
        ("3000-01-01", "there is no such day from 1990 to 2200"),
        ("31/2", "write e.g."),
        ("thrusday", "did you mean thursday?"),
        ("next week", "name the day"),
        ("in 5 fortnights", "write e.g."),
        ("in 9999 working days", "at most 3650 days"),
        ("the 18th", "write e.g."),
        ("", "write e.g."),
        ("x" * 500, "write e.g."),
        ("tomorrow 13 pm", "hours go from 1 to 12"),
        ("tomorrow 0 am", "hours go from 1 to 12"),
        ("tomorrow 25:00", "hours go to 23"),
        ("7 8 9", "write e.g."),
    ],
)
def test_other_words_are_refused_with_a_hint(words: str, hint: str) -> None:
    assert hint in refused(words)


def test_what_was_understood_keeps_the_words_and_the_time() -> None:
    answer = understand("thu 09:00", TUESDAY, working_day)
    assert (answer.day, answer.at, answer.words) == (date(2026, 5, 7), time(9), "thu 09:00")
    assert understand("thu", TUESDAY, working_day).at is None


def test_now_has_no_seconds() -> None:
    moment = datetime(2026, 5, 5, 6, 30, 45, 10)  # noqa: DTZ001
    assert understand("now", moment, working_day).at == time(6, 30)


moments = st.datetimes(datetime(1995, 1, 1), datetime(2190, 1, 1))  # noqa: DTZ001


@given(moments, st.integers(0, 6))
def test_a_weekday_is_the_first_on_or_after_today(as_of: datetime, weekday: int) -> None:
    answer = understand(WEEKDAYS[weekday], as_of, working_day)
    assert answer.day.weekday() == weekday
    assert 0 <= (answer.day - as_of.date()).days < 7


@given(moments, st.integers(-170, 170))
def test_a_day_as_it_is_told_is_understood_as_itself(as_of: datetime, away: int) -> None:
    day = as_of.date() + timedelta(days=away)
    assert understand(day_text(day), as_of, working_day).day == day
    assert understand(day_text(day)[:-5], as_of, working_day).day == day
    assert understand(day.isoformat(), as_of, working_day).day == day


@given(st.text(max_size=30), moments)
def test_any_words_are_understood_or_refused_in_our_words(words: str, as_of: datetime) -> None:
    try:
        answer = understand(words, as_of, working_day)
    except MisreadError as error:
        answer = None
        hint = error.hint
    else:
        hint = ""
    assert answer is not None or hint
