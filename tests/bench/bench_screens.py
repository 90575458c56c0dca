"""How soon a terminal shows a first frame and a verdict, and how long a moved day takes.

The first two run in a real pseudo-terminal and are compared with an app of the toolkit that shows
one word, and with `check`; the third calls the action itself.
Invariant: what is measured and what it is measured against start alike and take turns.
"""

from __future__ import annotations

import asyncio
import os
import pty
import select
import signal
import statistics
import sys
import time
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest

from readiness.desk.desk import desk_of
from readiness.screens.app import JobApp
from readiness.screens.asker import Asked, Asker
from readiness.screens.session import Session
from tests.bench.bench_cold_start import HOUSE, check_the_house
from tests.bench.bench_verdicts import large_job
from tests.bench.ratio import Ratio, delayed, elapsed_ms
from tests.conftest import ROOT
from tests.screens.refresh import settled

pytestmark = pytest.mark.bench

EMPTY = """
from textual.app import App
from textual.widgets import Static

class Empty(App):
    def compose(self):
        yield Static("nothing else")

Empty().run()
"""
FIRST_FRAME_LIMIT = 1.3
VERDICT_LIMIT = 1.2
MOVED_DAY_LIMIT = 1.5
TURNS = 7
MOVED_DAY_TURNS = 21
HANGING_SECONDS = 60


def shown(words: list[str], text: str) -> None:
    """Run a program in a terminal of its own until a text stands there, then end it."""
    child, terminal = pty.fork()
    if child == 0:
        os.chdir(ROOT)
        size = {"TERM": "xterm-256color", "COLUMNS": "80", "LINES": "24"}
        env = {**os.environ, **size, "PYTHONDONTWRITEBYTECODE": ""}
        os.execve(sys.executable, [sys.executable, *words], env)  # noqa: S606  no shell is wanted
    seen = b""
    try:
        while text.encode() not in seen:
            ready, _, _ = select.select([terminal], [], [], HANGING_SECONDS)
            assert ready, seen[-300:]
            seen += os.read(terminal, 65_536)
    finally:
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        os.close(terminal)


def empty_app() -> None:
    shown(["-c", EMPTY], "nothing else")


def first_frame() -> None:
    shown(["-m", "readiness", "open", str(HOUSE)], "reading ")


def verdict() -> None:
    shown(["-m", "readiness", "open", str(HOUSE)], "too early")


def frame_ratio(frame: Callable[[], object], turns: int = TURNS) -> Ratio:
    empty_app()
    frame()
    pairs = [(elapsed_ms(frame), elapsed_ms(empty_app)) for _ in range(turns)]
    return Ratio(
        "first frame of the screen against an empty app",
        statistics.median(pair[0] for pair in pairs),
        statistics.median(pair[1] for pair in pairs),
        statistics.median(frame / empty for frame, empty in pairs),
        FIRST_FRAME_LIMIT,
    )


def verdict_ratio(verdict_shown: Callable[[], object], turns: int = TURNS) -> Ratio:
    """Return what a verdict takes beyond an empty app, against `check`."""
    rows = [
        (elapsed_ms(verdict_shown), elapsed_ms(empty_app), elapsed_ms(check_the_house))
        for _ in range(turns)
    ]
    return Ratio(
        "verdict on screen beyond an empty app against check",
        statistics.median(shown - empty for shown, empty, _ in rows),
        statistics.median(check for _, _, check in rows),
        statistics.median((shown - empty) / check for shown, empty, check in rows),
        VERDICT_LIMIT,
    )


def test_the_first_frame_comes_about_as_fast_as_an_empty_app() -> None:
    frame_ratio(first_frame).check()


def test_the_bench_of_the_first_frame_notices_a_delay() -> None:
    late = delayed(first_frame, 1.3 * FIRST_FRAME_LIMIT * elapsed_ms(empty_app))
    with pytest.raises(AssertionError):
        frame_ratio(late, turns=3).check()


def test_the_verdict_comes_about_as_fast_as_check() -> None:
    verdict()
    verdict_ratio(verdict).check()


def test_the_bench_of_the_verdict_notices_a_delay() -> None:
    late = delayed(verdict, 1.3 * VERDICT_LIMIT * elapsed_ms(check_the_house))
    with pytest.raises(AssertionError):
        verdict_ratio(late, turns=3).check()


def moved_day_ratio(busy_ms: float = 0) -> Ratio:
    """Return what moving the day takes on screen, against asking and painting."""
    asker = Asker(desk_of(large_job(), Path("job.toml")), is_on_disk=False)
    app = JobApp(Session(asker, asker.ask(Asked()), Asked()))

    async def rows() -> list[tuple[float, float, float, float]]:
        found = []
        async with app.run_test(size=(120, 40)) as pilot:
            await settled(pilot)
            for _ in range(MOVED_DAY_TURNS):
                started = time.perf_counter()
                await settled(pilot)
                idle = time.perf_counter()
                delayed(lambda: app.move(1), busy_ms)()
                await settled(pilot)
                moved = time.perf_counter()
                day = app.session.answered.answer.instants.on + timedelta(days=1)
                asker.ask(Asked(day.date()))
                asked = time.perf_counter()
                app.shown.show_answer()
                app.shown.refresh(layout=True)
                await settled(pilot)
                painted = time.perf_counter()
                found.append((idle - started, moved - idle, asked - moved, painted - asked))
        return found

    # A pause of the driver is about as long as what is measured, and now and then there is one more
    # of them: totals tell what medians of single turns do not
    idle, moved, asked, painted = (
        1_000 * sum(each) for each in zip(*asyncio.run(rows()), strict=True)
    )
    measured, against = moved - idle, asked + painted - idle
    return Ratio(
        "a moved day on screen against one question and painting",
        measured / MOVED_DAY_TURNS,
        against / MOVED_DAY_TURNS,
        measured / against,
        MOVED_DAY_LIMIT,
    )


def test_a_moved_day_takes_little_more_than_asking_and_painting() -> None:
    moved_day_ratio().check()


def test_the_bench_of_the_moved_day_notices_a_delay() -> None:
    usual = moved_day_ratio()
    with pytest.raises(AssertionError):
        moved_day_ratio(3 * MOVED_DAY_LIMIT * usual.against_ms).check()
