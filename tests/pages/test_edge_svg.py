"""Edge lines as pictures: the signs of the text, drawn; well-formed; titled."""

from __future__ import annotations

from datetime import date
from xml.etree import ElementTree as ET

import pytest

from readiness.pages.edge_days import DAY_COLUMNS, signs_of
from readiness.pages.edge_svg import frame_of
from tests.pages.test_edge_lines import BATH, KITCHEN, MONDAY, THURSDAY, at, surface, window

FRAME = frame_of([BATH, KITCHEN], MONDAY, THURSDAY, date(2026, 5, 11))
NAME = "{http://www.w3.org/2000/svg}"


def drawn(line: str) -> ET.Element:
    return ET.fromstring(line.replace("<svg ", f'<svg xmlns="{NAME[1:-1]}" ', 1))  # noqa: S314


@pytest.mark.parametrize("line", [BATH, KITCHEN], ids=lambda line: line.name)
def test_every_sign_of_the_text_is_drawn(line: object) -> None:
    window_of = BATH.window if line is BATH else KITCHEN.window
    assert window_of is not None
    signs = signs_of(window_of, FRAME.days)
    upto = signs[: signs.index("]") + 1]
    root = drawn(FRAME.line(window_of, "says"))
    coins = [text for text in root.iter(f"{NAME}text") if text.text == "$"]
    dots = list(root.iter(f"{NAME}circle"))
    edges = [path for path in root.iter(f"{NAME}path") if path.get("class") == "edge-of"]
    firsts = [sign for number, sign in enumerate(upto) if number % DAY_COLUMNS == 0]
    assert len(coins) == upto.count("$")
    assert len(dots) == firsts.count(".")
    assert len(edges) == upto.count("[") + upto.count("]")


def test_what_a_picture_shows_is_said() -> None:
    assert BATH.window is not None
    root = drawn(FRAME.line(BATH.window, 'opens after <b>"x"</b> & more'))
    assert root.get("role") == "img"
    assert root.get("aria-label") == 'opens after <b>"x"</b> & more'
    title = root.find(f"{NAME}title")
    assert title is not None
    assert title.text == root.get("aria-label")


def test_the_line_of_days_names_them_and_the_asked_one() -> None:
    root = drawn(FRAME.head())
    labels = [text.text for text in root.iter(f"{NAME}text")]
    assert labels == ["Mo4", "Tu5", "We6", "Th7", "Fr8", "M11*", "T12", "W13", "T14"]


def test_nothing_is_drawn_outside_the_picture() -> None:
    line = surface("Far", "on course", window(at(4), "x"))
    frame = frame_of([line], MONDAY, THURSDAY, None)
    assert line.window is not None
    root = drawn(frame.line(line.window, "says"))
    width = float(str(root.get("viewBox")).split()[2])
    lefts = [float(p.get("d", "M0").split()[0][1:]) for p in root.iter(f"{NAME}path")]
    assert max(lefts) < width
