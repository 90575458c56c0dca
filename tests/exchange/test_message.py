"""A message apart: who says what of when; what only looks like a name signs nothing."""

from __future__ import annotations

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from readiness.exchange.message import LONGEST_MESSAGE, message_of, quoted, words_of
from readiness.exchange.note_listener import NoteRefused

ROLES = {"crew lead", "contractor", "electrician"}


def apart(text: str) -> list[tuple[str, str, str]]:
    """Return moment, person and what is said of each line."""
    return [(line.when, line.who, line.says) for line in message_of(text, ROLES).lines]


@pytest.mark.parametrize(
    ("line", "found"),
    [
        ("done wires", ("", "", "done wires")),
        ("2026-05-05 done wires", ("2026-05-05", "", "done wires")),
        (
            "2026-05-05 07:40 Lea Brandt, crew lead: arrived",
            ("2026-05-05 07:40", "Lea Brandt, crew lead", "arrived"),
        ),
        ("2026-05-05T07:40 Lea: arrived", ("2026-05-05T07:40", "Lea", "arrived")),
        ("Bo Tan, electrician: done wires", ("", "Bo Tan, electrician", "done wires")),
        ("BO TAN, ELECTRICIAN: done wires", ("", "BO TAN, ELECTRICIAN", "done wires")),
        ("Bo Tan, astronaut: done wires", ("", "", "Bo Tan, astronaut: done wires")),
        ("Subject: done wires", ("", "", "Subject: done wires")),
        ('remark "door: open"', ("", "", 'remark "door: open"')),
        ("depth roof 3:4", ("", "", "depth roof 3:4")),
    ],
)
def test_a_line_comes_apart(line: str, found: tuple[str, str, str]) -> None:
    assert apart(line) == [found]


def test_a_head_alone_speaks_for_the_lines_below_it_until_the_next() -> None:
    text = "2026-05-05 07:40 Lea, crew lead:\narrived\nBo, electrician:\ndone wires\nFrom: Al\nhi"
    assert apart(text) == [
        ("2026-05-05 07:40", "Lea, crew lead", "arrived"),
        ("2026-05-05 07:40", "Bo, electrician", "done wires"),
        ("", "Al", "hi"),
    ]


def test_a_line_of_its_own_author_leaves_the_head_as_it_is() -> None:
    text = "Lea, crew lead:\nBo, electrician: done wires\narrived"
    assert [who for _, who, _ in apart(text)] == ["Bo, electrician", "Lea, crew lead"]


def test_quoted_lines_are_counted_and_headings_left_out() -> None:
    message = message_of("# For readiness receive: x\n> stop wet\n >> old\n\ndone wires\n", ROLES)
    assert [line.says for line in message.lines] == ["done wires"]
    assert message.quoted == 2
    assert message.lines[0].line == 5


def test_a_message_that_is_far_too_long_is_none() -> None:
    assert len(message_of("x" * LONGEST_MESSAGE, ROLES).lines) == 1
    with pytest.raises(NoteRefused, match="at most 200000"):
        message_of("x" * (LONGEST_MESSAGE + 1), ROLES)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ('stop "floor deck wet" bath', ["stop", "floor deck wet", "bath"]),
        ("stop “floor deck wet” bath", ["stop", "floor deck wet", "bath"]),
        ("stop „floor deck wet“", ["stop", "floor deck wet"]),
        ("it's wet, don't come", ["it's", "wet,", "don't", "come"]),
        ('remark "half open', ["remark", '"half', "open"]),
        (
            "passed wiring —by office –how seen",
            ["passed", "wiring", "--by", "office", "--how", "seen"],
        ),
        ("bath — kitchen", ["bath", "—", "kitchen"]),
        ('remark "say \\"when\\"" C:\\\\x', ["remark", 'say "when"', "C:\\x"]),
    ],
)
def test_words_keep_together_what_stands_in_quotes(text: str, words: list[str]) -> None:
    assert words_of(text) == words


@example("wet —by the door")
@given(st.text(max_size=200))
def test_a_quoted_text_comes_back_as_one_word(text: str) -> None:
    """Whatever somebody typed as a reason goes to the other firm and back."""
    plain = " ".join("".join(sign if sign.isprintable() else " " for sign in text).split())
    assert words_of(f"stop {quoted(text)} bath") == ["stop", plain, "bath"]


@given(st.text(max_size=400))
def test_no_text_is_lost_or_breaks_the_reading(text: str) -> None:
    message = message_of(text, ROLES)
    assert all(line.says.isprintable() and line.says for line in message.lines)
    assert len(message.lines) + message.quoted <= len(text.splitlines())
