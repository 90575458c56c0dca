"""The diary beside a job, and what job and site it leaves at a moment.

Invariant: without a diary nothing of it is even imported, and the job stays the very same object.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from readiness.desk.files import DIARY_FOLDER
from readiness.job.instants import moment_of
from readiness.job.problems import Problem

if TYPE_CHECKING:
    from pathlib import Path
    from zoneinfo import ZoneInfo

    from readiness.diary.history import History, Noted
    from readiness.diary.seen import Seen
    from readiness.job.job import Job


@dataclass(frozen=True, slots=True)
class Diary:
    """What stands in the diary folder of a job."""

    history: History | None = None
    """None if there is no diary."""
    problems: tuple[Problem, ...] = ()
    """Lines that could not be read; they hide no other."""
    _known: dict[int, tuple[tuple[Noted, ...], tuple[Problem, ...]]] = field(
        default_factory=dict, repr=False
    )

    def notes(self, as_of: int, zone: ZoneInfo) -> tuple[Noted, ...]:
        """Return the entries that count at a moment, oldest first."""
        return self._read(as_of, zone)[0]

    def all_problems(self, as_of: int, zone: ZoneInfo) -> tuple[Problem, ...]:
        """Return what is wrong with the diary as far as a question about a moment reads it."""
        return (*self.problems, *self._read(as_of, zone)[1])

    def _read(self, as_of: int, zone: ZoneInfo) -> tuple[tuple[Noted, ...], tuple[Problem, ...]]:
        if self.history is None:
            return (), ()
        if as_of not in self._known:
            self._known.clear()
            self._known[as_of] = self.history.read_until(moment_of(as_of, zone))
        return self._known[as_of]


def diary_of(job_file: Path) -> Diary:
    """Return the diary beside a job file."""
    folder = job_file.parent / DIARY_FOLDER
    try:
        names = [path.name for path in folder.iterdir()] if folder.is_dir() else []
    except OSError as error:
        what = f"the diary can't be read ({error.strerror or error})"
        return Diary(problems=(Problem(str(folder), None, "", what),))
    if not any(name.endswith(".jsonl") for name in names):
        return Diary()
    from readiness.desk.diary_files import read_diary

    history, problems = read_diary(folder)
    return Diary(history, problems)


def amended_by(job: Job, notes: tuple[Noted, ...]) -> Job:
    """Return the job with its structure as the entries left it."""
    if not notes:
        return job
    from readiness.diary.amended import amended

    return amended(job, notes)


def told_by(seen: Seen, job: Job, notes: tuple[Noted, ...]) -> Seen:
    """Return what is known once the entries are folded onto what the job file states."""
    if not notes:
        return seen
    from readiness.diary.told import told_on

    return told_on(seen, job, notes)
