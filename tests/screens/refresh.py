"""Writes anew what the tests of the screen compare with: goldens, pictures, the page of keys.

Look at what has changed before it is committed.
Invariant: the tests and this make everything by the same functions.
"""

from __future__ import annotations

import asyncio
import sys
from dataclasses import dataclass
from typing import TYPE_CHECKING

from readiness.desk.desk import open_desk
from readiness.screens.actions import keys_page
from readiness.screens.asker import Asker
from tests.conftest import ROOT
from tests.screens.picture import picture, screen_text
from tests.screens.small_job import app_of, asker_of

if TYPE_CHECKING:
    from pathlib import Path

    from readiness.screens.app import JobApp

GOLDEN = ROOT / "tests" / "screens" / "golden"
PICTURES = ROOT / "docs" / "pictures"
KEYS_PAGE = ROOT / "docs" / "reference" / "keys.md"


@dataclass(frozen=True)
class Shot:
    """One screen at one size."""

    file: Path
    size: tuple[int, int]
    keys: tuple[str, ...] = ()
    theme: str = "night"
    sample: str = ""


SHOTS = (
    Shot(GOLDEN / "first-80x24.txt", (80, 24)),
    Shot(GOLDEN / "first-120x40.txt", (120, 40)),
    Shot(GOLDEN / "edges-80x24.txt", (80, 24), ("e",)),
    Shot(GOLDEN / "people-80x24.txt", (80, 24), ("p",)),
    Shot(PICTURES / "open-80x24.svg", (80, 24), (), "night", "two-storey-house"),
    Shot(PICTURES / "open-120x40.svg", (120, 40), (), "daylight", "row-house-renovation"),
)


def app_for(shot: Shot) -> JobApp:
    """Return the app of a shot."""
    if shot.sample:
        return app_of(Asker(open_desk(ROOT / "sample_jobs" / shot.sample)), theme=shot.theme)
    return app_of(asker_of(), theme=shot.theme)


async def taken(shot: Shot) -> str:
    """Return what a shot shows, as its file holds it."""
    app = app_for(shot)
    async with app.run_test(size=shot.size) as pilot:
        await pilot.pause()
        for key in shot.keys:
            await pilot.press(key)
        await app.workers.wait_for_complete()
        await pilot.pause()
        return picture(app) if shot.file.suffix == ".svg" else screen_text(app)


def main() -> None:
    """Write every file and name the ones that changed."""
    texts = {shot.file: asyncio.run(taken(shot)) for shot in SHOTS} | {KEYS_PAGE: keys_page()}
    for file, text in texts.items():
        if not file.exists() or file.read_text(encoding="utf-8") != text:
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_text(text, encoding="utf-8")
            sys.stdout.write(f"{file.relative_to(ROOT)}\n")


if __name__ == "__main__":
    main()
