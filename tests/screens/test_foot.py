"""The line at the foot: what stands there is what a key would do, and a click does it too."""

from __future__ import annotations

from textual.events import MouseScrollDown, MouseScrollUp

from readiness.screens.foot import Foot
from readiness.screens.help_screen import HelpScreen
from readiness.screens.job_screen import JobScreen
from readiness.screens.screen_table import JOB
from tests.screens.driving import press
from tests.screens.picture import screen_text
from tests.screens.refresh import settled
from tests.screens.small_job import app_of, asker_of
from tests.screens.sprayed_job import sprayed


def foot_line(text: str) -> str:
    """Return the last line of a screen."""
    return text.splitlines()[-1]


async def test_a_click_presses_the_key_and_the_mouse_tells_what_it_does() -> None:
    app = app_of(asker_of(), keys={"people": "z"})
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        line = foot_line(screen_text(app))
        assert line == " ←→  day h holding it e edges f2 screens f1 help q quit z people"
        foot = app.screen.query_one(Foot)
        assert foot.size.height == 1
        for word in ("z", "people"):
            await pilot.hover(Foot, offset=(line.index(word), 0))
            assert foot.tooltip == "Show what holds it up by the person who clears it."
        await pilot.hover(Foot, offset=(line.index("  day") + 1, 0))
        assert foot.tooltip is None
        before = screen_text(app)
        await pilot.click(Foot, offset=(line.index("people"), 0))
        await settled(pilot)
        by_click = screen_text(app)
        assert by_click != before
        await press(pilot, "h", "z")
        assert screen_text(app) == by_click
        await pilot.click(Foot, offset=(line.index("→"), 0))
        await settled(pilot)
        assert "Tue 12 May" in screen_text(app)
        await pilot.click(Foot, offset=(line.index("f2"), 0))
        await settled(pilot)
        assert not isinstance(app.screen, JobScreen)
        await press(pilot, "escape")
        assert app.shown.ID == JOB


async def test_the_wheel_shows_what_does_not_fit() -> None:
    app = app_of(asker_of(sprayed()))
    async with app.run_test(size=(60, 20)) as pilot:
        await press(pilot, "0")
        foot = app.screen.query_one(Foot)
        assert not foot_line(screen_text(app)).endswith("q quit")
        for _ in foot.pieces:
            foot.post_message(
                MouseScrollDown(foot, 5, 0, 0, 1, 0, shift=False, meta=False, ctrl=False)
            )
        await settled(pilot)
        line = foot_line(screen_text(app))
        assert line.endswith("q quit")
        foot.post_message(MouseScrollUp(foot, 5, 0, 0, -1, 0, shift=False, meta=False, ctrl=False))
        await settled(pilot)
        back = foot_line(screen_text(app))
        assert back != line
        assert line.removesuffix("q quit") in back
        await pilot.click(Foot, offset=(back.index("help"), 0))
        await settled(pilot)
        assert isinstance(app.screen, HelpScreen)


async def test_where_signs_are_typed_no_sign_stands_at_the_foot() -> None:
    """In the grid a q is no part of a depth, and quits nothing; out of it, it quits."""
    app = app_of(asker_of(sprayed()))
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "0", "e", "enter")
        assert foot_line(screen_text(app)) == "esc back f2 screens f1 help"
        await press(pilot, "q")
        assert app.is_running
        assert "'q' is no part of a depth" in screen_text(app)
        await press(pilot, "escape")
        assert foot_line(screen_text(app)).endswith("q quit")
        await pilot.press("q")
        assert not app.is_running
