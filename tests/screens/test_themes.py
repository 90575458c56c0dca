"""Colors: contrast, and that none of them stands for good or bad."""

from __future__ import annotations

import colorsys
from itertools import combinations

import pytest
from textual.theme import Theme

from readiness.pages.marks import MARKS
from readiness.screens.themes import DAYLIGHT, NAMES, NIGHT, THEMES, TONES, mark_style, next_name
from tests.colors import (
    BLINDNESS,
    LEAST_CONTRAST,
    LEAST_CONTRAST_OF_SHAPES,
    contrast,
    difference,
    seen,
)

OWN = (NIGHT, DAYLIGHT)
ENOUGH = 12
"""Least difference of two marks, as CIE 1976 has it: five times what can just be noticed."""
ANSI = {
    "ansi_black": "#000000",
    "ansi_blue": "#0000ee",
    "ansi_magenta": "#cd00cd",
    "ansi_yellow": "#cdcd00",
    "ansi_bright_yellow": "#ffff00",
    "ansi_bright_white": "#ffffff",
}
"""As xterm shows them unless its user has chosen others; from memory."""


def pairs_of(theme: Theme) -> dict[str, tuple[str, str]]:
    """Return letters and ground of each mark by its tone."""
    names = theme.variables
    return {
        tone: (
            ANSI.get(names[f"mark-{tone}-text"], names[f"mark-{tone}-text"]),
            ANSI.get(names[f"mark-{tone}"], names[f"mark-{tone}"]),
        )
        for tone in TONES.values()
    }


@pytest.mark.parametrize("blindness", ["", *BLINDNESS])
@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
def test_every_mark_can_be_read_by_every_eye(theme: Theme, blindness: str) -> None:
    read = {
        tone: contrast(seen(letters, blindness), seen(ground, blindness))
        for tone, (letters, ground) in pairs_of(theme).items()
    }
    least = LEAST_CONTRAST if theme in OWN or not blindness else LEAST_CONTRAST_OF_SHAPES
    assert {tone: found for tone, found in read.items() if found < least} == {}


@pytest.mark.parametrize("blindness", ["", *BLINDNESS])
@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
def test_no_two_marks_look_alike_to_any_eye(theme: Theme, blindness: str) -> None:
    grounds = {tone: ground for tone, (_, ground) in pairs_of(theme).items()}
    alike = {
        pair: found
        for pair in combinations(grounds, 2)
        if (found := difference(grounds[pair[0]], grounds[pair[1]], blindness)) < ENOUGH
    }
    assert alike == {}


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
