"""Chances: what is shown, the error of every figure, and that nothing waits for the trials."""

from __future__ import annotations

import re
import subprocess
import sys
from datetime import date
from threading import Event
from typing import TYPE_CHECKING

import pytest

from readiness.pages.moments import told as moment_told
from readiness.questions.chance import chance
from readiness.screens import question_screen
from readiness.screens.chance_entries import tenths, with_error
from readiness.screens.chance_screen import MOST_TRIALS, TRIALS, ChanceScreen
from readiness.screens.entries_pane import EntriesPane
from readiness.screens.messages import Found, Progressed
from readiness.screens.question_screen import Progress
from tests.conftest import ROOT
from tests.screens.driving import opened, press
from tests.screens.picture import screen_text
from tests.screens.refresh import settled
from tests.screens.small_job import app_of, asker_of, near

if TYPE_CHECKING:
    from collections.abc import Callable

    from textual.message import Message
    from textual.pilot import Pilot

    from readiness.screens.app import JobApp


def told(app: JobApp, part: str = "") -> list[str]:
    """Return the texts of the list, or of the entries of one part."""
    entries = app.screen.query_one(EntriesPane).entries
    return [text for entry in entries if entry.id.startswith(part) for text in entry.texts()]


def title(app: JobApp) -> str:
    return str(app.screen.query_one(EntriesPane).border_title)


async def test_it_answers_what_the_command_answers() -> None:
    asker = asker_of(near())
    app = app_of(asker)
    async with app.run_test(size=(120, 40)) as pilot:
        screen = await opened(pilot, app, ChanceScreen)
        answer = chance(asker.case())
        assert screen.found == answer
        assert answer.days
        days = told(app, "day ")
        for line in answer.days:
            works = with_error(line.chance, line.chance_error)
            assert any(moment_told(line.arrival, 2026) in text and works in text for text in days)
        assert f"chance of the first trip: {TRIALS:,} futures drawn" in title(app)
        assert all(any(line.title in text for text in told(app, "holds")) for line in answer.holds)


async def test_every_figure_of_a_trial_stands_with_its_error() -> None:
    """What was reckoned with is written by somebody and not drawn, so it has none."""
    app = app_of(asker_of(near()))
    async with app.run_test() as pilot:
        await opened(pilot, app, ChanceScreen)
        texts = [text for part in ("day ", "holds ", "worth ") for text in told(app, part)]
        figures = [text for text in texts if re.search(r" %| points| days| USD", text)]
        assert figures
        bare = [text for text in figures if re.search(r"\d %(?! \+- \d)", text)]
        assert bare == []
        assert all("+-" in text for text in figures)


def test_ten_signs_never_say_always_or_never_of_what_is_neither() -> None:
    assert tenths(0.0) == ".........."
    assert tenths(0.001) == "=........."
    assert tenths(0.5) == "=====....."
    assert tenths(0.999) == "=========."
    assert tenths(1.0) == "=========="


async def test_another_day_is_another_question() -> None:
    app = app_of(asker_of(near()))
    async with app.run_test() as pilot:
        screen = await opened(pilot, app, ChanceScreen)
        await press(pilot, "right")
        assert screen.found is not None
        assert screen.found.asked is not None
        assert screen.found.asked.date() == date(2026, 5, 12)
        assert told(app)[0].startswith("Tue 12 May 07:00 works in ")


@pytest.mark.parametrize(
    ("keys", "says"),
    [
        (("left",), "the spray crew does not work on Sun 10 May"),
        (("shift+left",), "Mon 4 May 07:00 has passed"),
    ],
)
async def test_a_day_without_a_rig_says_why(keys: tuple[str, ...], says: str) -> None:
    app = app_of(asker_of(near()))
    async with app.run_test() as pilot:
        screen = await opened(pilot, app, ChanceScreen)
        await press(pilot, *keys)
        assert screen.found is None
        assert says in told(app)[0]
        await press(pilot, "b")
        assert screen.found is not None


@pytest.mark.parametrize("by_mouse", [False, True])
async def test_a_chosen_day_is_asked_about_on_all_screens(*, by_mouse: bool) -> None:
    app = app_of(asker_of(near()))
    async with app.run_test() as pilot:
        screen = await opened(pilot, app, ChanceScreen)
        assert screen.found is not None
        other = screen.found.days[1].arrival
        if by_mouse:
            rows = screen_text(app).splitlines()
            row = next(n for n, text in enumerate(rows) if f"  {moment_told(other, 2026)} " in text)
            await pilot.click(offset=(10, row))
            await settled(pilot)
        else:
            await press(pilot, "down", "enter")
        assert app.session.asked.on == other.date()
        assert told(app)[0].startswith(moment_told(other, 2026))
        await press(pilot, "1")
        assert f"{other:%a} {other.day} May" in screen_text(app)


async def test_letters_go_to_the_parts() -> None:
    app = app_of(asker_of(near()))
    async with app.run_test() as pilot:
        await opened(pilot, app, ChanceScreen)
        pane = app.screen.query_one(EntriesPane)
        for key, part in (("h", "holds "), ("a", "assumed "), ("d", "day ")):
            await press(pilot, key)
            assert pane.at.startswith(part)
        await press(pilot, "w")
        assert "there is nothing of it for this day" in screen_text(app)


async def test_more_futures_halve_the_errors() -> None:
    app = app_of(asker_of(near()))
    async with app.run_test() as pilot:
        screen = await opened(pilot, app, ChanceScreen)
        assert screen.found is not None
        before = {line.arrival: line for line in screen.found.days}
        await press(pilot, "m")
        assert screen.found.trials == 4 * TRIALS
        compared = [
            (line.too_early_error, before[line.arrival].too_early_error)
            for line in screen.found.days
            if line.arrival in before and before[line.arrival].too_early_error
        ]
        assert compared
        assert all(now == pytest.approx(then / 2, rel=0.1) for now, then in compared)
        screen.trials = MOST_TRIALS
        assert screen.check_action("more", ()) is None, "no more than the command draws"


@pytest.fixture
def go_on(monkeypatch: pytest.MonkeyPatch) -> Event:
    """Hold the trials after their first block until this is set."""
    event = Event()

    def held(tell: Callable[[str], object], is_over: Callable[[], bool]) -> Progress:
        def tell_and_wait(says: str) -> None:
            tell(says)
            if says.startswith("drawing") and ": 0 %" not in says:
                event.wait(20)

        return Progress(tell_and_wait, is_over)

    monkeypatch.setattr(question_screen, "Progress", held)
    event.set()
    return event


async def until_it_draws(pilot: Pilot[None], app: JobApp) -> None:
    """Wait until the title says that a part of the futures is drawn."""
    for _ in range(1000):
        if "drawing futures: 6 % of 40,000" in title(app):
            return
        await pilot.pause(0.01)
    raise AssertionError(title(app))


async def test_it_says_how_far_it_is_and_the_list_can_be_read_meanwhile(go_on: Event) -> None:
    said: list[str] = []

    def hear(message: Message) -> None:
        if isinstance(message, Progressed):
            said.append(message.says)
        elif isinstance(message, Found):
            said.append("found")

    app = app_of(asker_of(near()))
    async with app.run_test(message_hook=hear) as pilot:
        screen = await opened(pilot, app, ChanceScreen)
        shown = told(app)
        said.clear()
        go_on.clear()
        await pilot.press("m")
        await until_it_draws(pilot, app)
        await pilot.press("h")
        assert screen.query_one(EntriesPane).at.startswith("holds "), "keys are heard meanwhile"
        assert "found" not in said, "and the trials still run"
        assert told(app) == shown
        go_on.set()
        await settled(pilot)
        assert screen.found is not None
        assert screen.found.trials == 4 * TRIALS
    own = list(dict.fromkeys(said))
    assert own[-1] == "found"
    shares = [int(text.split(": ")[1].split(" %")[0]) for text in own if "drawing" in text]
    assert shares == sorted(shares)
    assert shares[0] == 0
    assert shares[-1] == 100
    assert any(text.startswith("weighing what a call is worth: ") for text in own)


async def test_escape_ends_the_trials_and_leaves_what_was_there(go_on: Event) -> None:
    app = app_of(asker_of(near()))
    async with app.run_test() as pilot:
        screen = await opened(pilot, app, ChanceScreen)
        before = screen.found
        go_on.clear()
        await pilot.press("m")
        await until_it_draws(pilot, app)
        await pilot.press("escape")
        go_on.set()
        await settled(pilot)
        assert app.shown is screen, "the first Esc stops, the second leaves"
        assert screen.found is before
        assert title(app) == f"stopped: {TRIALS:,} futures, as before"
        await press(pilot, "escape")
        assert app.shown is not screen


LOOK = """
import asyncio, sys
from tests.screens.driving import press
from tests.screens.small_job import app_of, asker_of, near
from readiness.screens.screens_list import ScreensList

async def run():
    app = app_of(asker_of(near()))
    async with app.run_test() as pilot:
        await press(pilot, "right", "f2", "escape", "f1", "escape", "2", "1")
        assert "numpy" not in sys.modules, "before the screen of chances is opened"
        await press(pilot, "8")
        assert "numpy" in sys.modules, "the look itself works"

asyncio.run(run())
"""


def test_no_numpy_before_the_screen_is_opened() -> None:
    result = subprocess.run(
        [sys.executable, "-c", LOOK],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )
    assert result.returncode == 0, result.stderr


def test_the_screen_itself_imports_no_numpy() -> None:
    """So that opening it does not stand still while numpy is read."""
    look = "import sys, readiness.screens.chance_screen; assert 'numpy' not in sys.modules"
    result = subprocess.run(
        [sys.executable, "-c", look], cwd=ROOT, capture_output=True, check=False, timeout=120
    )
    assert result.returncode == 0, result.stderr
