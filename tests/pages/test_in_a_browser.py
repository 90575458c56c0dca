"""Pages in a real browser: on one or two sheets, and without complaint of a checker.

Skipped without Chromium; the checker is skipped without `READINESS_AXE`, the path of axe.min.js.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.pages.browser import AXE, CHROMIUM, sheets, violations
from tests.pages.papers import ROLES, page_of, page_with_form
from tests.pages.test_paper_html import HOUSE, SAMPLES

needs_browser = pytest.mark.skipif(not CHROMIUM, reason="no Chromium on this machine")
needs_checker = pytest.mark.skipif(
    not (CHROMIUM and AXE), reason="READINESS_AXE names no axe.min.js, or there is no Chromium"
)


def written(folder: Path, job: str, role: str) -> Path:
    page = folder / "page.html"
    page.write_text(page_of(job, role), encoding="utf-8")
    return page


@needs_browser
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_longest_page_takes_two_sheets(tmp_path: Path, paper: str) -> None:
    """The crew lead's page of the house with thirty surfaces."""
    assert sheets(written(tmp_path, HOUSE, "crew lead"), paper) == 2


@needs_browser
@pytest.mark.long
@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("role", [*ROLES, "electrician"])
@pytest.mark.parametrize("sample", SAMPLES)
def test_every_page_takes_one_or_two_sheets(
    tmp_path: Path, sample: str, role: str, paper: str
) -> None:
    assert 1 <= sheets(written(tmp_path, SAMPLES[sample], role), paper) <= 2


@needs_checker
@pytest.mark.long
@pytest.mark.parametrize("role", [*ROLES, "electrician"])
@pytest.mark.parametrize("sample", SAMPLES)
def test_the_checker_has_no_complaint(tmp_path: Path, sample: str, role: str) -> None:
    assert violations(written(tmp_path, SAMPLES[sample], role)) == []


@needs_checker
def test_the_checker_has_no_complaint_about_a_form(tmp_path: Path) -> None:
    page = tmp_path / "form.html"
    page.write_text(page_with_form(HOUSE, "crew lead"), encoding="utf-8")
    assert violations(page) == []


@needs_checker
def test_the_checker_notices(tmp_path: Path) -> None:
    """A page whose language is gone and whose letters are faint is complained about."""
    page = written(tmp_path, HOUSE, "owner")
    text = page.read_text(encoding="utf-8")
    broken = text.replace(' lang="en"', "").replace("--faint: #55595f", "--faint: #c9ccd0")
    page.write_text(broken, encoding="utf-8")
    found = " ".join(violations(page))
    assert "html-has-lang" in found
    assert "color-contrast" in found
