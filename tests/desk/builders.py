"""Job folders on disk, and commands run on them as a user would.

Invariant: a command runs in this process, with both streams kept apart.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from click.testing import CliRunner

from readiness.cli.main import readiness
from readiness.job.problems import JobFileError

JOB = """\
name = "Cedar Lane 3"
key = "5b0e77a1"
site = { time_zone = "America/New_York", country = "US", state = "OH" }
as_of = 2026-05-04T06:30:00

[rooms]
bath = { is = "bath" }
kitchen = { is = "kitchen" }

[surfaces]
bath.outer = { is = "wall above grade", area = "100 sq ft" }
kitchen.outer = { is = "wall above grade", area = "100 sq ft" }

[trades]
electrician = { phone = "555-0142" }

[work]
wires = { trade = "electrician", in = ["bath", "kitchen"], order = "before", takes = "16 h" }

[trips]
first = { booked = 2026-05-08T07:00:00, lasts = "4 h" }
"""

DANA = "Dana Ruiz, contractor"
LEE = "Lee Fox, crew lead"


@dataclass(frozen=True)
class Ran:
    """How a command ended."""

    code: int
    out: str
    err: str


def job_folder(folder: Path, text: str = JOB) -> Path:
    """Return a new job folder."""
    job = folder / "cedar"
    job.mkdir()
    (job / "job.toml").write_text(text, encoding="utf-8")
    return job


def run(command: str, job: Path, *words: str, at: str = "", by: str = "") -> Ran:
    """Run a command on a job; `at` is where the clock stands, `by` is who writes."""
    call = [command, str(job), *words]
    call += ["--as-of", at] if at else []
    call += ["--writer", by] if by else []
    try:
        result = CliRunner().invoke(readiness, call, standalone_mode=False)
    except JobFileError as error:
        return Ran(3, "", str(error))
    if isinstance(result.exception, JobFileError):
        return Ran(3, result.stdout, result.stderr + str(result.exception))
    if result.exception is not None and hasattr(result.exception, "format_message"):
        return Ran(2, result.stdout, result.stderr + result.exception.format_message())
    if result.exception is not None:
        raise result.exception
    return Ran(int(result.return_value or 0), result.stdout, result.stderr)


def note(job: Path, *words: str, at: str, by: str = DANA) -> Ran:
    """Write a line into the diary at a moment; it must be understood."""
    ran = run("note", job, *words, at=at, by=by)
    assert ran.code == 0, ran.err
    return ran


def entries(job: Path, writer: str = "dana-ruiz") -> list[dict[str, Any]]:
    """Return the lines of a writer's file."""
    text = (job / "diary" / f"{writer}.jsonl").read_text(encoding="utf-8")
    return [json.loads(line) for line in text.splitlines()]
