"""Widths in a terminal, counted for what people type."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from readiness.pages.columns import columns_of, cut, filled, plain, wrapped


@pytest.mark.parametrize(
    ("text", "columns"),
    [("Bath", 4), ("浴室", 4), ("e\u0301te\u0301", 3), ("🛁", 2), ("חדר", 3), ("", 0)],
)
def test_columns_are_those_of_a_terminal(text: str, columns: int) -> None:
    assert columns_of(text) == columns


def test_what_would_steer_a_terminal_is_shown_as_a_question_mark() -> None:
    assert plain("a\x1b[31mb\tc\nd\u202ee") == "a?[31mb c d?e"


def test_what_is_cut_says_so() -> None:
    assert cut("Living room", 11) == "Living room"
    assert cut("Living room", 9) == "Living..."
    assert cut("Hall, door", 8) == "Hall..."
    assert cut("Hall", 2) == ".."


@given(st.text(max_size=40), st.integers(0, 30))
def test_filled_takes_exactly_its_columns(text: str, columns: int) -> None:
    assert columns_of(filled(text, columns)) == columns


@given(st.text(max_size=60), st.integers(6, 30))
def test_wrapped_lines_fit_and_lose_no_letter(text: str, columns: int) -> None:
    lines = wrapped(text, columns, "  ", "- ")
    assert all(columns_of(line) <= columns for line in lines)
    kept = "".join(line[2:] for line in lines).replace(" ", "")
    assert kept == "".join(plain(text).split()).replace(" ", "")


def test_words_stay_whole_where_they_can() -> None:
    assert wrapped("not done: Pull cable", 10) == ["not done:", "Pull cable"]
    assert wrapped("unbelievable", 6) == ["unbeli", "evable"]
