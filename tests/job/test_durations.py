"""Durations in working time and on the clock."""

from __future__ import annotations

from contextlib import suppress
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from readiness.job.quantities import Duration, QuantityError

DAY_MINUTES = 510


@pytest.mark.parametrize(
    ("text", "minutes", "clock"),
    [
        ("3 d", 3 * DAY_MINUTES, False),
        ("2.5 d", 1275, False),
        ("3 wd", 3 * DAY_MINUTES, False),
        ("2 working days", 2 * DAY_MINUTES, False),
        ("6 h", 360, False),
        ("90 min", 90, False),
        ("1 h 30 min", 90, False),
        ("1h30min", 90, False),
        ("1 d 2 h", DAY_MINUTES + 120, False),
        ("1 1/2 d", 765, False),
        ("½ d", 255, False),
        ("0 h", 0, False),
        ("24 h elapsed", 1440, True),
        ("72 hours elapsed", 4320, True),
        ("30 min elapsed", 30, True),
        ("3 cal d", 4320, True),
        ("3 calendar days", 4320, True),
        ("1 cal d 6 h elapsed", 1800, True),
    ],
)
def test_a_duration_is_working_time_unless_it_says_elapsed(
    text: str, minutes: int, *, clock: bool
) -> None:
    duration = Duration.parse(text)
    assert duration.minutes(DAY_MINUTES) == minutes
    assert duration.clock is clock
    assert str(duration) == text


def test_minutes_are_rounded_up() -> None:
    """Work that takes a third of a day of 500 minutes is not over before the 167th."""
    assert Duration.parse("1/3 d").minutes(500) == 167
    assert Duration.parse("0.1 min").minutes(500) == 1
    assert Duration.parse("1/2 d").minutes(500) == 250


def test_a_working_day_has_no_length_until_a_calendar_gives_it_one() -> None:
    duration = Duration.parse("2 d")
    assert duration.days == 2
    assert duration.exact_minutes == 0
    assert duration.minutes(480) == 960
    assert duration.minutes(600) == 1200


def test_clock_time_does_not_hang_on_the_working_day() -> None:
    assert Duration.parse("3 cal d").minutes(1) == Duration.parse("3 cal d").minutes(600) == 4320


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("2 days", 'working or calendar days? write "2 d" or "2 cal d"'),
        ("1 day", 'working or calendar days? write "1 d" or "1 cal d"'),
        ("2 weeks", "count days instead"),
        ("2 w", "count days instead"),
        ("90 m", 'write "90 min"'),
        ("-2 d", "never negative"),
        ("−2 h", "never negative"),
        ("3 d elapsed", "no length on the clock"),
        ("1 cal d 6 h", 'end it with "elapsed"'),
        ("3", "a number needs its unit"),
        ("2,5 d", "a comma has two readings"),
        ("1/0 d", "nothing is divided by 0"),
        ("", 'write e.g. "3 d"'),
        ("elapsed", 'write e.g. "3 d"'),
        ("soon", 'write e.g. "3 d"'),
        ("3 dd", 'write e.g. "3 d"'),
        ("3 d x", 'write e.g. "3 d"'),
    ],
)
def test_a_refused_duration_says_how_to_write_it(text: str, words: str) -> None:
    with pytest.raises(QuantityError) as caught:
        Duration.parse(text)
    assert words in caught.value.hint


@pytest.mark.parametrize("text", ["1001 d", "25000 h", "999999999 d", "1001 cal d"])
def test_a_duration_no_site_has_is_refused(text: str) -> None:
    with pytest.raises(QuantityError, match="at most 1000 days"):
        Duration.parse(text)
    assert Duration.parse("1000 d").days == 1000


@given(
    st.fractions(0, 900, max_denominator=16).filter(lambda amount: amount.numerator < 10_000),
    st.sampled_from(["d", "h", "min", "cal d"]),
)
def test_a_duration_reads_back_what_it_shows(amount: Fraction, unit: str) -> None:
    """Fractions have at most four digits above their line."""
    duration = Duration.parse(f"{amount} {unit}")
    assert Duration.parse(str(duration)) == duration


@given(st.text(alphabet="0123456789 .dhmincalelpsw-/", max_size=20))
def test_any_text_is_read_or_refused_in_our_words(text: str) -> None:
    with suppress(QuantityError):
        assert Duration.parse(text).minutes(480) >= 0
