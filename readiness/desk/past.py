"""The diary beside a job, and what job and site it leaves at a moment.

Invariant: without a diary nothing of it is even imported, and the job stays the very same object.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from readiness.desk.files import DIARY_FOLDER
from readiness.job.instants import moment_of

if TYPE_CHECKING:
    from pathlib import Path
    from zoneinfo import ZoneInfo

    from readiness.diary.history import History, Noted
    from readiness.diary.seen import Seen
    from readiness.job.job import Job
    from readiness.job.problems import Problem


@dataclass(frozen=True, slots=True)
class Diary:
    """What stands in the diary folder of a job."""

    history: History | None = None
    """None if there is no diary."""
    problems: tuple[Problem, ...] = ()
    """Lines that could not be read; they hide no other."""
    _notes: dict[int, tuple[Noted, ...]] = field(default_factory=dict, repr=False)

    def notes(self, as_of: int, zone: ZoneInfo) -> tuple[Noted, ...]:
        """Return the entries that count at a moment, oldest first."""
        if self.history is None:
            return ()
        if as_of not in self._notes:
            self._notes.clear()
            self._notes[as_of] = self.history.until(moment_of(as_of, zone))
        return self._notes[as_of]


def diary_of(job_file: Path) -> Diary:
    """Return the diary beside a job file."""
    folder = job_file.parent / DIARY_FOLDER
    if not folder.is_dir() or not any(folder.glob("*.jsonl")):
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
