"""What fields take, and what they refuse to convert in silence."""

from __future__ import annotations

from datetime import date

import pytest

from readiness.job.fields import (
    as_many,
    checked_clock,
    checked_country,
    checked_id,
    checked_key,
    checked_note,
    checked_surface_id,
    checked_text,
    checked_words,
    kept,
    read_done,
    shape,
)
from readiness.job.written import MisreadError


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("a\u202eb", "U+202E (right-to-left override)"),
        ("a\u200bb", "U+200B (zero width space)"),
        ("a\u0007b", "U+0007 (a control sign)"),
        ("a\nb", "U+000A (a line break)"),
        ("a\tb", "U+0009 (a tab)"),
        ("a\ufeffb", "U+FEFF"),
        ("a\U000e0041b", "U+E0041"),
    ],
)
def test_a_sign_that_nobody_sees_is_refused_by_its_name(text: str, words: str) -> None:
    """Such signs turn a line round on the screen or make two names look alike."""
    with pytest.raises(MisreadError) as caught:
        checked_text(text)
    assert words in caught.value.hint


def test_text_of_any_language_is_kept_without_blanks_at_its_ends() -> None:
    assert checked_text("  Zoë Müller, 東京, Łódź ") == "Zoë Müller, 東京, Łódź"


def test_endless_text_is_refused() -> None:
    assert checked_text("x" * 1000)
    with pytest.raises(MisreadError, match="at most 1000"):
        checked_text("x" * 1001)


def test_a_note_may_have_several_lines() -> None:
    assert checked_note("one \n\ttwo\r\n") == "one\ntwo"
    with pytest.raises(MisreadError):
        checked_note("one\n\u202etwo")


@pytest.mark.parametrize("name", ["bath-1", "a", "1", "rough_in", "Küche", "x" * 60])
def test_an_id_is_letters_and_digits_joined(name: str) -> None:
    assert checked_id(name) == name


@pytest.mark.parametrize(
    "name",
    [
        "",
        "-a",
        "a-",
        "a--b",
        "a b",
        "a.b",
        "a@b",
        "a/b",
        "../a",
        "all",
        "all-but-a",
        "x" * 61,
        "a\n",
    ],
)
def test_other_text_is_no_id(name: str) -> None:
    with pytest.raises(MisreadError):
        checked_id(name)


@pytest.mark.parametrize("name", ["Ku\u0308che", "\u212bsa"])
def test_an_id_that_only_looks_like_another_is_refused(name: str) -> None:
    """Separate accents, and a sign of a unit in place of a letter."""
    with pytest.raises(MisreadError):
        checked_id(name)


def test_groups_and_storeys_may_have_several_words() -> None:
    assert checked_words("outside walls") == "outside walls"
    for name in ("all", "all but a", "two  blanks", " a", "a.b"):
        with pytest.raises(MisreadError):
            checked_words(name)


def test_a_surface_has_at_most_one_room_before_its_dot() -> None:
    assert checked_surface_id("bath-1.outer") == "bath-1.outer"
    assert checked_surface_id("roof") == "roof"
    for name in ("a.b.c", ".b", "a.", "a b.c"):
        with pytest.raises(MisreadError):
            checked_surface_id(name)


@pytest.mark.parametrize("key", ["abc", "a" * 65, "a b c d", "äbcd", ""])
def test_a_key_is_4_to_64_letters_and_digits(key: str) -> None:
    with pytest.raises(MisreadError):
        checked_key(key)
    assert checked_key("c1b7d0a29e") == "c1b7d0a29e"


@pytest.mark.parametrize("country", ["USA", "us", "", "U", "Canada", "ÜS"])
def test_a_country_is_two_capital_letters(country: str) -> None:
    with pytest.raises(MisreadError, match=r"write e\.g\. US, CA or DE"):
        checked_country(country)
    assert checked_country("CA") == "CA"


def test_a_cut_off_is_a_time_of_day() -> None:
    assert checked_clock("9:30") == "09:30"
    assert checked_clock("") == ""
    with pytest.raises(MisreadError):
        checked_clock("3 pm")


def test_one_thing_is_a_list_of_one() -> None:
    assert as_many("x") == ("x",)
    assert as_many(["x"]) == ["x"]
    assert as_many({"a": 1}) == ({"a": 1},)


def test_done_is_true_false_or_a_day() -> None:
    assert read_done(value=True) is True
    assert read_done(value=False) is False
    assert read_done(date(2026, 5, 7)) == date(2026, 5, 7)
    for value in ("yes", 1, None):
        with pytest.raises(MisreadError, match="true or a day"):
            read_done(value)


def test_two_shapes_of_a_value_are_told_apart() -> None:
    assert (shape({}), shape([]), shape("x")) == ("table", "plain", "plain")
    assert (kept(value=False), kept(value=True), kept({})) == ("removed", "row", "row")
