"""One open job: loads it, remembers what was worked out, asks questions of it.

Each step of the computation is remembered by the identity of its inputs, so a second question
about the same moment costs only the question.

Invariant: the machine's clock is read once per question and nowhere else.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from readiness.desk.circle_problems import circle_problems
from readiness.desk.files import bytes_of, job_file_of
from readiness.desk.past import Diary, amended_by, diary_of, told_by
from readiness.diary.stated import fold
from readiness.facts.loader import load_facts
from readiness.job.instants import instant_of, instant_of_local, moment_of
from readiness.job.loading import load_job_text
from readiness.job.problems import JobFileError, Problem
from readiness.schedule.frame import Frame, frame_of
from readiness.schedule.network import CircleError
from readiness.schedule.outlook import outlook_of
from readiness.site.calendars import public_holidays
from readiness.site.lay_out import lay_out
from readiness.telling.case import Case, case_of

if TYPE_CHECKING:
    from readiness.diary.history import Noted
    from readiness.job.job import Job
    from readiness.job.lines import Lines


@dataclass(frozen=True)
class Desk:
    """A job that has been read and laid out."""

    file: Path
    job: Job
    lines: Lines
    frame: Frame
    """The site as the job file has it."""
    diary: Diary = field(default_factory=Diary)
    stands_at: int | None = None
    """Where the clock of this desk stands, for scripts and tests; None follows the job's."""
    remarks: tuple[str, ...] = ()
    """What an answer rests on besides today's job file and the diary, in sentences."""
    _cases: dict[int, Case] = field(default_factory=dict, repr=False)
    _frames: list[tuple[Job, Frame]] = field(default_factory=list, repr=False)

    def clock(self) -> int:
        """Return the moment of a question: where the job's clock stands, else the machine's."""
        return self.own_clock() if self.stands_at is None else self.stands_at

    def own_clock(self) -> int:
        """Return where the job's clock stands, else the machine's, whatever is asked about."""
        if self.job.as_of is not None:
            return instant_of_local(self.job.as_of, self.zone)
        return instant_of(datetime.now(tz=self.zone))

    @property
    def zone(self) -> ZoneInfo:
        """Return the time zone of the site."""
        return ZoneInfo(self.job.site.time_zone)

    def working_day(self, day: date, count: int) -> date:
        """Return the working day of the job that comes so many after a day."""
        calendar = self.frame.site.calendars[self.frame.site.job_calendar]
        while count > 0:
            day += timedelta(days=1)
            count -= bool(calendar.spans_on(day))
        return day

    def at(self, moment: int) -> Desk:
        """Return the same desk with its clock standing at a moment."""
        return replace(self, stands_at=moment, _cases={})

    def case(self, as_of: int | None = None) -> Case:
        """Return the job at one moment, by default now."""
        moment = self.clock() if as_of is None else as_of
        if moment not in self._cases:
            notes = self.diary.notes(moment, self.zone)
            job = amended_by(self.job, notes)
            seen = told_by(fold(job, moment, self.lines.origin), job, notes)
            self._cases.clear()
            self._cases[moment] = case_of(outlook_of(self._frame_of(job), seen))
        return self._cases[moment]

    def kept_notes(self, as_of: int) -> tuple[Noted, ...]:
        """Return every entry that counts at a moment, those that no verdict reads too."""
        if self.diary.history is None:
            return ()
        return self.diary.history.until(moment_of(as_of, self.zone), for_gates=False)

    def _frame_of(self, job: Job) -> Frame:
        """Return the site of an amended job, laid out anew only if the amendments are others."""
        if job is self.job:
            return self.frame
        if not self._frames or self._frames[0][0] != job:
            self._frames[:] = [(job, laid_out(job, self.lines))]
        return self._frames[0][1]


def open_desk(path: Path) -> Desk:
    """Return the desk of the job in a file or folder.

    Raises:
        JobFileError: Anything is wrong with the file; all problems at once.
    """
    file = job_file_of(path)
    return desk_of(bytes_of(file), file)


def desk_of(content: bytes | str, file: Path) -> Desk:
    """Return the desk of a job whose text is at hand.

    Raises:
        JobFileError: Anything is wrong with it.
    """
    facts = load_facts()
    job, lines = load_job_text(content, file.name, facts)
    return Desk(file, job, lines, laid_out(job, lines), diary_of(file))


def laid_out(job: Job, lines: Lines) -> Frame:
    """Return a job laid out and compiled.

    Raises:
        JobFileError: Tasks wait for each other.
    """
    _check_holidays(job, lines)
    site = lay_out(job, load_facts(), lines.origin)
    try:
        return frame_of(site)
    except CircleError as error:
        raise JobFileError(circle_problems(site, error.circles)) from None


def _check_holidays(job: Job, lines: Lines) -> None:
    """Refuse a country or state whose public holidays nobody here knows.

    Raises:
        JobFileError: It is not known.
    """
    site = job.site
    if not site.holidays:
        return
    year = (job.as_of or datetime(2026, 1, 1)).year  # noqa: DTZ001  any year tells
    try:
        public_holidays(site.country, site.state, year)
    except NotImplementedError:
        try:
            public_holidays(site.country, "", year)
            key, read = "state", site.state
        except NotImplementedError:
            key, read = "country", site.country
        raise JobFileError(
            [
                Problem(
                    lines.file_name,
                    lines.of("site", key),
                    f"site.{key}",
                    f"{read!r} is not known for its public holidays",
                    read,
                    hint="write its two letters, or holidays = false and the closed days",
                )
            ]
        ) from None
