"""Colors: contrast, and that none of them stands for good or bad."""

from __future__ import annotations

import colorsys

import pytest
from textual.theme import Theme

from readiness.pages.marks import MARKS
from readiness.screens.themes import DAYLIGHT, NAMES, NIGHT, THEMES, TONES, mark_style, next_name

LEAST_CONTRAST = 4.5
"""WCAG 2.2, success criterion 1.4.3, for text of usual size (W3C Recommendation); from memory."""


def luminance(color: str) -> float:
    """Return relative luminance as WCAG 2.2 defines it (from memory)."""
    parts = [int(color[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def test_contrast_is_that_of_black_on_white() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.01)


@pytest.mark.parametrize("theme", [NIGHT, DAYLIGHT], ids=lambda theme: theme.name)
def test_every_pair_of_colors_can_be_told_apart(theme: Theme) -> None:
    names = theme.variables
    pairs = [(names[f"mark-{tone}-text"], names[f"mark-{tone}"]) for tone in TONES.values()]
    ink, paper, band = theme.foreground, theme.background, names["band"]
    assert ink
    assert paper
    pairs += [(ink, paper), (ink, band)]
    assert {pair: contrast(*pair) for pair in pairs if contrast(*pair) < LEAST_CONTRAST} == {}


@pytest.mark.parametrize("theme", [NIGHT, DAYLIGHT], ids=lambda theme: theme.name)
def test_blue_orange_purple_and_yellow_and_no_red_and_no_green(theme: Theme) -> None:
    hues = {}
    for word, tone in TONES.items():
        color = theme.variables[f"mark-{tone}"]
        parts = [int(color[at : at + 2], 16) / 255 for at in (1, 3, 5)]
        hues[word] = colorsys.rgb_to_hls(parts[0], parts[1], parts[2])[0] * 360
    assert 200 < hues["too early"] < 230
    assert 25 < hues["too late"] < 40
    assert 260 < hues["crossed"] < 285
    assert 45 < hues["not prepared"] < 60


def test_only_what_needs_somebody_has_a_color() -> None:
    colored = {word for word in MARKS if "$" in mark_style(word)}
    assert colored == {"too early", "too late", "crossed", "not prepared"}


def test_the_key_goes_through_all_themes() -> None:
    seen = [NAMES[0]]
    for _ in NAMES[1:]:
        seen.append(next_name(seen[-1]))
    assert tuple(seen) == NAMES == tuple(theme.name for theme in THEMES)
    assert next_name(seen[-1]) == NAMES[0]
