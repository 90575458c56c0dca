"""A page as a PDF or a picture, for those who can't open or print the file of a browser.

The page itself is drawn, so whatever it says stands here too, on the paper of the site's country.

Invariant: nothing is fetched while it is drawn, and the same page gives the same bytes.
"""

from __future__ import annotations

import re
from typing import IO, TYPE_CHECKING

from readiness.pages.paper_html import MARK_OF_OURS
from readiness.pages.templates import template_text

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PIL.Image import Image

PAPERS = ("A4", "letter")
ON_LETTER = frozenset({"US", "CA"})
"""Countries whose offices print on letter paper.

Source: from memory; ISO 216 paper is used elsewhere.
"""

MARK_OF_PRINT = f"% {MARK_OF_OURS}\n"
"""Ends every PDF, behind what readers read; a picture holds it among its remarks."""

DOTS_PER_POINT = 2
"""A picture has 144 dots on an inch."""

_PICTURE = re.compile(r'(<svg class="edge"[^>]*>)')
_PRINTED_RULE = re.compile(r"@page \{ ")


class NotDrawnError(Exception):
    """The page can't be drawn here; says what is missing, and what to do."""

    def __init__(self, what: str, hint: str) -> None:
        """Keep what is missing apart from what to do."""
        self.what = what
        self.hint = hint
        super().__init__(what)


def paper_for(country: str) -> str:
    """Return the paper of a country."""
    return "letter" if country in ON_LETTER else "A4"


def page_pdf(page: str, paper: str) -> bytes:
    """Return a page as a PDF.

    Args:
        page: The page as HTML.
        paper: `A4` or `letter`.

    Raises:
        NotDrawnError: What draws it is not installed.
    """
    try:
        from weasyprint import HTML
    except ImportError:
        hint = "pip install '.[pdf]', or write .html and print it from a browser"
        raise NotDrawnError("drawing it needs a library that is not installed", hint) from None
    except OSError:
        hint = "install Pango as its pages say, or write .html and print it from a browser"
        raise NotDrawnError("drawing it needs Pango, which this system lacks", hint) from None
    drawn = HTML(string=_for_paper(page, paper), url_fetcher=_Refuser()).write_pdf()
    return bytes(drawn) + MARK_OF_PRINT.encode()


def write_png(pdf: bytes, file: IO[bytes]) -> None:
    """Write the sheets of a PDF as one picture, one below the other.

    Raises:
        NotDrawnError: What draws it is not installed.
    """
    try:
        from PIL.PngImagePlugin import PngInfo
        from pypdfium2 import PdfDocument
    except ImportError:
        hint = "pip install '.[png]', or write .html or .pdf"
        raise NotDrawnError("a picture needs a library that is not installed", hint) from None
    document = PdfDocument(pdf)
    sheets = [sheet.render(scale=DOTS_PER_POINT).to_pil().convert("L") for sheet in document]
    remarks = PngInfo()
    remarks.add_text("Comment", MARK_OF_OURS)
    _stacked(sheets).save(file, "PNG", pnginfo=remarks, optimize=True)


def _stacked(sheets: Sequence[Image]) -> Image:
    from PIL import Image

    width, height = max(sheet.width for sheet in sheets), sum(sheet.height for sheet in sheets)
    whole = Image.new("L", (width, height), 255)
    top = 0
    for sheet in sheets:
        whole.paste(sheet, (0, top))
        top += sheet.height
    return whole


def _for_paper(page: str, paper: str) -> str:
    """Return a page with the size of its paper, and with rules inside each picture.

    The library does not look from a picture to the rules of its page.
    """
    sized = _PRINTED_RULE.sub(f"@page {{ size: {paper}; ", page)
    rules = "".join(
        line.replace("svg.edge ", "")
        for line in template_text("paper.css").splitlines()
        if line.startswith("svg.edge ") and not line.startswith("svg.edge {")
    )
    return _PICTURE.sub(lambda found: f"{found[1]}<style>{rules}</style>", sized)


class _Refuser:
    """Refuses whatever a page could want from elsewhere; it wants nothing."""

    _fail_on_errors = False
    """Asked for by the library: draw the page without what was refused."""

    def __call__(self, url: str, *_: object, **__: object) -> dict[str, object]:
        raise ValueError(url)
