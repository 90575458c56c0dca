"""What people type that is no TOML, and how they are told to write it."""

from __future__ import annotations

import pytest

from readiness.job.problems import JobFileError
from readiness.job.syntax import MOST_PROBLEMS, read_toml
from tests.job.builders import FILE


def hints(text: str) -> list[tuple[int | None, str]]:
    """Return line and hint of each problem of syntax."""
    try:
        found = read_toml(text, FILE).problems
    except JobFileError as error:
        found = error.problems
    return [(problem.line, problem.hint) for problem in found]


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ('a = "3-1/2""', "an inch mark ends the text"),
        ("a = “5 in”", "curly quotes are no quotes"),
        ("a = ‘5 in’", "curly quotes are no quotes"),
        ("a = 5/4/2026", "year-month-day"),
        ("a = 5.4.2026", "year-month-day"),
        ("a = 2026-5-4", "two digits"),
        ("a = 2026-02-30", "there is no such day"),
        ("a = 2026-05-07T09:00", "has seconds"),
        ("a = 2026-05-07 9:00", "has seconds"),
        ("a = 7:30", "a time of day is text"),
        ("a = yes", "yes is written true"),
        ("a = True", "yes is written true"),
        ("a = no", "no is written false"),
        ("a = 5.5 in", "a quantity is text"),
        ("a = 18 %", "a quantity is text"),
        ("a = 45°", "a quantity is text"),
        ("a = 012", "a number does not begin with 0"),
        ("a = { b = 1, }", "no comma before the closing brace"),
        ('a = "x', "the closing quote is missing"),
        ("a =", "the value is missing"),
        ("a = # later", "the value is missing"),
        ('a = "c:\\xy"', "a backslash in text is written twice"),
        ("a = kitchen", "words are text"),
        ("a : 1", "stands =, not a colon"),
        ("bath 1 = 1", "joined with -"),
        ("a", "a line is KEY = VALUE"),
        ("[a", "the closing bracket is missing"),
        ("a = [1 2]", "between the elements of a list stand commas"),
        ('a = "x" b = 2', "a comma or a line break is missing"),
        ('a = "x\u0007"', "it holds U+0007"),
        ('a = "\\ud800"', "a backslash"),
    ],
)
def test_a_wrong_line_is_told_with_its_line_and_how_to_write_it(line: str, words: str) -> None:
    """A good line before and after must not move the place."""
    ((number, hint),) = hints(f"first = 1\n{line}\nlast = 2\n")
    assert (number, words in hint) == (2, True), hint


def test_a_table_in_braces_over_several_lines_is_told_where_it_begins() -> None:
    text = "a = 1\nb = { c = 1,\n  d = 2 }\ne = yes\n"
    assert [(line, hint[:20]) for line, hint in hints(text)] == [
        (2, "a table in braces st"),
        (4, "yes is written true"),
    ]


def test_every_wrong_line_is_told_at_once() -> None:
    text = 'a = yes\nb = 1\nc = 5/4/2026\nd = 5.5 in\ne = "3""\n'
    assert [line for line, _ in hints(text)] == [1, 3, 4, 5]


def test_a_list_over_several_lines_is_told_where_the_comma_is_missing() -> None:
    """The parser stumbles over the next line; the slip stands on the one before."""
    assert hints("a = [\n1\n2]\n") == [
        (2, "between the elements of a list stand commas, after the last one ]")
    ]
    assert [line for line, _ in hints("b = 1\na = [1\n2]\n")] == [2]


def test_what_is_right_is_read_although_other_lines_are_wrong() -> None:
    toml = read_toml("a = yes\nb = 1\n[t]\nc = 5 in\nd = 2\n", FILE)
    assert toml.data == {"b": 1, "t": {"d": 2}}
    assert toml.text.split("\n")[1] == "b = 1"
    assert len(toml.problems) == 2


def test_a_key_that_stands_twice_is_told_with_both_lines() -> None:
    toml = read_toml("a = 1\nb = 2\na = 3\n", FILE)
    assert [str(problem) for problem in toml.problems] == [
        "job.toml:3: a: stands in the file twice, first on line 1; keep one of them"
    ]


def test_a_table_that_stands_twice_ends_the_reading() -> None:
    """Without its header, what follows would be read as part of another table."""
    with pytest.raises(JobFileError) as caught:
        read_toml("[a]\nx = 1\n[b]\n[a]\nx = 2\ny = yes\n", FILE)
    assert [(problem.line, problem.key) for problem in caught.value.problems] == [(4, "a")]


def test_a_wrong_last_line_without_an_end_is_told() -> None:
    assert [line for line, _ in hints("a = 1\n\nb = ")] == [3]
    assert [line for line, _ in hints("a = 1\nb = [1,")] == [2]


def test_a_long_text_that_does_not_end_ends_the_reading() -> None:
    """Where it was meant to end nobody knows, so nothing after it is told."""
    for quotes in ('"""', "'''"):
        assert hints(f"a = yes\nb = {quotes}\nc = no\n") == [
            (1, "yes is written true"),
            (2, "the three closing quotes are missing"),
        ]


def test_what_no_hand_writes_is_told_beside_a_wrong_line() -> None:
    text = "a = yes\nb = " + "[" * 900
    assert [line for line, _ in hints(text)] == [None, 1]


def test_not_more_problems_are_told_than_anybody_reads() -> None:
    assert len(hints("".join(f"a{number} = yes\n" for number in range(100)))) == MOST_PROBLEMS


@pytest.mark.parametrize("more", ["a.c = 1", "[a.c]", "a.b.c = 1"])
def test_what_is_added_to_a_table_in_braces_is_sent_inside_them(more: str) -> None:
    ((line, hint),) = hints(f"a = {{ b = 1 }}\n{more}\n")
    assert (line, hint) == (2, "what stands between braces is complete; write it inside them")


def test_a_reason_without_a_hint_of_ours_is_told_as_the_reader_says_it() -> None:
    ((line, hint),) = hints("a = 1\nb = +\n")
    assert line == 2
    assert hint == "the reader says: Invalid value"


@pytest.mark.parametrize(
    "text",
    [
        "a = " + "[" * 900,
        "a = " + "[" * 40 + "]" * 40,
        "a = " + "{ a = " * 40 + "1" + " }" * 40,
        "a = " + "9" * 3000 + "9" * 3000,
    ],
)
def test_what_no_hand_writes_is_refused(text: str) -> None:
    with pytest.raises(
        JobFileError, match="in one another too deeply, or a number is far too long"
    ):
        read_toml(text, FILE)


def test_right_text_is_read_without_a_problem() -> None:
    toml = read_toml("a = 1\r\n[b]\r\nc = [1,\r\n 2]\r\n", FILE)
    assert toml.data == {"a": 1, "b": {"c": [1, 2]}}
    assert toml.problems == ()
    assert toml.text == "a = 1\r\n[b]\r\nc = [1,\r\n 2]\r\n"
