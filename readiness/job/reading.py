"""Reads a job file: bytes or text to a `Job`, or every problem of it at once.

Invariant: what is returned has passed every check that needs no facts; nothing is read twice, and
nothing but `JobFileError` is raised for what a file can hold.
"""

from __future__ import annotations

from pydantic import ValidationError

from readiness.job.job import Job
from readiness.job.lines import Lines
from readiness.job.problems import JobFileError, Problem
from readiness.job.room_ids import doubles_of, flat_surfaces, rooms_of_ids
from readiness.job.syntax import read_toml

LARGEST_FILE_BYTES = 2_000_000
"""A job of a thousand lines has a twentieth of it."""

LONGEST_LINE = 4_000


def read_job(text: str | bytes, file_name: str) -> Job:
    """Return the job a file says.

    Raises:
        JobFileError: The file can't be used; it holds every problem.
    """
    return read_job_with_lines(text, file_name)[0]


def read_job_with_lines(text: str | bytes, file_name: str) -> tuple[Job, Lines]:
    """Return the job a file says, and where each of its keys stands.

    Raises:
        JobFileError: The file can't be used; it holds every problem.
    """
    plain = _decoded(text, file_name)
    _check_size(plain, file_name)
    toml = read_toml(plain, file_name)
    if not toml.data and not toml.problems:
        hint = "readiness new FOLDER writes one to start from"
        raise JobFileError([Problem(file_name, None, "", "there is nothing in it", hint=hint)])
    data = dict(toml.data)
    flat = flat_surfaces(data.get("surfaces"))
    if flat.renamed:
        data["surfaces"] = flat.rows
    lines = Lines(file_name, toml.text, flat.renamed)
    problems = [*toml.problems, *doubles_of(flat, lines), *rooms_of_ids(data, lines)]
    try:
        job = Job.model_validate(data, by_alias=True, by_name=False)
    except ValidationError as error:
        from readiness.job.complaints import problems_of

        refused = problems_of(error, lines, complete=not toml.problems)
        raise JobFileError([*problems, *refused]) from None
    if problems:
        raise JobFileError(problems)
    return job, lines


def _decoded(text: str | bytes, file_name: str) -> str:
    """Return the text of a file, without a byte order mark."""
    if isinstance(text, str):
        return text.removeprefix("\ufeff")
    if len(text) > LARGEST_FILE_BYTES:
        raise JobFileError([_too_large(file_name)])
    if text.startswith((b"\xff\xfe", b"\xfe\xff")):
        what = "it is written in UTF-16"
        raise JobFileError([Problem(file_name, 1, "", what, hint="save it as UTF-8")])
    try:
        return text.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = text.count(b"\n", 0, error.start) + 1
        what = f"byte {text[error.start]:#04x} is no UTF-8"
        hint = "the file was saved in another encoding; save it as UTF-8"
        raise JobFileError([Problem(file_name, line, "", what, hint=hint)]) from None


def _check_size(text: str, file_name: str) -> None:
    """Refuse what no hand has written, before time is spent on it."""
    if len(text) > LARGEST_FILE_BYTES:
        raise JobFileError([_too_large(file_name)])
    for number, line in enumerate(text.split("\n"), 1):
        if len(line) > LONGEST_LINE:
            what = f"the line has {len(line)} signs"
            wanted = f"at most {LONGEST_LINE}"
            raise JobFileError([Problem(file_name, number, "", what, wanted=wanted)])


def _too_large(file_name: str) -> Problem:
    wanted = f"at most {LARGEST_FILE_BYTES // 1_000_000} MB"
    return Problem(file_name, None, "", "the file is too large for a job file", wanted=wanted)
