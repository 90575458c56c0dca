"""What a command imports when it starts: a static look cannot tell a late import from an early one.

Invariant: each look runs in a fresh interpreter and reads `sys.modules` after the command is done.
"""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from tests.conftest import ROOT

LOOK = """
import contextlib, io, json, sys
from readiness.__main__ import main
sys.argv = ["readiness", *sys.argv[1:]]
with contextlib.redirect_stdout(io.StringIO()) as answer:
    try:
        code = main()
    except SystemExit as end:
        code = end.code
print(json.dumps({
    "code": code or 0,
    "answer": answer.getvalue(),
    "modules": sorted({name.partition(".")[0] for name in sys.modules}),
}))
"""


def look(*words: str) -> tuple[int, str, set[str]]:
    """Run one command and return its exit code, its answer and what it had imported by its end."""
    result = subprocess.run(
        [sys.executable, "-c", LOOK, *words],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )
    assert result.returncode == 0, result.stderr
    found = json.loads(result.stdout)
    return int(found["code"]), str(found["answer"]), set(found["modules"])


def test_help_starts_without_the_slow_libraries() -> None:
    code, answer, modules = look("--help")
    assert code == 0
    assert "check" in answer
    assert "click" in modules
    assert not modules & {
        "pydantic",
        "networkx",
        "textual",
        "holidays",
        "icalendar",
        "dateutil",
        "jinja2",
    }


@pytest.mark.parametrize("sample", sorted((ROOT / "sample_jobs").glob("*/job.toml")), ids=str)
@pytest.mark.parametrize("command", ["check", "foam"])
def test_a_question_starts_without_what_it_does_not_need(command: str, sample: Path) -> None:
    code, answer, modules = look(command, str(sample.parent))
    assert code in {0, 4}
    assert answer
    assert "pydantic" in modules
    assert not modules & {"textual", "icalendar", "networkx", "numpy", "ortools", "jinja2", "rich"}


def test_the_graph_library_comes_when_it_is_asked_what_waits_for_what() -> None:
    _, answer, modules = look("sequence", str(ROOT / "sample_jobs" / "two-storey-house"))
    assert "holds up" in answer
    assert "networkx" in modules
    assert not modules & {"textual", "icalendar", "numpy", "ortools"}


def test_importing_the_package_imports_none_of_it() -> None:
    program = "import sys, readiness; print([m for m in sys.modules if m.startswith('readiness.')])"
    result = subprocess.run(
        [sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert result.stdout.strip() == "[]"


MEMORY = """
import contextlib, io, sys
from tests.memory import peak_megabytes
from readiness.__main__ import main
sys.argv = ["readiness", *sys.argv[1:]]
with contextlib.redirect_stdout(io.StringIO()) as answer:
    try:
        main()
    except SystemExit:
        pass
assert answer.getvalue()
print(peak_megabytes(), "ortools" in sys.modules, "numpy" in sys.modules)
"""


@pytest.mark.skipif(sys.platform != "linux", reason="memory is counted in other units elsewhere")
@pytest.mark.parametrize("sample", sorted((ROOT / "sample_jobs").glob("*/job.toml")), ids=str)
def test_chance_needs_less_than_200_megabytes_and_no_solver(sample: Path) -> None:
    """A hundred thousand trials need no more room than ten thousand: they go in blocks."""
    words = ("chance", str(sample.parent), "--trials", "100000")
    result = subprocess.run(
        [sys.executable, "-c", MEMORY, *words],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
        timeout=120,
    )
    megabytes, solver, numpy = result.stdout.split()
    assert int(megabytes) < 200
    assert (solver, numpy) == ("False", "True")
