"""Names that people or pranks may bring: shown as they are, or refused, and never obeyed."""

from __future__ import annotations

import json

import pytest

from readiness.job.problems import JobFileError
from readiness.screens.holding_pane import HoldingPane
from tests.screens.driving import each_screen, press
from tests.screens.picture import picture, screen_text
from tests.screens.small_job import TEXT, app_of, asker_of, near

SHOWN = (
    "[/b]",
    "[B] unit",
    "[A-12] unit",
    "cost [$5]",
    "[@click=app.quit]x[/]",
    "<script>alert(1)</script>",
    "חדר אמבטיה",
    "🛁 bath 🚿",
    "浴室",
    "e\u0301te\u0301",
    "x" * 300,
    "\\[b] %s {0} $HOME",
)
REFUSED = ("a\x1b[31mb", "a\tb", "a\u202eb", "a\x07b", "a\u200db")


def job_named(name: str) -> str:
    """Return the job with one name wherever a name can be."""
    written = json.dumps(name, ensure_ascii=False)
    return (
        TEXT.replace('"Pear Tree Lane 3"', written)
        .replace('"Loft deck"', written)
        .replace('"Pull cable"', written)
        .replace('"Orr Electric"', written)
        .replace('kitchen = { is = "kitchen"', f'kitchen = {{ name = {written}, is = "kitchen"')
        .replace('title = "Hang the hood"', f"title = {written}")
    )


@pytest.mark.parametrize("name", SHOWN)
async def test_a_hostile_name_is_only_shown(name: str) -> None:
    app = app_of(asker_of(job_named(name)))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("down", "enter", "w", "h", "enter")
        await pilot.pause()
        assert f"last to clear first: {name[:8]}" in screen_text(app), (
            "in the title of the pane too"
        )
        await pilot.resize_terminal(120, 40)
        await pilot.pause()
        assert f"last to clear first: {name[:8]}" in screen_text(app), "and on a wider screen"
        for width, height in ((120, 40), (80, 24)):
            await pilot.resize_terminal(width, height)
            await pilot.press("p", "e")
            await pilot.pause()
            assert app.is_running
            text = screen_text(app)
            holding = app.screen.query_one(HoldingPane)
            told = [line for entry in holding.entries for line in entry.texts()]
            assert any(name in line for line in told)
            assert name[:8] in text


@pytest.mark.parametrize("name", SHOWN)
async def test_a_hostile_name_is_only_shown_on_every_screen(name: str) -> None:
    app = app_of(asker_of(near(job_named(name))))
    async with app.run_test(size=(80, 24)) as pilot:
        async for row in each_screen(pilot, app):
            await press(pilot, *PRESSED.get(row.id, ()))
            assert app.is_running
            assert row.id == app.shown.ID
            assert name[:8] in screen_text(app), row.id


PRESSED = {
    "board": ("e", "down", "down", "enter"),
    "calls": ("down", "y"),
    "note": (*"set", "space", "x", "enter"),
}
"""Keys that bring more of a screen's names out."""


@pytest.mark.parametrize("name", REFUSED)
def test_a_name_that_would_steer_the_terminal_is_refused_by_the_file(name: str) -> None:
    with pytest.raises(JobFileError) as refused:
        asker_of(job_named(name))
    assert not any(sign in str(refused.value) for sign in "\x1b\t\x07\u202e\u200d")


async def test_the_picture_escapes_what_it_shows() -> None:
    app = app_of(asker_of(job_named("<script>alert(1)</script>")))
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.pause()
        drawn = picture(app)
    assert "<script" not in drawn
    assert "&lt;script" in drawn
