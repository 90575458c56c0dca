"""Builders of job files and of the problems they give.

Invariant: a built file without changes passes every check, so each problem comes from the change.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from readiness.facts.loader import load_facts
from readiness.job.loading import load_job_text
from readiness.job.problems import JobFileError, Problem
from readiness.job.reading import read_job

if TYPE_CHECKING:
    from readiness.job.job import Job
    from readiness.job.lines import Lines

FILE = "job.toml"

HEAD = """\
name = "Cedar Lane 3"
key = "5b0e77a1"
kind = "new house"
site = { time_zone = "America/New_York", country = "US", state = "OH" }
as_of = 2026-05-04T06:30:00
board = 2026-05-18
"""

TABLES = {
    "rooms": 'bath-1 = { is = "bath", storey = "upper" }\nkitchen = { is = "kitchen" }',
    "surfaces": (
        'bath-1.outer = { is = "wall above grade", cavity = "5.5 in" }\n'
        'kitchen.outer = { is = "wall above grade", area = "120 sq ft net" }'
    ),
    "trades": 'electrician = { phone = "555-0142" }',
    "work": 'rough-electrical = { takes = "3 d", agreed = 2026-04-30 }',
    "trips": "first = { agreed = 2026-05-11T07:00:00 }",
}


def job_text(head: str = "", **tables: str) -> str:
    """Return a job file; a table given replaces the usual one, the head is added to."""
    wanted = {**TABLES, **tables}
    return HEAD + head + "".join(f"\n[{name}]\n{rows}\n" for name, rows in wanted.items())


def read(text: str) -> Job:
    """Return the job of a text that must be readable."""
    return read_job(text, FILE)


def loaded(text: str) -> tuple[Job, Lines]:
    """Return the job and the lines of a text that must pass every check."""
    return load_job_text(text, FILE, load_facts())


def problems(text: str | bytes) -> tuple[Problem, ...]:
    """Return the problems of reading a text that must not be readable."""
    with pytest.raises(JobFileError) as caught:
        read_job(text, FILE)
    return caught.value.problems


def told(text: str | bytes) -> list[str]:
    """Return the problems of reading a text, as people see them."""
    return [str(problem) for problem in problems(text)]


def checked(text: str) -> list[Problem]:
    """Return the problems of a text across its lines and against the facts."""
    with pytest.raises(JobFileError) as caught:
        load_job_text(text, FILE, load_facts())
    return list(caught.value.problems)


def line_with(text: str, words: str) -> int:
    """Return the line, counted from 1, that holds some words; there must be exactly one."""
    (line,) = [number for number, line in enumerate(text.split("\n"), 1) if words in line]
    return line
