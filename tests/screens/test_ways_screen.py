"""The screen of ways: what the command finds, taken by a key, stopped when nobody waits."""

from __future__ import annotations

import subprocess
import sys
from typing import TYPE_CHECKING

from readiness.questions.ways import ways
from readiness.screens.entries_pane import EntriesPane
from readiness.screens.proposal_pane import ProposalPane
from readiness.screens.ways_screen import WaysScreen
from tests.conftest import ROOT
from tests.screens.driving import opened, press
from tests.screens.picture import screen_text
from tests.screens.refresh import settled
from tests.screens.small_job import app_of, asker_in, asker_of

if TYPE_CHECKING:
    from pathlib import Path

    from readiness.screens.app import JobApp


def told(app: JobApp) -> list[str]:
    entries = app.screen.query_one(EntriesPane).entries
    return [text for entry in entries for text in entry.texts()]


def is_proposing(app: JobApp) -> bool:
    return app.screen.query_one(ProposalPane).display


async def test_it_answers_what_the_command_answers() -> None:
    asker = asker_of()
    app = app_of(asker)
    async with app.run_test(size=(120, 40)) as pilot:
        screen = await opened(pilot, app, WaysScreen)
        answer = ways(asker.case())
        assert screen.found is not None
        assert answer.ways
        assert [way.does for way in screen.found.ways] == [way.does for way in answer.ways]
        for way in answer.ways:
            assert f"{way.number}. {way.does}" in told(app)
            assert way.costs in told(app)
            assert all(any(who.name in text for text in told(app)) for who in way.people)


async def test_a_way_is_shown_then_written_and_then_the_day_works(tmp_path: Path) -> None:
    asker = asker_in(tmp_path)
    app = app_of(asker)
    async with app.run_test(size=(120, 40)) as pilot:
        await opened(pilot, app, WaysScreen)
        assert not app.session.answered.answer.is_yes
        await press(pilot, "a")
        assert is_proposing(app)
        assert not (tmp_path / "diary").exists()
        await press(pilot, "enter")
        assert not is_proposing(app)
        assert list((tmp_path / "diary").glob("*.jsonl"))
        assert app.session.answered.answer.is_yes


async def test_leaving_writes_nothing(tmp_path: Path) -> None:
    app = app_of(asker_in(tmp_path))
    async with app.run_test(size=(80, 24)) as pilot:
        await opened(pilot, app, WaysScreen)
        await press(pilot, "enter")
        assert is_proposing(app)
        await press(pilot, "escape")
        assert not is_proposing(app)
        assert not (tmp_path / "diary").exists()


async def test_another_day_is_another_search_and_a_day_gone_by_says_so() -> None:
    app = app_of(asker_of())
    async with app.run_test(size=(100, 30)) as pilot:
        screen = await opened(pilot, app, WaysScreen)
        await press(pilot, *["left"] * 10)
        await settled(pilot)
        assert screen.found is not None
        assert not screen.found.ways
        assert screen.found.proof
        assert screen.found.proof[0].split(".", maxsplit=1)[0] in " ".join(told(app))


async def test_a_search_that_nobody_waits_for_ends() -> None:
    from readiness.screens.question_screen import Progress

    asker = asker_of()
    app = app_of(asker)
    screen = WaysScreen(app.session)
    seen: list[str] = []
    assert screen.work_out(asker.case(), app.session.asked, Progress(seen.append, bool)) is not None
    assert any("sets of changes forecast" in said for said in seen)
    left = Progress(seen.append, lambda: True)
    assert screen.work_out(asker.case(), app.session.asked, left) is None


async def test_it_survives_another_size() -> None:
    app = app_of(asker_of())
    async with app.run_test(size=(200, 60)) as pilot:
        screen = await opened(pilot, app, WaysScreen)
        before = told(app)
        await pilot.resize_terminal(80, 24)
        await settled(pilot)
        assert told(app) == before
        assert screen.found is not None
        assert screen.found.ways[0].does.split(" ")[0] in screen_text(app)


def test_no_solver_is_imported_before_the_screen_searches() -> None:
    code = "import sys, readiness.screens.ways_screen; sys.exit('ortools' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], cwd=ROOT, check=False).returncode == 0
