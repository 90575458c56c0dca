"""Finds and reads a job on disk.

Invariant: whatever is wrong with a file comes out as a `JobFileError`, never as an `OSError`.
"""

from __future__ import annotations

from pathlib import Path

from readiness.job.problems import JobFileError, Problem

JOB_FILE = "job.toml"
DIARY_FOLDER = "diary"


def job_file_of(path: Path) -> Path:
    """Return the job file that a path means: itself, or `job.toml` in its folder.

    Raises:
        JobFileError: There is no such file or folder.
    """
    file = path / JOB_FILE if path.is_dir() else path
    if not file.exists():
        what = "there is no such file or folder"
        if path.is_dir():
            what = f"the folder has no {JOB_FILE}"
        hint = f"write a {JOB_FILE}, or make one with: readiness new FOLDER"
        raise JobFileError([Problem(str(path), None, "", what, hint=hint)])
    return file


def bytes_of(file: Path, kind: str = "job file") -> bytes:
    """Return the content of a file.

    Args:
        file: The file.
        kind: What a file of its sort is called in a problem.

    Raises:
        JobFileError: It can't be read, or is no file.
    """
    try:
        if file.stat().st_size > LARGEST_FILE_BYTES:
            wanted = f"at most {LARGEST_FILE_BYTES // 1_000_000} MB"
            what = f"the file is too large for a {kind}"
            raise JobFileError([Problem(str(file), None, "", what, wanted=wanted)])
        return file.read_bytes()
    except PermissionError:
        raise JobFileError(
            [Problem(str(file), None, "", "no permission to read it", hint="ask its owner")]
        ) from None
    except OSError as error:
        what = f"it can't be read ({error.strerror or error})"
        raise JobFileError([Problem(str(file), None, "", what)]) from None


LARGEST_FILE_BYTES = 5_000_000
"""A house takes 10 kB; a larger file is not a job file and is not read at all."""
