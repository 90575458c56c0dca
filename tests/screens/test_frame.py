"""What every screen has: the way there and back, the shared day, work that can be stopped."""

from __future__ import annotations

from datetime import date
from threading import Event
from typing import TYPE_CHECKING

import pytest
from textual.widgets import Input

from readiness.facts.vocabulary import Gate
from readiness.screens.calls_screen import CallsScreen
from readiness.screens.entries_pane import EntriesPane
from readiness.screens.help_screen import HelpScreen
from readiness.screens.job_screen import JobScreen
from readiness.screens.screen_table import JOB, SCREENS
from readiness.screens.screens_list import ScreensList
from tests.screens.driving import each_screen, opened, press
from tests.screens.picture import screen_text
from tests.screens.refresh import settled
from tests.screens.small_job import app_of, asker_in, asker_of, near
from tests.screens.test_job_screen import rewrite

if TYPE_CHECKING:
    from pathlib import Path

    from readiness.screens.asker import Asked
    from readiness.screens.question_screen import Progress
    from readiness.telling.case import Case

OTHERS = [row for row in SCREENS if row.id != JOB]


async def test_a_digit_opens_a_screen_and_escape_goes_back() -> None:
    app = app_of(asker_of(near()))
    async with app.run_test() as pilot:
        for row in OTHERS:
            await press(pilot, row.key)
            assert row.id == app.shown.ID
            assert screen_text(app).splitlines()[0].startswith(">.< crossed: "), row.id
            await press(pilot, "escape")
            if row.id == app.shown.ID:
                await press(pilot, "escape")
            assert app.shown.ID == JOB, row.id


async def test_the_list_of_screens_opens_one_by_key_and_by_mouse() -> None:
    app = app_of(asker_of(near()))
    async with app.run_test() as pilot:
        await press(pilot, "f2")
        assert isinstance(app.screen, ScreensList)
        shown = screen_text(app)
        assert all(row.question in shown for row in SCREENS)
        await press(pilot, "2")
        assert app.shown.ID == "calls"
        await press(pilot, "f2", "escape")
        assert app.screen_stack[-1] is app.shown
        await press(pilot, "f2")
        await pilot.click("#screens-list", offset=(5, 0))
        await settled(pilot)
        assert app.shown.ID == JOB


async def test_all_screens_show_the_same_day_and_gate() -> None:
    app = app_of(asker_of(near()))
    async with app.run_test() as pilot:
        await press(pilot, "right", "2")
        assert "Tue 12 May" in screen_text(app).splitlines()[2]
        await press(pilot, "right", "g")
        assert "Wed 13 May" in screen_text(app).splitlines()[2]
        await press(pilot, "1")
        assert isinstance(app.screen, JobScreen)
        assert app.screen.answered.answer.instants.on.date() == date(2026, 5, 13)
        assert app.session.asked.gate is Gate.PROMISE
        assert "Wed 13 May" in screen_text(app)


@pytest.mark.parametrize("size", [(80, 24), (200, 60)])
async def test_help_tells_what_the_screen_is_for(size: tuple[int, int]) -> None:
    app = app_of(asker_of(near()))
    async with app.run_test(size=size) as pilot:
        async for row in each_screen(pilot, app):
            await press(pilot, "f1")
            assert isinstance(app.screen, HelpScreen), row.id
            told = getattr(app.shown.focused, "HELP", None) or row.kind.HELP
            assert " ".join(told.split()[:3]) in screen_text(app), row.id
            assert max(map(len, screen_text(app).splitlines())) <= size[0], row.id
            await press(pilot, "escape")
            assert app.screen_stack[-1] is app.shown, row.id


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (200, 60), (60, 20)])
async def test_no_screen_is_wider_than_the_terminal(size: tuple[int, int]) -> None:
    app = app_of(asker_of(near()))
    async with app.run_test(size=size) as pilot:
        async for row in each_screen(pilot, app):
            lines = screen_text(app).splitlines()
            assert max(map(len, lines)) <= size[0], row.id
            assert len(lines) <= size[1], row.id


async def test_resizing_there_and_back_changes_nothing() -> None:
    app = app_of(asker_of(near()))
    async with app.run_test(size=(100, 30)) as pilot:
        async for row in each_screen(pilot, app):
            before = screen_text(app)
            for size in ((80, 24), (200, 60), (100, 30)):
                await pilot.resize_terminal(*size)
                await settled(pilot)
            assert screen_text(app) == before, row.id


async def test_without_colors_every_screen_says_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    shown: list[dict[str, str]] = []
    for without in (False, True):
        if without:
            monkeypatch.setenv("NO_COLOR", "1")
        app = app_of(asker_of(near()))
        assert app.no_color is without
        async with app.run_test() as pilot:
            shown.append({row.id: screen_text(app) async for row in each_screen(pilot, app)})
    assert len(shown[0]) == len(SCREENS)
    assert shown[0] == shown[1]


async def test_arrows_belong_to_whoever_is_typing() -> None:
    app = app_of(asker_of(near()))
    async with app.run_test() as pilot:
        await opened(pilot, app, CallsScreen)
        await press(pilot, "down", "p", "1", "2", "left", "left", "9", "q")
        field = app.screen.query_one("#lacks", Input)
        assert field.value == "9q12"
        assert app.session.answered.answer.instants.on.date() == date(2026, 5, 11)
        await press(pilot, "f2", "1", "2")
        assert app.shown.ID == "calls"
        assert field.value == "9q12", "what was typed is still there"


async def test_a_file_changed_outside_reaches_every_screen_and_leaves_what_is_typed(
    tmp_path: Path,
) -> None:
    app = app_of(asker_in(tmp_path, near()))
    async with app.run_test() as pilot:
        screen = await opened(pilot, app, CallsScreen)
        await press(pilot, "down", "p", "f", "r", "i")
        changed = near().replace("Orr Electric", "Ash Electric").replace("Lane 3", "Lane 4")
        rewrite(tmp_path, changed)
        app.look_at_file()
        await settled(pilot)
        await settled(pilot)
        told = [text for entry in screen.query_one(EntriesPane).entries for text in entry.texts()]
        assert any("Ash Electric" in text for text in told)
        assert "Lane 4" in screen_text(app)
        assert screen.query_one("#lacks", Input).value == "fri"
        await press(pilot, "escape", "1")
        assert "Lane 4" in screen_text(app)


async def test_what_takes_long_says_how_far_it_is_and_can_be_stopped() -> None:
    app = app_of(asker_of(near()))
    go_on, was_stopped = Event(), Event()

    def work_out(case: Case, asked: Asked, progress: Progress) -> object:
        del case, asked
        progress.tell("half of it is done")
        go_on.wait(20)
        if progress.is_cancelled:
            was_stopped.set()
        return None

    async with app.run_test() as pilot:
        screen = app.opened("calls")
        screen.work_out = work_out  # type: ignore[method-assign]
        screen.show_found = lambda found: pytest.fail(f"shown: {found}")  # type: ignore[method-assign]
        await pilot.press("2")
        await pilot.pause(0.2)
        assert "half of it is done" in screen_text(app)
        await pilot.press("right")
        await pilot.pause(0.2)
        assert "Tue 12 May" in screen_text(app), "the day moves while it works"
        await pilot.press("escape")
        await pilot.pause()
        assert "stopped" in screen_text(app)
        assert app.shown.ID == "calls"
        go_on.set()
        await settled(pilot)
        await pilot.press("escape")
        await pilot.pause()
        assert app.shown.ID == JOB
    assert was_stopped.wait(20)


async def test_a_long_day_leaves_the_gate_its_name() -> None:
    """With years beside the day the question of the gate does not fit in 80 columns."""
    far = near().replace("as_of = 2026-05-09T06:30:00", "as_of = 2025-02-19T16:20:00")
    app = app_of(asker_of(far))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        line = screen_text(app).splitlines()[6]
        assert line.startswith("day before  Mon 11 May 2026 07:00, booked  day after ")
        assert line.endswith(" promise")
