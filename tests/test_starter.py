"""What stands for `python -m readiness` in many tests is told apart from it by nothing."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
from pathlib import Path
from select import select

import pytest

from tests.conftest import ROOT
from tests.starter import starting

REAL = (sys.executable, "-m", "readiness")
CALLS = {
    "an answer": "check sample_jobs/garden-room-addition --gate gun",
    "wrong words": "chek sample_jobs/garden-room-addition",
    "no such job": "check nowhere",
    "the words that help": "note --help",
    "its input": "receive sample_jobs/garden-room-addition - --show --as-of 2026-05-04",
}

PATIENCE_SECONDS = 30.0
"""A guard, not a measure."""
MORE_THAN_A_PIPE_HOLDS = 1_000_000


def ran(started: tuple[str, ...], words: str, **more: str) -> tuple[int, bytes, bytes]:
    """Return how a call ended and what it printed."""
    done = subprocess.run(
        [*started, *words.split()],
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT), **more},
        input=b"bath is done\n",
        capture_output=True,
        check=False,
        timeout=60,
    )
    return done.returncode, done.stdout, done.stderr


@pytest.mark.parametrize("words", CALLS.values(), ids=CALLS)
def test_it_ends_and_prints_as_a_process_of_its_own_does(
    started: tuple[str, ...], words: str
) -> None:
    assert ran(started, words) == ran(REAL, words)


def test_settings_and_folder_of_one_call_are_those_of_no_other(
    started: tuple[str, ...], tmp_path: Path
) -> None:
    """Completion is asked for by the environment alone; the call after it completes nothing."""
    _, script, _ = ran(started, "", _READINESS_COMPLETE="bash_source")
    assert b"complete" in script
    assert ran(started, "--version") == ran(REAL, "--version")
    sample = ROOT / "sample_jobs" / "garden-room-addition" / "job.toml"
    (tmp_path / "job.toml").write_bytes(sample.read_bytes())
    words = [*started, "check", "job.toml", "--gate", "gun"]
    moved = subprocess.run(words, cwd=tmp_path, capture_output=True, check=False).stdout
    assert moved == ran(started, CALLS["an answer"])[1]


def test_a_call_ends_with_whoever_asked_for_it(started: tuple[str, ...]) -> None:
    """Killed while it reads, it leaves nobody behind who holds its output."""
    words = [*started, "receive", "sample_jobs/garden-room-addition", "-", "--show"]
    with subprocess.Popen(
        words, cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.STDOUT
    ) as client:
        assert client.stdin is not None
        assert client.stdout is not None
        client.stdin.write(b"x" * MORE_THAN_A_PIPE_HOLDS)
        client.kill()
        ready, _, _ = select([client.stdout], [], [], PATIENCE_SECONDS)
        assert ready
        assert client.stdout.read() == b""


def test_the_process_behind_the_calls_ends_with_the_tests() -> None:
    with starting() as started:
        address = started[-1]
        assert ran(started, "--version")[0] == 0
    with socket.socket(socket.AF_UNIX) as link, pytest.raises(OSError, match="No such file"):
        link.connect(address)
