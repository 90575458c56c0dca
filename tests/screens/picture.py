"""A screen as text, and as a picture that stands alone.

Invariant: both are made from what the toolkit exports and from nothing inside it.
"""

from __future__ import annotations

import html
import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from textual.app import App

CELL_WIDTH = 12.2
"""Of one column in the exported picture."""
_TEXT = re.compile(
    r'<text class="[^"]*-r\d+" x="([\d.]+)" y="([\d.]+)" textLength="[\d.]+"[^>]*>([^<]*)</text>'
)
_COMMENT = re.compile(r"<!--.*?-->", re.DOTALL)
_FRAME = re.compile(r'<g transform="translate\(\d+,\d+\)">\s*<circle.*?</g>', re.DOTALL)
_FONT_FACE = re.compile(r"@font-face\s*\{.*?\}", re.DOTALL)
_TITLE = re.compile(r'<text class="[^"]*-title"[^>]*>.*?</text>', re.DOTALL)
FONTS = "'DejaVu Sans Mono', Menlo, Consolas, monospace"

_VIEW = re.compile(r'viewBox="0 0 ([\d.]+) ([\d.]+)"')
TITLE_HEIGHT = 33
"""Of the bar that the exported picture draws above the screen."""


def _without_title(view: re.Match[str]) -> str:
    height = float(view[2]) - TITLE_HEIGHT
    return f'viewBox="0 {TITLE_HEIGHT} {view[1]} {height:g}"'


def screen_text(app: App[None]) -> str:
    """Return what stands on the screen, line by line, without blanks at their ends."""
    rows: dict[float, list[str]] = {}
    for x, y, raw in _TEXT.findall(app.export_screenshot()):
        text = html.unescape(raw).replace("\xa0", " ")
        row, at = rows.setdefault(float(y), []), round(float(x) / CELL_WIDTH)
        row.extend(" " * (at + len(text) - len(row)))
        row[at : at + len(text)] = text
    return "\n".join("".join(rows[y]).rstrip() for y in sorted(rows)) + "\n"


def picture(app: App[None]) -> str:
    """Return the screen as SVG that asks for no font from outside and has no window around it."""
    exported = app.export_screenshot()
    for pattern in (_COMMENT, _FRAME, _FONT_FACE, _TITLE):
        exported = pattern.sub("", exported)
    exported = _VIEW.sub(_without_title, exported)
    named = re.sub(r"Fira Code, monospace|Fira Code", FONTS, exported)
    return "\n".join(line.rstrip() for line in named.splitlines() if line.strip()) + "\n"
