"""The job as it was at a past moment, and what is doubtful about its diary.

Invariant: a past moment is answered from the job file that was kept by then; where none was, the
answer says that it rests on today's.
"""

from __future__ import annotations

import hashlib
from dataclasses import replace
from typing import TYPE_CHECKING

from readiness.desk.desk import Desk, laid_out
from readiness.desk.files import bytes_of
from readiness.facts.loader import load_facts
from readiness.job.instants import instant_of, moment_of
from readiness.job.loading import load_job_text
from readiness.job.problems import JobFileError, Problem, did_you_mean
from readiness.pages.moments import told

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readiness.diary.history import History
    from readiness.diary.line import Line


def looking_back(desk: Desk, moment: int) -> Desk:
    """Return the desk with its clock at a moment, and the job file that was kept by then.

    Neither now nor later is a look back: then today's file stands. Nor is anything of a job
    without a diary, of which there has never been another file that we know of.
    """
    back = desk.at(moment)
    history = desk.diary.history
    last = _last_written(history)
    if history is None or last is None or moment >= max(desk.clock(), last):
        return back
    kept = history.job_text(moment_of(moment, desk.zone))
    if kept is None:
        at = told(moment_of(moment, desk.zone))
        return replace(back, remarks=(f"no job file was kept by {at}: today's is used",))
    if kept.data.get("sha256") == hashlib.sha256(bytes_of(desk.file)).hexdigest():
        return back
    try:
        return with_job_text(back, kept)
    except LookBackError:
        at = f"{kept.file}:{kept.line}"
        remark = f"{at}: the job file kept there can't be used: today's is"
        return replace(back, remarks=(remark,))


class LookBackError(Exception):
    """A job file that was kept can't be used."""


def with_job_text(desk: Desk, kept: Line) -> Desk:
    """Return the desk with the job file that an entry has kept.

    Raises:
        LookBackError: It can't be used.
    """
    name = f"{kept.data['writer']}#{kept.data['number']}"
    try:
        text = str(kept.data["text"])
        job, lines = load_job_text(text, f"{desk.file.name} kept in {name}", load_facts())
        frame = laid_out(job, lines)
    except (JobFileError, KeyError) as error:
        raise LookBackError(name) from error
    remark = f"the job file was another one then: it is read from entry {name}"
    return replace(
        desk, job=job, lines=lines, frame=frame, remarks=(remark,), _cases={}, _frames=[]
    )


def doubts(desk: Desk) -> tuple[str, ...]:
    """Return what is doubtful about an answer of this desk, each in one line."""
    problems = desk.diary.all_problems(desk.clock(), desk.zone)
    lost = _of_no_surface(desk)
    return (*desk.remarks, *(str(problem) for problem in (*problems, *lost, *_ahead(desk))))


def _of_no_surface(desk: Desk) -> Iterator[Problem]:
    """Yield the depth readings of surfaces that the job does not have; they count for nothing."""
    for noted in desk.diary.notes(desk.clock(), desk.zone):
        surface = getattr(noted.entry, "surface", None) if noted.entry.kind == "depth" else None
        if surface is not None and surface not in desk.job.surfaces:
            what = "is no surface of this job, so these readings count for nothing"
            near = did_you_mean(surface, desk.job.surfaces)
            yield Problem(
                noted.origin.source, noted.origin.line, "surface", what, surface, hint=near
            )


def _ahead(desk: Desk) -> Iterator[Problem]:
    """Yield the first entry of each file that was written later than the clock here stands.

    Where a script moves the clock of a job that stands still, nothing can be told.
    """
    history = desk.diary.history
    last = _last_written(history)
    scripted = desk.stands_at is not None and desk.job.as_of is not None
    if history is None or last is None or scripted:
        return
    now = desk.own_clock()
    if last <= now:
        return
    first: dict[str, Problem] = {}
    for line in history.lines:
        written = _instant(str(line.data["written"]))
        if written > now and line.file not in first:
            at = told(moment_of(written, desk.zone))
            what = f"it was written {at}, later than the clock here stands; left out until then"
            hint = "set both clocks right"
            first[line.file] = Problem(line.file, line.line, "", what, hint=hint)
    yield from first.values()


def _last_written(history: History | None) -> int | None:
    if history is None or not history.last_written:
        return None
    return _instant(history.last_written + "+00:00")


def _instant(written: str) -> int:
    from datetime import datetime

    return instant_of(datetime.fromisoformat(written))
