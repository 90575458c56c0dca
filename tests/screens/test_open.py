"""The command `open`: what it does before a terminal is touched, and a run in a real one."""

from __future__ import annotations

import json
import os
import shlex
import shutil
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.conftest import ROOT
from tests.screens.small_job import TEXT, near

FIRST_FRAME_SECONDS = 30
"""How long a slow machine may take."""


def run(*words: str, folder: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "readiness", *words],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
        timeout=120,
    )


@pytest.fixture
def job(tmp_path: Path) -> Path:
    (tmp_path / "job.toml").write_text(TEXT, encoding="utf-8")
    return tmp_path


def test_plain_prints_what_check_prints(job: Path) -> None:
    plain, check = run("open", ".", "--plain", folder=job), run("check", ".", folder=job)
    assert plain.stdout == check.stdout
    assert plain.returncode == check.returncode == 4
    later = ("--on", "2026-05-13", "--as-of", "2026-05-05 06:30")
    assert run("open", ".", "--plain", *later, folder=job).stdout == (
        run("check", ".", *later, folder=job).stdout
    )


def test_a_job_with_problems_ends_before_the_screen(job: Path) -> None:
    broken = TEXT.replace("164 sq ft net", "-1 sq ft").replace('"6 d"', '"6 moons"')
    (job / "job.toml").write_text(broken, encoding="utf-8")
    result = run("open", ".", folder=job)
    assert result.returncode == 3
    assert result.stdout == ""
    assert len([line for line in result.stderr.splitlines() if "job.toml:" in line]) == 2
    assert "\x1b" not in result.stderr


def test_a_forecast_that_was_named_and_cannot_be_used_ends_before_the_screen(job: Path) -> None:
    (job / "w.csv").write_text("time,air F\n2026-05-11T00:00,60\n", encoding="utf-8")
    result = run("open", ".", "--plain", "--forecast", "w.csv", folder=job)
    assert result.returncode == 3
    assert result.stdout == ""
    assert "w.csv:" in result.stderr


def test_without_a_terminal_it_says_what_to_do(job: Path) -> None:
    result = run("open", ".", folder=job)
    assert result.returncode == 2
    assert "--plain" in result.stderr


def test_without_a_job_a_starter_is_asked_and_nothing_written(tmp_path: Path) -> None:
    result = run("open", "--plain", "--as-of", "2026-05-04 06:30", folder=tmp_path)
    assert result.returncode in {0, 4}
    assert "as of Mon 4 May 06:30" in result.stdout.splitlines()[0]
    assert list(tmp_path.iterdir()) == []


def test_words_with_two_readings_are_refused(job: Path) -> None:
    result = run("open", ".", "--on", "next thursday", folder=job)
    assert result.returncode == 2
    assert "--on" in result.stderr


needs_terminal = pytest.mark.skipif(
    shutil.which("tmux") is None, reason="tmux is not installed: no real terminal"
)


@needs_terminal
def test_it_runs_in_a_real_terminal(job: Path) -> None:
    """Verdict on screen, a key moves the day, another leaves, and the terminal is left whole."""
    terminal = Terminal(job)
    try:
        terminal.types_command("open .")
        assert terminal.waits_for("Mon 11 May 07:00, booked").startswith(">.< crossed")
        terminal.types("Right")
        assert "Tue 12 May 07:00 (booked: Mon 11 May)" in terminal.waits_for("Tue 12 May 07:00 (")
        terminal.types("q")
        assert "ended 0" in terminal.waits_for("ended 0")
    finally:
        terminal.close()


@pytest.mark.skipif(shutil.which("tmux") is None, reason="tmux is not installed: no real terminal")
def test_a_call_is_answered_and_a_line_typed_in_a_real_terminal(job: Path) -> None:
    """Both stand in the diary afterwards, under the name of whoever wrote."""
    (job / "job.toml").write_text(near(), encoding="utf-8")
    terminal = Terminal(job)
    try:
        words = (
            f"{shlex.quote(sys.executable)} -m readiness open . --writer 'Ida Brand, contractor'"
        )
        terminal.types(f"{words}; echo ended $?", "Enter")
        terminal.waits_for("Mon 11 May 07:00, booked")
        terminal.types("2")
        terminal.waits_for("they say:  c confirmed")
        terminal.types("c")
        terminal.waits_for("Enter writes it")
        terminal.types("Enter")
        terminal.waits_for("written: confirmed: first, yes")
        terminal.types("3")
        terminal.waits_for("writing as Ida Brand, contractor")
        terminal.types("done drains bath")
        terminal.waits_for("it says   done: drains, bath (seen, by Ida Brand")
        terminal.types("Enter")
        terminal.waits_for("Enter writes it")
        terminal.types("Enter")
        terminal.waits_for("written: done: drains, bath")
        terminal.types("C-q")
        terminal.waits_for("ended 0")
    finally:
        terminal.close()
    written = (job / "diary" / "ida-brand.jsonl").read_text(encoding="utf-8")
    kinds = [json.loads(line)["kind"] for line in written.splitlines()]
    assert kinds == ["job-file", "confirmed", "done"]


class Terminal:
    """A real terminal of 80 by 24 that nobody sees, on a server of its own."""

    def __init__(self, folder: Path) -> None:
        self._server = ["tmux", "-L", f"readiness-test-{os.getpid()}", "-f", os.devnull]
        environment = {**os.environ, "PYTHONPATH": str(ROOT), "TERM": "xterm-256color"}
        words = ["new-session", "-d", "-s", "one", "-x", "80", "-y", "24", "-c", str(folder), "sh"]
        subprocess.run([*self._server, *words], env=environment, check=True, timeout=30)

    def types_command(self, words: str) -> None:
        """Type a command, after which the code it ended with stands there."""
        python = shlex.quote(sys.executable)
        self.types(f"{python} -m readiness {words}; echo ended $?", "Enter")

    def types(self, *keys: str) -> None:
        subprocess.run([*self._server, "send-keys", "-t", "one", *keys], check=True, timeout=30)

    def waits_for(self, text: str) -> str:
        """Return what stands on the screen once a text does."""
        end = time.monotonic() + FIRST_FRAME_SECONDS
        shown = ""
        while time.monotonic() < end:
            shown = subprocess.run(
                [*self._server, "capture-pane", "-p", "-t", "one"],
                capture_output=True,
                text=True,
                check=True,
                timeout=30,
            ).stdout
            if text in shown:
                return shown
            time.sleep(0.1)
        raise AssertionError(f"{text!r} never came up:\n{shown}")

    def close(self) -> None:
        subprocess.run([*self._server, "kill-server"], check=False, timeout=30)
