"""Colors of pages: read by every eye, alike to none, and never the only sign.

Source: WCAG 2.2, success criteria 1.4.1 (use of color), 1.4.3 (text) and 1.4.11 (other signs).
"""

from __future__ import annotations

import re
from itertools import combinations

import pytest

from readiness.pages.marks import MARKS
from readiness.pages.paper_html import TONES
from readiness.pages.templates import template_text
from tests.colors import (
    BLINDNESS,
    LEAST_CONTRAST,
    LEAST_CONTRAST_OF_SHAPES,
    contrast,
    difference,
    seen,
)

STYLE = template_text("paper.css") + template_text("phone.css")
PAPER = "#ffffff"
ENOUGH = 12
"""Least difference of two colors, as CIE 1976 has it: five times what can just be noticed."""
HAIRLINES = frozenset({"#c9ccd0"})
"""Between rows of a table, where white space does the same: no sign of anything."""


def tones() -> dict[str, str]:
    """Return the color of the border of a verdict by its tone."""
    found = dict(re.findall(r"\.(\w+) { border-color: (#[0-9a-f]{6}); }", STYLE))
    assert set(found) == set(TONES.values())
    return found


def inks() -> dict[str, str]:
    return dict(re.findall(r"--(\w+): (#[0-9a-f]{6});", STYLE))


def test_the_paper_is_white() -> None:
    assert "background: #fff;" in STYLE
    assert set(re.findall(r"background: (#\w+)", STYLE)) == {"#fff"}


@pytest.mark.parametrize("blindness", ["", *BLINDNESS])
def test_text_and_signs_stand_out_to_every_eye(blindness: str) -> None:
    ink = inks()
    texts = {"ink": ink["ink"], "faint": ink["faint"], **tones()}
    for name, color in texts.items():
        assert contrast(seen(color, blindness), PAPER) >= LEAST_CONTRAST, name
    others = {*re.findall(r"#[0-9a-f]{6}", STYLE), ink["line"]} - HAIRLINES - {PAPER}
    for color in others:
        assert contrast(seen(color, blindness), PAPER) >= LEAST_CONTRAST_OF_SHAPES, color


@pytest.mark.parametrize("blindness", ["", *BLINDNESS])
def test_no_two_verdicts_have_borders_that_look_alike(blindness: str) -> None:
    found = tones()
    alike = {
        pair: apart
        for pair in combinations(found, 2)
        if (apart := difference(found[pair[0]], found[pair[1]], blindness)) < ENOUGH
    }
    assert alike == {}


def test_every_color_has_a_mark_and_a_word_beside_it() -> None:
    assert all(MARKS[word] for word in TONES)
    assert len({MARKS[word] for word in TONES}) == len(TONES)
