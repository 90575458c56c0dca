"""Weekly hours."""

from __future__ import annotations

from contextlib import suppress
from datetime import date, time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from readiness.job.hours import Hours
from readiness.job.written import MisreadError

MONDAY = date(2026, 5, 4)


def spans(text: str, weekday: int) -> list[str]:
    """Return the spans of a weekday as text."""
    day = MONDAY.replace(day=MONDAY.day + weekday)
    return [f"{opens:%H:%M}-{shuts:%H:%M}" for opens, shuts in Hours.parse(text).spans_on(day)]


def test_a_range_of_days_has_the_same_span_each_day() -> None:
    text = "Mon-Fri 07:00-15:30"
    assert [spans(text, day) for day in range(7)] == [["07:00-15:30"]] * 5 + [[], []]
    assert str(Hours.parse(text)) == text


def test_days_may_differ_and_have_a_break() -> None:
    text = "Mon-Thu 07:00-12:00 12:30-16:00, Fri 07:00-12:00"
    assert spans(text, 3) == ["07:00-12:00", "12:30-16:00"]
    assert spans(text, 4) == ["07:00-12:00"]


def test_days_listed_before_the_hours_share_them() -> None:
    text = "Tue,Thu 09:00-12:00 13:00-16:00"
    assert spans(text, 1) == spans(text, 3) == ["09:00-12:00", "13:00-16:00"]
    assert spans(text, 2) == []


def test_long_names_and_other_dashes_are_read() -> None:
    assert Hours.parse("monday–friday 7:00–15:30") == Hours.parse("Mon-Fri 07:00-15:30")
    assert Hours.parse("Thurs 07:00 - 15:30") == Hours.parse("Thu 07:00-15:30")


def test_a_range_may_run_over_the_week_end() -> None:
    assert [bool(spans("Sat-Mon 08:00-12:00", day)) for day in range(7)] == [
        True, False, False, False, False, True, True,
    ]  # fmt: skip


def test_a_span_may_end_at_midnight() -> None:
    hours = Hours.parse("Mon 16:00-24:00")
    assert hours.spans_on(MONDAY) == ((time(16), time(0)),)
    assert hours.day_minutes() == 480


def test_the_length_of_a_day_is_the_commonest() -> None:
    assert Hours.parse("Mon-Thu 07:00-17:00, Fri 07:00-11:00").day_minutes() == 600
    assert Hours.parse("Mon-Fri 07:00-12:00 12:30-16:00").day_minutes() == 510


def test_of_two_lengths_as_common_the_longer_counts() -> None:
    assert Hours.parse("Mon 07:00-11:00, Tue 07:00-15:00").day_minutes() == 480


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "say the days first"),
        ("07:00-15:30", "say the days first"),
        ("Mon-Fri", "say the hours after the days"),
        ("Mon 07:00-15:30, Tue", "say the hours after the days"),
        ("Mon 22:00-06:00", "hours end on the day they begin"),
        ("Mon 07:00-07:00", "hours end on the day they begin"),
        ("Mon 07:00-12:00 11:00-15:00", "with a break between them"),
        ("Mon 07:00-12:00 12:00-15:00", "with a break between them"),
        ("Mon 13:00-15:00 07:00-12:00", "with a break between them"),
        ("Mon-Wed 07:00-15:30, Tue 08:00-12:00", "Tue stands in it twice"),
        ("Mun 07:00-15:30", "'mun' is no weekday"),
        ("Mon 7am-3pm", "hours counted to 24"),
        ("Mon-Fri 07:00", "hours counted to 24"),
        ("Mon & Tue 07:00-12:00", "days are written Mon-Fri or Tue,Thu"),
        ("Mon 07:00-25:00", "hours go to 23"),
    ],
)
def test_hours_that_can_not_be_are_refused(text: str, words: str) -> None:
    with pytest.raises(MisreadError) as caught:
        Hours.parse(text)
    assert words in caught.value.hint


def test_endless_hours_are_refused() -> None:
    with pytest.raises(MisreadError):
        Hours.parse("Mon 07:00-15:30, " * 500)


@given(st.text(alphabet="MonTueFri 0123456789:-,", max_size=40))
def test_any_text_is_read_or_refused_in_our_words(text: str) -> None:
    with suppress(MisreadError):
        assert 0 < Hours.parse(text).day_minutes() <= 1440
