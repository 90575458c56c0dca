"""Text made plain, and the error of what can't be read."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from readiness.job.written import FromText, MisreadError, decimal_text, number, plain, shown


@pytest.mark.parametrize(
    ("typed", "same"),
    [
        ("“5” ‘x’", "\"5\" 'x'"),
        ("5′ 6″", "5' 6\""),
        ("a–b—c−d‑e", "a-b-c-d-e"),
        ("5\u00a0in\u2009x", "5 in x"),
        ("5½", "5 1/2"),
        ("2×6", "2x6"),
        ("m²", "m2"),
        ("45º", "45°"),
        ("  A   B\t", "a b"),
        ("3''", '3"'),
    ],
)
def test_marks_of_other_keyboards_become_those_of_one(typed: str, same: str) -> None:
    assert plain(typed) == same


@given(st.text(max_size=60))
def test_plain_text_stays_as_it_is(text: str) -> None:
    assert plain(plain(text)) == plain(text)


@pytest.mark.parametrize(
    ("text", "value"), [("3 1/2", "7/2"), ("3-1/2", "7/2"), ("1/2", "1/2"), ("2.5", "5/2")]
)
def test_a_number_with_a_fraction_is_exact(text: str, value: str) -> None:
    assert number(text) == Fraction(value)


@pytest.mark.parametrize(
    ("value", "digits", "text"),
    [("5.5", 2, "5.5"), ("5", 2, "5"), ("100", 0, "100"), ("2.777", 1, "2.8"), ("5.00", 2, "5")],
)
def test_decimals_end_without_zeros(value: str, digits: int, text: str) -> None:
    assert decimal_text(Fraction(value), digits) == text


@pytest.mark.parametrize(
    ("value", "told"),
    [
        (True, "true"),
        (False, "false"),
        ({}, "{ }"),
        ({"a": 1}, "{ ... }"),
        ([], "[ ]"),
        ([1], "[ ... ]"),
        (5.5, "5.5"),
        ("a\u202eb", "a<U+202E>b"),
        ("a\nb", "a<U+000A>b"),
        ("x" * 200, "x" * 80 + "..."),
    ],
)
def test_a_value_is_shown_as_it_would_be_typed(value: object, told: str) -> None:
    assert shown(value) == told


def test_the_error_tells_what_was_read_what_is_wanted_and_a_hint() -> None:
    error = MisreadError("x", "a length", "write 5.5 in")
    assert (error.read, error.wanted, error.hint) == ("x", "a length", "write 5.5 in")
    assert str(error) == "'x' is not a length; write 5.5 in"
    assert str(MisreadError("x", "a length")) == "'x' is not a length"


def test_a_kind_of_text_says_itself_how_it_is_read() -> None:
    with pytest.raises(NotImplementedError):
        FromText.parse("x")
