"""Text that may leave the house."""

from __future__ import annotations

import pytest

from readiness.exchange.text import clean_line, clean_text, plain_name


@pytest.mark.parametrize(
    ("written", "cleaned"),
    [
        ("a\r\nb", "a\nb"),
        ("a\rb\nc", "a\nb\nc"),
        ("a\x0bb\x0cc\x85d\u2028e\u2029f", "a\nb\nc\nd\ne\nf"),
        ("a\x00b\x1f\x7fc\x9fd", "abcd"),
        ("a\tb", "a b"),
        ("\ud800", "\ufffd"),
        ("\u202eabc\u202c", "abc"),
        ('👩\u200d🔧 3-1/2"', '👩\u200d🔧 3-1/2"'),
        ("Büro – 62 °F", "Büro – 62 °F"),
    ],
)
def test_clean_text(written: str, cleaned: str) -> None:
    assert clean_text(written) == cleaned


def test_a_line_is_one_line() -> None:
    assert clean_line(" a \r\n b\t c ") == "a b c"


def test_a_plain_name_holds_no_sign_that_is_escaped() -> None:
    assert plain_name("Alder St, 14; rear\\left") == "Alder St 14 rear left"
