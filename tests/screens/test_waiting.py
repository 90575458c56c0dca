"""While a job is read: a first frame, no key lost, and what goes wrong told after the terminal.

Invariant: the job is opened by the test, exactly when the test says so.
"""

from __future__ import annotations

from pathlib import Path
from threading import Event

from readiness.job.problems import JobFileError, Problem
from readiness.screens.app import JobApp
from readiness.screens.asker import Asked
from readiness.screens.job_screen import JobScreen
from readiness.screens.session import Session
from readiness.screens.waiting_screen import WaitingScreen
from tests.screens.picture import screen_text
from tests.screens.refresh import settled
from tests.screens.small_job import asker_of
from tests.screens.test_open import Terminal, needs_terminal

TEN_KEYS = ("right",) * 10


class Gate:
    """Opens a job once it may."""

    def __init__(self, failing: Exception | None = None) -> None:
        self.may = Event()
        self.failing = failing

    def opens(self) -> Session:
        assert self.may.wait(30)
        if self.failing is not None:
            raise self.failing
        asker = asker_of()
        return Session(asker, asker.ask(Asked()), Asked())


async def test_a_frame_stands_before_the_job_is_read_and_no_key_is_lost() -> None:
    gate = Gate()
    app = JobApp(gate.opens, name="a job")
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert isinstance(app.screen, WaitingScreen)
        assert "reading a job ..." in screen_text(app)
        for key in TEN_KEYS:
            app.simulate_key(key)
        await pilot.pause()
        gate.may.set()
        await settled(pilot)
        while not isinstance(app.screen, JobScreen) or app.session.asked.on is None:
            await pilot.pause(0.01)
        await settled(pilot)
        assert str(app.session.answered.answer.instants.on.date()) == "2026-05-21"
        assert "Thu 21 May" in screen_text(app)


async def test_a_digit_pressed_early_opens_its_screen() -> None:
    gate = Gate()
    app = JobApp(gate.opens, name="a job")
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        app.simulate_key("2")
        await pilot.pause()
        gate.may.set()
        while isinstance(app.screen, WaitingScreen) or app.shown.ID != "calls":
            await pilot.pause(0.01)
        await settled(pilot)


async def test_what_stands_against_opening_ends_the_app_and_is_kept() -> None:
    gate = Gate(JobFileError([Problem("job.toml", 3, "rooms", "there is nothing in it")]))
    gate.may.set()
    app = JobApp(gate.opens, name="a job")
    async with app.run_test(size=(80, 24)) as pilot:
        while app.failed is None:
            await pilot.pause(0.01)
    assert isinstance(app.failed, JobFileError)


@needs_terminal
def test_in_a_real_terminal_problems_stand_below_the_prompt(tmp_path: Path) -> None:
    (tmp_path / "job.toml").write_text("name = 3\n", encoding="utf-8")
    terminal = Terminal(tmp_path)
    try:
        terminal.types_command("open .")
        shown = terminal.waits_for("ended 3")
        assert "job.toml:1: name" in shown
        assert "Traceback" not in shown
    finally:
        terminal.close()


@needs_terminal
def test_in_a_real_terminal_ten_keys_typed_ahead_arrive(tmp_path: Path) -> None:
    from tests.screens.small_job import TEXT

    (tmp_path / "job.toml").write_text(TEXT, encoding="utf-8")
    terminal = Terminal(tmp_path)
    try:
        terminal.types_command("open .")
        terminal.types(*["Right"] * 10)
        assert "Thu 21 May" in terminal.waits_for("Thu 21 May 07:00 (booked")
        terminal.types("q")
        terminal.waits_for("ended 0")
    finally:
        terminal.close()
