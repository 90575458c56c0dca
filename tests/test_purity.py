"""Everything below the desk keeps to itself: no file, clock, environment, socket or process.

Invariant: each way of noticing is shown to notice before it is trusted.
"""

from __future__ import annotations

import contextlib
import importlib
import inspect
import os
import pkgutil
import socket
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

import readiness.questions
from readiness.desk.desk import desk_of
from tests.conftest import ROOT
from tests.purity import (
    OutsideWorldError,
    modules_below_the_desk,
    no_outside_world,
    reaches_in,
)
from tests.test_house import floors_top_to_bottom

LOADERS = {
    "readiness/facts/loader.py",
    "readiness/pages/templates/__init__.py",
    "readiness/starters/__init__.py",
}
"""Those that read what the package brings along."""

LATE_IMPORT = "readiness/site/countries.py"
"""Looks at what is imported already, so that a library is not loaded whole."""


def floors_below_the_desk() -> list[str]:
    floors = floors_top_to_bottom()
    (desk,) = [number for number, floor in enumerate(floors) if "desk" in floor]
    return [name for floor in floors[desk + 1 :] for name in floor]


def _open_a_file() -> None:
    Path(__file__).read_text(encoding="utf-8")


def _list_a_folder() -> None:
    os.listdir(".")  # noqa: PTH208 - the call itself is what must be noticed


def _open_a_socket() -> None:
    socket.socket().close()


def _start_a_process() -> None:
    subprocess.run([sys.executable, "-c", ""], check=False)


def _start_a_shell() -> None:
    os.system("true")  # noqa: S605 - the call itself is what must be noticed


def _set_the_environment() -> None:
    os.environ["READINESS_MADE_UP"] = "1"


@pytest.mark.parametrize(
    "reach",
    [
        _open_a_file,
        _list_a_folder,
        _open_a_socket,
        _start_a_process,
        _start_a_shell,
        _set_the_environment,
    ],
)
def test_the_watch_notices(reach: Callable[[], None]) -> None:
    with pytest.raises(OutsideWorldError), no_outside_world():
        reach()


def test_the_watch_notices_what_was_swallowed() -> None:
    """A block that catches the refusal and goes on has reached for the world all the same."""
    with pytest.raises(OutsideWorldError), no_outside_world(), contextlib.suppress(AssertionError):
        _open_a_file()


def test_the_watch_ends_with_its_block() -> None:
    with no_outside_world():
        total = sum(range(10))
    assert total == 45
    assert Path(__file__).read_text(encoding="utf-8")


@pytest.mark.parametrize(
    "line",
    [
        "import os",
        "import os.path",
        "from time import monotonic",
        "from importlib import resources",
        "import importlib.resources",
        "open('a')",
        "print('a')",
        "datetime.now(UTC)",
        "date.today()",
        "path.read_text()",
        "Path('a').exists()",
    ],
)
def test_the_search_notices(line: str) -> None:
    assert reaches_in(f"x = 1\n{line}\n")


@pytest.mark.parametrize(
    "line", ["from datetime import datetime", "window.opens(now)", "x.get('a')"]
)
def test_the_search_lets_plain_code_be(line: str) -> None:
    assert not reaches_in(line)


def test_nothing_below_the_desk_is_written_to_reach_for_the_world() -> None:
    found = {
        f"{path.relative_to(ROOT)}:{reach.line}": reach.what
        for path in modules_below_the_desk(ROOT / "readiness", floors_below_the_desk())
        if str(path.relative_to(ROOT)) not in LOADERS | {LATE_IMPORT}
        for reach in reaches_in(path.read_text(encoding="utf-8"))
    }
    assert not found


QUESTIONS = sorted(module.name for module in pkgutil.iter_modules(readiness.questions.__path__))
SAMPLES = sorted((ROOT / "sample_jobs").glob("*/job.toml"))


def question_of(module: str) -> Callable[..., object]:
    """Return the one question of a module: the function that has the module's name."""
    found = getattr(importlib.import_module(f"readiness.questions.{module}"), module)
    assert inspect.isfunction(found)
    return found


OVER_MANY_JOBS = {"calls"}
"""Questions that are asked of several jobs at once."""


def answer_to(module: str, content: bytes, sample: Path) -> object:
    """Work out an answer from the text of a job file, remembering nothing from before."""
    case = desk_of(content, sample).case()
    return question_of(module)([case] if module in OVER_MANY_JOBS else case)


def test_there_is_something_to_ask_and_someone_to_ask_about() -> None:
    assert {"check", "when"} <= set(QUESTIONS)
    assert len(SAMPLES) >= 5


@pytest.mark.parametrize("module", QUESTIONS)
@pytest.mark.parametrize("sample", SAMPLES, ids=lambda sample: sample.parent.name)
def test_a_question_keeps_to_itself(module: str, sample: Path) -> None:
    """From the text of a job file to the answer nothing is opened; asked twice, it is the same.

    The first run imports what is imported late and reads the tables; the second one is watched.
    """
    content = sample.read_bytes()
    first = answer_to(module, content, sample)
    with no_outside_world():
        second = answer_to(module, content, sample)
    assert second == first
