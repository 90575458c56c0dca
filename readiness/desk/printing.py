"""Pages drawn as files that no browser is needed for.

Invariant: what can't be drawn here is told with what is missing, and no file is begun.
"""

from __future__ import annotations

from io import BytesIO
from typing import TYPE_CHECKING

from readiness.desk.files import bytes_of
from readiness.job.problems import JobFileError, Problem
from readiness.pages.paper_html import is_ours
from readiness.pages.paper_print import NotDrawnError, page_pdf, paper_for, write_png

if TYPE_CHECKING:
    from pathlib import Path

PDF, PNG = ".pdf", ".png"


def is_drawn(target: Path) -> bool:
    """Say by its ending whether a page is to be drawn."""
    return target.suffix.casefold() in (PDF, PNG)


def was_drawn(target: Path) -> bool:
    """Say whether the file that is there is a page that was drawn here."""
    return is_drawn(target) and is_ours(bytes_of(target, "page"))


def drawn(page: str, target: Path, paper: str, country: str) -> bytes:
    """Return a page as the file that its ending wants.

    Args:
        page: The page as HTML.
        target: Where it goes.
        paper: `A4` or `letter`; empty for what the country prints on.
        country: Two letters.

    Raises:
        JobFileError: What draws it is not installed.
    """
    try:
        pdf = page_pdf(page, paper or paper_for(country))
        if target.suffix.casefold() == PDF:
            return pdf
        file = BytesIO()
        write_png(pdf, file)
    except NotDrawnError as error:
        raise JobFileError([Problem(str(target), None, "", error.what, hint=error.hint)]) from None
    return file.getvalue()
