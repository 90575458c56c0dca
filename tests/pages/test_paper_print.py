"""Pages as PDF and picture: the same words on one or two sheets, by a reader of another maker.

Skipped where Pango is missing, without which nothing is drawn.
"""

from __future__ import annotations

import re
import sys
from io import BytesIO
from pathlib import Path

import pytest

from readiness.pages import paper_print
from readiness.pages.paper_html import is_ours
from readiness.pages.paper_print import PAPERS, NotDrawnError, page_pdf, paper_for, write_png
from tests.conftest import ROOT
from tests.desk.builders import run
from tests.pages.papers import ROLES, page_of
from tests.pages.papers import paper_for as page_before_drawing
from tests.pages.test_paper_html import HOUSE, SAMPLES

try:
    from weasyprint import HTML
except (ImportError, OSError):  # pragma: no cover  a machine without Pango
    HTML = None
needs_pango = pytest.mark.skipif(HTML is None, reason="no Pango on this machine")

SAMPLE = ROOT / "sample_jobs" / "row-house-renovation"
POINTS = {"A4": (595, 842), "letter": (612, 792)}
"""ISO 216: 210 by 297 mm; ANSI/ASME Y14.1: 8.5 by 11 in; 72 points on an inch."""


def sheets_of(pdf: bytes) -> list[tuple[tuple[int, int], str]]:
    """Return size and text of each sheet."""
    from pypdfium2 import PdfDocument

    return [
        (
            (round(sheet.get_width()), round(sheet.get_height())),
            " ".join(sheet.get_textpage().get_text_bounded().split()),
        )
        for sheet in PdfDocument(pdf)
    ]


def picture_of(pdf: bytes) -> BytesIO:
    file = BytesIO()
    write_png(pdf, file)
    file.seek(0)
    return file


@needs_pango
@pytest.mark.parametrize(
    ("role", "paper"), [*((role, "A4") for role in ROLES), ("crew lead", "letter")]
)
def test_a_page_is_drawn_whole_on_one_or_two_sheets(role: str, paper: str) -> None:
    page = page_before_drawing(HOUSE, role)
    sheets = sheets_of(page_pdf(page_of(HOUSE, role), paper))
    assert 1 <= len(sheets) <= 2
    assert {size for size, _ in sheets} == {POINTS[paper]}
    text = " ".join(told for _, told in sheets)
    assert page.sentence in text
    assert f"Page {page.code}" in text
    assert page.cautions[-1].split(".")[0] in text


@needs_pango
@pytest.mark.long
@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("role", [*ROLES, "electrician"])
@pytest.mark.parametrize("sample", SAMPLES)
def test_every_page_is_drawn_on_one_or_two_sheets(sample: str, role: str, paper: str) -> None:
    assert 1 <= len(sheets_of(page_pdf(page_of(SAMPLES[sample], role), paper))) <= 2


@needs_pango
def test_equal_pages_give_equal_bytes() -> None:
    page = page_of(HOUSE, "owner")
    assert page_pdf(page, "A4") == page_pdf(page, "A4")
    assert picture_of(page_pdf(page, "A4")).read() == picture_of(page_pdf(page, "A4")).read()


@needs_pango
def test_a_picture_shows_every_sheet_in_ink(monkeypatch: pytest.MonkeyPatch) -> None:
    """Edge lines are strokes; without their own rules they would be black blocks."""
    from PIL import Image

    pdf = page_pdf(page_of(HOUSE, "contractor"), "letter")
    picture = Image.open(picture_of(pdf))
    assert picture.size == (612 * 2, 792 * 2 * len(sheets_of(pdf)))
    ink = dark(picture)
    assert 0.01 < ink < 0.12
    monkeypatch.setattr(paper_print, "_PICTURE", re.compile("(no such tag)"))
    assert dark(Image.open(picture_of(page_pdf(page_of(HOUSE, "contractor"), "letter")))) > ink


def dark(picture: object) -> float:
    """Return the share of a picture that is nearly black."""
    counts = picture.histogram()  # type: ignore[attr-defined]
    return float(sum(counts[:64]) / sum(counts))


@needs_pango
@pytest.mark.parametrize(
    ("country", "size"), [("US", "letter"), ("CA", "letter"), ("DE", "A4"), ("", "A4")]
)
def test_the_paper_is_that_of_the_country(country: str, size: str) -> None:
    assert paper_for(country) == size


@needs_pango
@pytest.mark.parametrize("ending", ["pdf", "png"])
def test_the_command_draws_by_the_ending_and_replaces_only_its_own(
    tmp_path: Path, ending: str
) -> None:
    target = tmp_path / f"owner.{ending}"
    for role in ("owner", "crew lead"):
        ran = run("page", SAMPLE, "--for", role, "--out", str(target), "--paper", "a4")
        assert ran.code == 0, ran.err
    content = target.read_bytes()
    assert is_ours(content)
    assert content.startswith({"pdf": b"%PDF", "png": b"\x89PNG"}[ending])
    target.write_bytes(content[:8] + b"somebody else's")
    ran = run("page", SAMPLE, "--for", "owner", "--out", str(target))
    assert ran.code == 3
    assert "was not written by this program" in ran.err


@needs_pango
def test_what_a_page_would_fetch_is_refused(tmp_path: Path) -> None:
    """No page of ours wants anything; one that did would be drawn without it."""
    (tmp_path / "secret.png").write_bytes(
        picture_of(page_pdf(page_of(HOUSE, "owner"), "A4")).read()
    )
    page = page_of(HOUSE, "owner")
    wants = page.replace("<main>", f'<main><img src="{(tmp_path / "secret.png").as_uri()}">')
    assert wants != page
    assert sheets_of(page_pdf(wants, "A4"))[0][1] == sheets_of(page_pdf(page, "A4"))[0][1]
    assert len(page_pdf(wants, "A4")) < len(page_pdf(page, "A4")) + 2_000


@pytest.mark.parametrize(
    ("ending", "module", "extra"), [("pdf", "weasyprint", "pdf"), ("png", "pypdfium2", "png")]
)
def test_without_its_library_the_command_says_which_and_writes_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, ending: str, module: str, extra: str
) -> None:
    if HTML is None and ending == "png":
        pytest.skip("no Pango on this machine")
    monkeypatch.setitem(sys.modules, module, None)
    target = tmp_path / "new" / f"owner.{ending}"
    ran = run("page", SAMPLE, "--for", "owner", "--out", str(target))
    assert ran.code == 3
    assert f"{target}: " in ran.err
    assert f"pip install '.[{extra}]', or write .html" in ran.err
    assert not target.parent.exists()


def test_without_pango_the_command_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def lacks(*_: object) -> None:
        raise NotDrawnError("drawing it needs Pango, which this system lacks", "install Pango")

    monkeypatch.setattr("readiness.desk.printing.page_pdf", lacks)
    ran = run("page", SAMPLE, "--for", "owner", "--out", str(tmp_path / "owner.pdf"))
    assert ran.code == 3
    assert "drawing it needs Pango, which this system lacks; install Pango" in ran.err


def test_a_form_is_not_drawn(tmp_path: Path) -> None:
    words = ("--for", "crew lead", "--with-form", "--out", str(tmp_path / "crew.pdf"))
    ran = run("page", SAMPLE, *words)
    assert ran.code == 2
    assert "a form needs a browser" in ran.err
