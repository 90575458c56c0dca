"""Makes the pictures of pages that the documentation shows: `python -m tests.pages.refresh`.

Needs Chromium. Look at what has changed before it is committed.
Invariant: a picture shows a page of a sample as a sheet of paper has it.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from tests.conftest import ROOT
from tests.pages.browser import CHROMIUM, shot
from tests.pages.papers import ROLES, page_of, page_on_a_phone, page_with_form

PICTURES = ROOT / "docs" / "pictures"
SAMPLE = ROOT / "sample_jobs" / "two-storey-house" / "job.toml"
SHOWN = (*ROLES, "electrician")
WIDTH, HEIGHT = 760, 1075
PHONE = 500
NARROW, LONG = 390, 1960


def main() -> None:
    """Write one picture for each role."""
    if not CHROMIUM:
        sys.exit("no Chromium on this machine: the pictures stay as they are")
    job = SAMPLE.read_text(encoding="utf-8")
    with tempfile.TemporaryDirectory() as folder:
        for role in SHOWN:
            name = f"page-{role.replace(' ', '-')}"
            page = Path(folder, f"{name}.html")
            page.write_text(page_of(job, role), encoding="utf-8")
            shot(page, PICTURES / f"{name}.png", WIDTH, HEIGHT)
        phone = Path(folder, "page-phone.html")
        phone.write_text(page_on_a_phone(job, "electrician"), encoding="utf-8")
        shot(phone, PICTURES / "page-phone.png", NARROW, LONG)
        form = Path(folder, "page-form.html")
        form.write_text(form_alone(job), encoding="utf-8")
        shot(form, PICTURES / "page-form.png", PHONE, HEIGHT)


def form_alone(job: str) -> str:
    """Return the crew lead's page with nothing but its form, as a phone scrolled down shows it."""
    page = page_with_form(job, "crew lead")
    before, _, after = page.partition("<main>")
    return before + "<main>" + after[after.index('<section class="form">') :]


if __name__ == "__main__":
    main()
