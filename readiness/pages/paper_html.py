"""A page as one HTML file that needs no network and no second file, nor a script without a form.

Everything that people wrote is escaped by the template engine; writing that runs from right to left
is set apart, so that it can't turn the sentence around it.
Invariant: the same page gives the same bytes, and they hold no tag that a template did not write.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING

from jinja2 import Environment, StrictUndefined
from markupsafe import Markup, escape

from readiness.pages.columns import plain
from readiness.pages.edge_lines import LEGEND_WITH_DAY, closing_told, opening_told
from readiness.pages.edge_svg import frame_of
from readiness.pages.form import paper_grid
from readiness.pages.marks import MARKS
from readiness.pages.paper import Edges, Paper, Points, Rows, names_told
from readiness.pages.templates import template_text

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from readiness.pages.edge_svg import Frame
    from readiness.pages.form import Form
    from readiness.pages.paper_phone import Subscription
    from readiness.questions.check import SurfaceLine

MARK_OF_OURS = "<!-- A page made by readiness; make it anew instead of changing it. -->"
"""Stands near the beginning of every page, so that nobody else's file is overwritten."""

DAYS_DRAWN = 25
"""Days from the first one that a picture may reach."""

LONGEST_WORD = 20
"""A longer word may be broken, because no column has room for it."""
MOST_KEPT = 12
"""Signs of words that stay on one line: `150 sq ft`, `closed cell`."""

DATED = frozenset({"when", "until", "done by"})
"""Heads of first columns whose cells stay on one line."""

TONES = {
    "too early": "early",
    "too late": "late",
    "crossed": "crossed",
    "not prepared": "unprepared",
}

_APART = re.compile(
    "[\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufeff][^\u0041-\u007a]*"
    "|(?P<number>(?<![0-9A-Za-z-])[0-9]{2,4}(?:-[0-9]{2,4}){1,3}(?![0-9A-Za-z-]))"
)
"""Writing from right to left, and telephone numbers, which a hyphen would break."""


def is_ours(head: bytes) -> bool:
    """Say by its beginning whether a file is a page that this program wrote."""
    return MARK_OF_OURS.encode() in head


def paper_html(
    paper: Paper, form: Form | None = None, subscription: Subscription | None = None
) -> str:
    """Return the page as HTML; with a form it holds the one script of ours.

    Args:
        paper: The page.
        form: What can be written from it.
        subscription: The way back to it, for pages that are looked up and not printed.
    """
    grid = paper_grid(form) if form is not None else ()
    environment = Environment(
        autoescape=True, undefined=StrictUndefined, trim_blocks=False, keep_trailing_newline=True
    )
    environment.filters["told"] = _told
    environment.filters["line"] = plain
    environment.filters["fit"] = _fit
    template = environment.from_string(template_text("paper.html"))
    return template.render(
        paper=paper,
        mark_of_ours=MARK_OF_OURS,
        style=template_text("paper.css"),
        subscription=subscription,
        phone_style=template_text("phone.css") if subscription is not None else "",
        form=form,
        script=template_text("form.js") if form is not None else "",
        tone=TONES.get(paper.word, ""),
        sections=[_shown(section) for section in (*paper.sections, *grid)],
    )


def _told(text: str) -> Markup:
    """Return a text escaped, what runs from right to left set apart, numbers kept on one line."""
    parts: list[Markup] = []
    at = 0
    line = plain(text)
    for found in _APART.finditer(line):
        tag, end = _KEPT if found["number"] else _BDI
        parts += [escape(line[at : found.start()]), tag + escape(found[0]) + end]
        at = found.end()
    return Markup("").join([*parts, escape(line[at:])])


_KEPT = (Markup('<span class="short">'), Markup("</span>"))
_BDI = (Markup("<bdi>"), Markup("</bdi>"))


def _fit(cell: str) -> Markup:
    """Return how a cell may be broken: a few words not at all, and no word but a very long one."""
    words = cell.split()
    if any(len(word) > LONGEST_WORD for word in words):
        return Markup(' class="long"')
    return Markup(' class="short"') if len(words) > 1 and len(cell) <= MOST_KEPT else Markup("")


def _shown(section: Points | Rows | Edges) -> Mapping[str, object]:
    """Return a section as the template takes it."""
    if isinstance(section, Points):
        points = [
            {"head": p.head, "text": p.text, "gap": " " if p.head.endswith(".") else ": "}
            for p in section.points
        ]
        return {"heading": section.heading, "lead": section.lead, "points": points}
    if isinstance(section, Rows):
        return {
            "heading": section.heading,
            "lead": section.lead,
            "columns": section.columns,
            "rows": section.rows,
            "by_hand": section.by_hand,
            "dated": section.columns[0] in DATED,
        }
    last = section.first + timedelta(days=DAYS_DRAWN)
    frame = frame_of(section.surfaces, section.first, last, section.asked)
    return {
        "heading": section.heading,
        "head": frame.head(),
        "lines": [_edge_line(group, frame) for group in _groups(section.surfaces)],
        "legend": LEGEND_WITH_DAY,
    }


@dataclass(frozen=True, slots=True)
class _EdgeLine:
    """Surfaces that share a verdict and a spray window."""

    names: str
    mark: str
    word: str
    picture: str
    says: str


def _groups(surfaces: Iterable[SurfaceLine]) -> list[list[SurfaceLine]]:
    """Return the surfaces with a window, those with equal edges together, in written order."""
    groups: dict[tuple[object, ...], list[SurfaceLine]] = {}
    for line in surfaces:
        window = line.window
        if window is None:
            continue
        key = (
            line.word,
            window.opens,
            window.has_no_opening_date,
            window.last_start,
            window.is_closed_for_ever,
            window.costs_from,
        )
        groups.setdefault(key, []).append(line)
    return list(groups.values())


def _edge_line(group: list[SurfaceLine], frame: Frame) -> _EdgeLine:
    opening = _first_of(opening_told(line) for line in group)
    closing = _first_of(closing_told(line.window) for line in group if line.window is not None)
    says = f"{opening}; {closing}."
    window = group[0].window
    assert window is not None  # noqa: S101  only surfaces with a window are grouped
    return _EdgeLine(
        names=names_told(line.name for line in group),
        mark=MARKS[group[0].word],
        word=group[0].word,
        picture=frame.line(window, says),
        says=says,
    )


def _first_of(sentences: Iterable[str]) -> str:
    """Return the first of several sentences, and that there are more."""
    different = list(dict.fromkeys(sentences))
    return different[0] if len(different) == 1 else f"{different[0]}, and others like it"
