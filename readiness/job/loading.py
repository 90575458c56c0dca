"""From the text of a job file to a job that can be laid out, and where each line of it stands.

Invariant: a job handed out here has passed every check of the file.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.job.problems import JobFileError
from readiness.job.reading import read_job_with_lines
from readiness.job.references import check_references

if TYPE_CHECKING:
    from readiness.facts.rows import Facts
    from readiness.job.job import Job
    from readiness.job.lines import Lines


def load_job_text(text: str | bytes, file_name: str, facts: Facts) -> tuple[Job, Lines]:
    """Return the job of a file and the lines of its keys.

    Raises:
        JobFileError: The file can't be used; it holds every problem.
    """
    job, lines = read_job_with_lines(text, file_name)
    problems = check_references(job, facts, lines)
    if problems:
        raise JobFileError(problems)
    return job, lines
