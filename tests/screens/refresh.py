"""Writes anew what the tests of the screens compare with: goldens, pictures, pages of reference.

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
from readiness.screens.screen_table import SCREENS, row_of
from tests.conftest import ROOT
from tests.screens.picture import picture, screen_text
from tests.screens.small_job import TEXT, app_of, asker_of, near

if TYPE_CHECKING:
    from pathlib import Path

    from textual.pilot import Pilot

    from readiness.screens.app import JobApp

GOLDEN = ROOT / "tests" / "screens" / "golden"
PICTURES = ROOT / "docs" / "pictures"
KEYS_PAGE = ROOT / "docs" / "reference" / "keys.md"
SCREENS_PAGE = ROOT / "docs" / "reference" / "screens.md"
SIZES = ((80, 24), (120, 40))


@dataclass(frozen=True)
class Shot:
    """One screen at one size."""

    file: Path
    size: tuple[int, int]
    keys: tuple[str, ...] = ()
    theme: str = "night"
    sample: str = ""
    text: str = TEXT
    """Of the job, where no sample is shown."""


def screen_shots(
    id_: str, sample: str, keys: tuple[str, ...] = (), *, drawn: tuple[str, ...] | None = None
) -> tuple[Shot, ...]:
    """Return the shots of one screen: in two sizes as text, and as pictures of a sample.

    The job of the texts is the small one two days before its trip.

    Args:
        id_: Of the screen.
        sample: Whose pictures stand in the documentation.
        keys: Pressed once the screen is open.
        drawn: Pressed for the pictures, where that is something else.
    """
    key = row_of(id_).key
    texts = (
        Shot(GOLDEN / f"{id_}-{w}x{h}.txt", (w, h), (key, *keys), text=near()) for w, h in SIZES
    )
    pictures = (
        Shot(
            picture_file(id_, (w, h)),
            (w, h),
            (key, *(keys if drawn is None else drawn)),
            theme,
            sample,
        )
        for (w, h), theme in zip(SIZES, ("night", "daylight"), strict=True)
    )
    return (*texts, *pictures)


def typed(text: str) -> tuple[str, ...]:
    """Return the keys that type a text."""
    named = {" ": "space", "-": "minus", ".": "full_stop", ":": "colon", "%": "percent_sign"}
    return tuple(named.get(sign, sign) for sign in text)


def picture_file(id_: str, size: tuple[int, int]) -> Path:
    """Return where the picture of a screen stands."""
    return PICTURES / f"screen-{id_}-{size[0]}x{size[1]}.svg"


SHOTS = (
    *screen_shots("job", "two-storey-house"),
    *screen_shots("calls", "two-storey-house", ("down", "y"), drawn=("down", "down", "y")),
    *screen_shots("note", "two-storey-house", typed("done wi k"), drawn=typed("done rough-el ba")),
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
    return app_of(asker_of(shot.text), theme=shot.theme)


async def taken(shot: Shot) -> str:
    """Return what a shot shows, as its file holds it."""
    app = app_for(shot)
    async with app.run_test(size=shot.size) as pilot:
        await pilot.pause()
        for key in shot.keys:
            await pilot.press(key)
            await settled(pilot)
        await settled(pilot)
        return picture(app) if shot.file.suffix == ".svg" else screen_text(app)


async def settled(pilot: Pilot[None]) -> None:
    """Wait until nothing is worked on any more; what was overtaken ends as cancelled."""
    await pilot.pause()
    while any(not worker.is_finished for worker in pilot.app.workers):
        await pilot.pause(0.01)
    await pilot.pause()


def screens_page() -> str:
    """Return the page of the documentation that shows every screen."""
    lines = [
        "# The screens",
        "",
        "<!-- made by: python -m tests.screens.refresh -->",
        "",
        "`readiness open JOB` has one screen for each question.",
        "A digit opens it, F2 lists them all, and Esc goes back to the first.",
        "The head is the same on all of them: the verdict, the job, the moment of what is known,",
        "and the day and the gate that are asked about.",
        "The keys stand on [a page of their own](keys.md).",
    ]
    for row in SCREENS:
        lines += ["", f"## {row.key}: {row.name}", "", row.question, "", row.kind.HELP]
        lines += [
            f"\n![The screen {row.name} at {w} by {h}](../pictures/screen-{row.id}-{w}x{h}.svg)"
            for w, h in SIZES
        ]
    return "\n".join(lines) + "\n"


def main() -> None:
    """Write every file and name the ones that changed."""
    texts = {shot.file: asyncio.run(taken(shot)) for shot in SHOTS}
    texts |= {KEYS_PAGE: keys_page(), SCREENS_PAGE: screens_page()}
    for file, text in texts.items():
        if not file.exists() or file.read_text(encoding="utf-8") != text:
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_text(text, encoding="utf-8")
            sys.stdout.write(f"{file.relative_to(ROOT)}\n")


if __name__ == "__main__":
    main()
