"""The pages of one small job, byte by byte; the style sheet that all share is kept out of each.

After a wanted change look at the difference, then write them anew with
`python -m tests.golden.test_pages`.
"""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

import pytest

from tests.golden.small_job import SMALL_JOB
from tests.pages.papers import ROLES, page_of

FOLDER = Path(__file__).parent / "alder_street_pages"
KEPT = (*ROLES, "electrician")


STYLE = files("readiness.pages") / "templates" / "paper.css"


def kept_of(role: str) -> str:
    """Return a page with the name of its style sheet in the place of the sheet."""
    sheet = STYLE.read_text(encoding="utf-8").rstrip()
    before, found, after = page_of(SMALL_JOB, role).partition(sheet)
    assert found
    return f"{before}{STYLE.name}{after}"


def file_of(role: str) -> Path:
    return FOLDER / f"{role.replace(' ', '-')}.html"


def test_every_page_is_kept() -> None:
    assert sorted(path.name for path in FOLDER.iterdir()) == sorted(
        file_of(role).name for role in KEPT
    )


@pytest.mark.parametrize("role", KEPT)
def test_a_page_is_as_kept(role: str) -> None:
    assert kept_of(role) == file_of(role).read_text(encoding="utf-8")


if __name__ == "__main__":
    FOLDER.mkdir(exist_ok=True)
    for each in KEPT:
        file_of(each).write_text(kept_of(each), encoding="utf-8")
