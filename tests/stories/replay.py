"""Replays a told story: each step is one command line at one clock, on a copy of one sample.

Invariant: a step runs the real command, and what it expects is looked up through the real `check`.
"""

from __future__ import annotations

import json
import shlex
import shutil
import tomllib
from dataclasses import dataclass
from pathlib import Path

import click
from click.testing import CliRunner

from readiness.cli.main import readiness
from readiness.job.problems import JobFileError
from tests.conftest import ROOT

STORY = ROOT / "tests" / "stories" / "fortnight.toml"
USAGE, INPUT = 2, 3
JOB = "JOB"
"""Stands in a command for the folder of the copy."""


@dataclass(frozen=True)
class Step:
    """One command of the story, and what is so afterwards."""

    at: str
    """Where the clock stands."""
    run: str
    verdict: str
    gate: str = ""
    """Which gate was asked; empty where it does not matter."""
    on: str = ""
    """What the verdict is asked about; empty means what `check` asks by itself."""
    trip: str = ""
    exit: int = 0
    prints: str = ""
    """Something that the command itself prints."""
    surfaces: tuple[tuple[str, str], ...] = ()
    """Surfaces with the word each has."""
    tells: str = ""
    """The story up to here, for the page."""
    message: str = ""
    """Text that the command receives."""
    by: str = ""
    """Who writes."""


@dataclass(frozen=True)
class Seen:
    """What a step came to."""

    exit: int
    printed: str
    verdict: str
    gate: str
    surfaces: dict[str, str]


@dataclass(frozen=True)
class Story:
    """A sample, and what happens to it."""

    sample: str
    steps: tuple[Step, ...]


def story() -> Story:
    """Return the fortnight."""
    data = tomllib.loads(STORY.read_text("utf-8"))
    writers = data["writers"]
    return Story(
        data["sample"],
        tuple(
            Step(
                **{
                    **step,
                    "surfaces": tuple(step.get("surfaces", {}).items()),
                    "by": writers[step["by"]] if "by" in step else "",
                }
            )
            for step in data["step"]
        ),
    )


def copied(sample: str, folder: Path) -> Path:
    """Return a copy of a sample, whose diary is empty."""
    job = folder / "addition"
    job.mkdir()
    shutil.copyfile(ROOT / "sample_jobs" / sample / "job.toml", job / "job.toml")
    return job


def words_of(step: Step, job: str) -> list[str]:
    """Return the words of the command line of a step."""
    words = [job if word == JOB else word for word in shlex.split(step.run)]
    clock = ["--as-of", step.at]
    return [*words, *clock, *(["--writer", step.by] if step.by else [])]


def run(step: Step, job: Path) -> Seen:
    """Run a step and look at what is so afterwards."""
    code, printed = called(words_of(step, str(job)), step.message)
    asked = ["check", str(job), "--json", "--as-of", step.at]
    asked += ["--on", step.on] if step.on else []
    asked += ["--trip", step.trip] if step.trip else []
    printed_answer = called(asked)[1]
    answer = json.loads(printed_answer[printed_answer.index("{\n") :])
    return Seen(
        code,
        printed,
        answer["verdict"],
        answer["instants"]["gate"],
        {line["surface"]: line["word"] for line in answer["surfaces"]},
    )


def called(words: list[str], typed: str = "") -> tuple[int, str]:
    """Return the exit code of a call and everything it prints."""
    try:
        result = CliRunner().invoke(
            readiness, words, standalone_mode=False, catch_exceptions=False, input=typed
        )
    except click.UsageError as error:
        return USAGE, f"Error: {error.format_message()}\n"
    except JobFileError as error:
        return INPUT, str(error)
    return int(result.return_value or 0), result.output
