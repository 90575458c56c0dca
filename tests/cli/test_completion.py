"""Completion in the shell: commands, options, the verbs of a line and the names of the job.

Invariant: completing never fails, never writes and never imports what only drawing charts needs.
"""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.conftest import ROOT

SAMPLE = "sample_jobs/garden-room-addition"
SLOW = ("networkx", "textual", "icalendar")


Started = tuple[str, ...]
Completed = Callable[[str], list[str]]


def asked_of(started: Started, shell: str, line: str) -> subprocess.CompletedProcess[str]:
    """Ask the program as a shell does; the word behind the last blank is being typed."""
    words = line.split()
    typed = "" if line.endswith(" ") else words[-1]
    index = len(words) if line.endswith(" ") else len(words) - 1
    environment = {
        **os.environ,
        "_READINESS_COMPLETE": f"{shell}_complete",
        "COMP_WORDS": line,
        "COMP_CWORD": typed if shell == "fish" else str(index),
    }
    return subprocess.run(
        started,
        cwd=ROOT,
        env=environment,
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.fixture
def completed(started: Started) -> Completed:
    """Return what tells what bash is offered for a line."""

    def offered(line: str) -> list[str]:
        result = asked_of(started, "bash", line)
        assert not result.stderr
        return [row.partition(",")[2] for row in result.stdout.splitlines() if row]

    return offered


def test_commands_and_options_are_completed(completed: Completed) -> None:
    assert completed("readiness che") == ["check"]
    assert {"new", "note", "receive", "send"} <= set(completed("readiness "))
    assert completed("readiness check --g") == ["--gate"]
    assert completed(f"readiness check {SAMPLE} --gate ro") == ["roll"]


def test_a_line_begins_with_a_verb(completed: Completed) -> None:
    assert completed(f"readiness note {SAMPLE} pas") == ["passed", "passed-part"]


@pytest.mark.parametrize(
    ("line", "offered"),
    [
        ("done rough-e", ["rough-electrical"]),
        ("done rough-electrical ba", ["bath", "bath.east-wall"]),
        ("done rough-electrical bath ro", ["roof"]),
        ("passed el", ["electrical"]),
        ("passed electrical ro", ["roof"]),
        ("agreed ma", ["main"]),
        ("agreed low", ["low-voltage"]),
        ("pulled tu", ["tub"]),
        ("yes parking", ["parking-and-hose"]),
        ("reading mo", ["moisture"]),
        ("reading moisture 17% ro", ["roof"]),
        ("sprayed ", None),
        ("depth ro", ["roof"]),
        ("off dry", ["drywall"]),
        ("change outlet ro", ["roof"]),
        ("change outlet roof --works rough", ["rough-electrical"]),
        ("override tub roof --reason late --trip ", ["main"]),
        ("set crates --is stored-g", ["stored-goods"]),
        ("done tub --how sh", ["shown"]),
        ("done tub --wor", ["--works"]),
        ("depth roof 3", []),
        ("nonsense ", []),
    ],
)
def test_a_line_goes_on_with_the_names_that_its_form_wants(
    completed: Completed, line: str, offered: list[str] | None
) -> None:
    found = completed(f"readiness note {SAMPLE} {line}")
    if offered is None:
        assert {"main", "all", "roof"} <= set(found)
    else:
        assert found == offered


def test_what_a_diary_has_added_is_offered_too(
    completed: Completed, started: Started, tmp_path: Path
) -> None:
    (tmp_path / "job.toml").write_text((ROOT / SAMPLE / "job.toml").read_text("utf-8"), "utf-8")
    for words in (
        ["set", "crates", "--is", "stored-goods", "--blocks", "roof"],
        ["trip", "second", "roof"],
    ):
        subprocess.run(
            [*started, "note", str(tmp_path), *words],
            cwd=ROOT,
            check=True,
            capture_output=True,
        )
    assert completed(f"readiness note {tmp_path} pulled cr") == ["crates"]
    assert completed(f"readiness note {tmp_path} arrived se") == ["second"]


@pytest.mark.parametrize("job", ["nowhere", "README.md"])
def test_a_job_that_cannot_be_read_completes_nothing(completed: Completed, job: str) -> None:
    assert completed(f"readiness note {job} done ro") == []


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_every_shell_gets_its_script_and_its_answers(started: Started, shell: str) -> None:
    script = subprocess.run(
        started,
        cwd=ROOT,
        env={**os.environ, "_READINESS_COMPLETE": f"{shell}_source"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert script.returncode == 0
    assert "_READINESS_COMPLETE" in script.stdout
    assert "readiness" in script.stdout
    assert "python" not in script.stdout
    assert (
        "rough-electrical"
        in asked_of(started, shell, f"readiness note {SAMPLE} done rough-e").stdout
    )


def test_completing_is_quick_because_it_imports_little() -> None:
    code = (
        "import sys\n"
        "from pathlib import Path\n"
        "import readiness.cli.completing\n"
        "from readiness.desk.names import names_in\n"
        f"assert names_in(Path({SAMPLE!r})).works\n"
        f"print([name for name in {SLOW!r} if name in sys.modules])\n"
    )
    result = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert result.stdout.strip() == "[]"
