"""Writes anew what the tests of the screens compare with: goldens, pictures, pages of reference.

Look at what has changed before it is committed.
Invariant: the tests and this make everything by the same functions.
"""

from __future__ import annotations

import asyncio
import sys
import unicodedata
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

from textual.events import Key

from readiness.desk.desk import open_desk
from readiness.screens.actions import keys_page
from readiness.screens.asker import Asker
from readiness.screens.screen_table import SCREENS, row_of
from tests.conftest import ROOT
from tests.screens.picture import picture, screen_text
from tests.screens.small_job import TEXT, Said, app_of, asker_after, asker_of, near
from tests.screens.sprayed_job import sprayed, sprayed_sample

if TYPE_CHECKING:
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
    notes: tuple[Said, ...] = ()
    """Written into its diary first, each after the one before."""
    typed: str = ""
    """Typed at once, after the keys."""


def screen_shots(
    id_: str,
    sample: str,
    keys: tuple[str, ...] = (),
    *,
    drawn: tuple[str, ...] | None = None,
    notes: tuple[Said, ...] = (),
) -> tuple[Shot, ...]:
    """Return the shots of one screen: in two sizes as text, and as pictures of a sample.

    The job of the texts is the small one two days before its trip.

    Args:
        id_: Of the screen.
        sample: Whose pictures stand in the documentation.
        keys: Pressed once the screen is open.
        drawn: Pressed for the pictures, where that is something else.
        notes: Written into the diary of the small job first; it is then drawn for the pictures too.
    """
    key = row_of(id_).key
    pressed = (key, *(keys if drawn is None else drawn))
    texts = tuple(
        Shot(GOLDEN / f"{id_}-{w}x{h}.txt", (w, h), (key, *keys), text=near(), notes=notes)
        for w, h in SIZES
    )
    pictures = tuple(
        Shot(picture_file(id_, size), size, pressed, theme, sample, near(), notes)
        for size, theme in zip(SIZES, ("night", "daylight"), strict=True)
    )
    return (*texts, *pictures)


def typed(text: str) -> tuple[str, ...]:
    """Return the keys that type a text."""
    named = {" ": "space", "-": "minus", ".": "full_stop", ":": "colon", "%": "percent_sign"}
    return tuple(named.get(sign, sign) for sign in text)


def picture_file(id_: str, size: tuple[int, int]) -> Path:
    """Return where the picture of a screen stands."""
    return PICTURES / f"screen-{id_}-{size[0]}x{size[1]}.svg"


DIARY = (
    ("Orr, electrician", 'done wiring kitchen --seen "thu 7 may 15:20"'),
    ("Ida Brand, contractor", 'reading moisture 21 % bath --seen "fri 8 may 07:10"'),
    ("Ida Brand, contractor", "reading moisture 17 % bath --replaces last"),
    ("Vail, plumber", 'promised drains "mon 11 may 06:30"'),
    ("Ida Brand, contractor", 'remark "key is at number 7" --private'),
)
"""What two trades and the contractor wrote, a mistake of hers among it."""


def board_shots(name: str, keys: tuple[str, ...], typed: str = "") -> tuple[Shot, ...]:
    """Return the shots of the board gate, on jobs that are sprayed."""
    texts = (
        Shot(GOLDEN / f"{name}-{w}x{h}.txt", (w, h), keys, text=sprayed(), typed=typed)
        for w, h in SIZES
    )
    pictures = (
        Shot(picture_file(name, (w, h)), (w, h), keys, theme, text=sprayed_sample(), typed=typed)
        for (w, h), theme in zip(SIZES, ("night", "daylight"), strict=True)
    )
    return (*texts, *pictures)


READINGS = (
    "3.1 3.0 3.2 2.9e 3.3 3.1 2.8 3.0e 3.2 3.1 34 3.0 2.9"
    " 3.1e 3.2 2.4 3.0 3.3 3.1e 3.0 3.2 2.9 3.1 3.0e 2"
)
"""Around three inches: one without its point, one at a spot to be filled, the last half typed."""

SHOTS = (
    *screen_shots("job", "two-storey-house"),
    *screen_shots("calls", "two-storey-house", ("down", "y"), drawn=("down", "down", "y")),
    *screen_shots("note", "two-storey-house", typed("done wi k"), drawn=typed("done rough-el ba")),
    *screen_shots("diary", "", ("down", "down", "down", "c"), notes=DIARY),
    *screen_shots("when", "garden-room-addition"),
    *screen_shots("hours", "two-storey-house"),
    *screen_shots("ways", "two-storey-house"),
    *screen_shots("chance", "garden-room-addition", drawn=("right",)),
    *screen_shots("where", "two-storey-house", ("right",), drawn=("right", "right")),
    *board_shots("board", ("0",)),
    *board_shots("grid", ("0", "e", "enter"), READINGS),
    Shot(GOLDEN / "first-80x24.txt", (80, 24)),
    Shot(GOLDEN / "first-120x40.txt", (120, 40)),
    Shot(GOLDEN / "edges-80x24.txt", (80, 24), ("e",)),
    Shot(GOLDEN / "people-80x24.txt", (80, 24), ("p",)),
    Shot(GOLDEN / "hours-forecast-80x24.txt", (80, 24), ("6", "right"), sample="two-storey-house"),
    Shot(PICTURES / "open-80x24.svg", (80, 24), (), "night", "two-storey-house"),
    Shot(PICTURES / "open-120x40.svg", (120, 40), (), "daylight", "row-house-renovation"),
)


def asker_for(shot: Shot, folder: Path) -> Asker:
    """Return the job of a shot; one with a diary is written into a folder."""
    if shot.sample:
        return Asker(open_desk(ROOT / "sample_jobs" / shot.sample))
    return asker_after(folder, shot.text, shot.notes) if shot.notes else asker_of(shot.text)


async def taken(shot: Shot) -> str:
    """Return what a shot shows, as its file holds it."""
    with TemporaryDirectory() as folder:
        return await _taken(shot, app_of(asker_for(shot, Path(folder)), theme=shot.theme))


async def _taken(shot: Shot, app: JobApp) -> str:
    async with app.run_test(size=shot.size) as pilot:
        await pilot.pause()
        for key in shot.keys:
            await pilot.press(key)
            await settled(pilot)
        await type_at_once(pilot, shot.typed)
        return picture(app) if shot.file.suffix == ".svg" else screen_text(app)


async def type_at_once(pilot: Pilot[None], text: str) -> None:
    """Type a text faster than the screen can follow, as a terminal hands it on."""
    for sign in text:
        name = sign if sign.isalnum() else NAMES.get(sign) or unicodedata.name(sign).lower()
        pilot.app.post_message(Key(name.replace(" ", "_"), sign))
    await settled(pilot)


NAMES = {"\r": "enter"}
"""Of keys whose sign has no name."""


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
