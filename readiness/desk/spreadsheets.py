"""Writes the dates of a job as a spreadsheet, and hears one that came back.

Invariant: a spreadsheet that came back is shown as what it would change, and writes all of it, on a
yes, or nothing.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from io import BytesIO
from typing import TYPE_CHECKING

from readiness.desk.drafting import Draft
from readiness.desk.looking_back import LookBackError, with_job_text
from readiness.desk.noting import listener_of, when_said
from readiness.desk.past import Diary
from readiness.desk.statement import Statement, Writer, writer_of
from readiness.desk.time_limit import time_limit
from readiness.diary.history import history_of
from readiness.exchange.csv_grid import csv_bytes, csv_grid
from readiness.exchange.grid import GridError
from readiness.exchange.note_listener import NoteRefused
from readiness.exchange.spreadsheet_changes import Compared, Comparing, compared
from readiness.exchange.spreadsheet_reading import missing_from, read_grid, row_problem
from readiness.exchange.spreadsheet_rows import (
    COLUMNS,
    Row,
    Stamp,
    job_mark,
    spreadsheet_rows,
    stamp_text,
    state_of_rows,
)
from readiness.exchange.xlsx_grid import write_xlsx, xlsx_grid
from readiness.job.instants import instant_of_local, moment_of
from readiness.job.problems import JobFileError, Problem
from readiness.pages.moments import told
from readiness.questions.dates import dates
from readiness.questions.sequence import sequence

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from readiness.desk.desk import Desk
    from readiness.exchange.spreadsheet_reading import Reading

BY_SPREADSHEET = "by spreadsheet"
CSV, XLSX = ".csv", ".xlsx"
ARCHIVE_HEAD = b"PK"
LONGEST_READING_SECONDS = 30
MOST_JOB_FILES = 20
"""Kept job files that are tried for the one that a spreadsheet was written from."""


@dataclass(frozen=True, slots=True)
class HeardSpreadsheet:
    """A spreadsheet that was heard whole, and is not written yet."""

    compared: Compared
    draft: Draft
    remarks: tuple[str, ...]


def spreadsheet_of(desk: Desk, ending: str) -> tuple[bytes, int]:
    """Return the dates of a job as a file of this ending, and how many rows it has.

    Raises:
        JobFileError: A library is not installed.
    """
    rows = rows_of(desk)
    foot = stamp_text(desk.job.name, _stamp(desk, rows))
    lines = [tuple(row.cells[column] for column in COLUMNS) for row in rows]
    if ending == CSV:
        return csv_bytes([COLUMNS, *lines, (foot, *[""] * (len(COLUMNS) - 1))]), len(rows)
    file = BytesIO()
    try:
        write_xlsx(COLUMNS, lines, foot, file)
    except GridError as error:
        raise JobFileError([Problem(XLSX, None, "", error.what, hint=error.hint)]) from None
    return file.getvalue(), len(rows)


def rows_of(desk: Desk) -> tuple[Row, ...]:
    """Return the rows of a job as it is known at the desk's clock."""
    case = desk.case()
    return spreadsheet_rows(dates(case), sequence(case))


def _stamp(desk: Desk, rows: tuple[Row, ...]) -> Stamp:
    history = desk.diary.history
    after: dict[str, int] = {}
    for line in history.lines if history is not None else ():
        writer = str(line.data["writer"])
        after[writer] = max(after.get(writer, 0), int(line.data["number"]))
    at = moment_of(desk.clock(), desk.zone).replace(tzinfo=None)
    return Stamp(at, job_mark(desk.job.key), after, state_of_rows(rows))


def heard_spreadsheet(
    desk: Desk, file: tuple[str, bytes], who: tuple[Writer, Writer], how: str = ""
) -> HeardSpreadsheet:
    """Return what a spreadsheet that came back would change.

    Args:
        desk: The open job.
        file: What problems call the file, and what it holds.
        who: Whose word it is where no cell says so, and in whose file of the diary it will stand.
        how: How it is known; else it was said.

    Raises:
        JobFileError: It can't be read, or rows of it can't be taken; all problems at once.
    """
    name, content = file
    now = {row.about.id: row for row in rows_of(desk)}
    with time_limit(name, LONGEST_READING_SECONDS):
        reading = _reading(name, content, now)
    then, remarks = _written_then(desk, name, reading, now)
    comparing = Comparing(
        file=name,
        now=now,
        then=then,
        listener=listener_of(desk),
        read_words=lambda text: when_said(desk, text),
        clock=moment_of(desk.clock(), desk.zone),
    )
    found = compared(reading, comparing)
    problems = list(found.problems)
    draft = _drafted(Draft(desk, who[1], BY_SPREADSHEET), found, (who[0], how), (name, problems))
    if problems:
        raise JobFileError(problems)
    missing = missing_from(reading, now)
    if missing:
        count = "1 row is" if len(missing) == 1 else f"{len(missing)} rows are"
        remarks = (*remarks, f"{count} not in it, and stay as they are")
    return HeardSpreadsheet(found, draft, (*remarks, *found.remarks))


def _reading(name: str, content: bytes, now: Mapping[str, Row]) -> Reading:
    try:
        if content.startswith(ARCHIVE_HEAD) or name.casefold().endswith(XLSX):
            grid = xlsx_grid(BytesIO(content), frozenset(COLUMNS))
        else:
            grid = csv_grid(content)
    except GridError as error:
        raise JobFileError([Problem(name, None, "", error.what, hint=error.hint)]) from None
    return read_grid(grid, name, now)


def _drafted(
    draft: Draft, found: Compared, said: tuple[Writer, str], told_to: tuple[str, list[Problem]]
) -> Draft:
    """Return the draft with the entries in it; what may not be written is told by row."""
    author, how = said
    name, problems = told_to
    for change in found.changes:
        try:
            says = writer_of(change.author) if change.author else author
            for fields in change.entries:
                seen = change.seen if fields["kind"] not in {"dated", "confirmed"} else None
                draft.add(Statement(dict(fields), says, seen, how))
        except NoteRefused as error:
            problems.append(row_problem(name, change.row, "", error.what, error.hint))
    return draft


def _written_then(
    desk: Desk, name: str, reading: Reading, now: Mapping[str, Row]
) -> tuple[Mapping[str, Row], tuple[str, ...]]:
    """Return what the job said when a spreadsheet was written, and what is to be told of it.

    Raises:
        JobFileError: It is of another job, or nobody knows any more what the job said then.
    """
    stamp = reading.stamp
    if stamp is None:
        return now, ("its last row is gone, so it is held against the job as it is now",)
    if stamp.job != job_mark(desk.job.key):
        hint = "its last row names the job"
        raise JobFileError([Problem(name, None, "", "it is of another job", hint=hint)])
    if stamp.state == state_of_rows(now.values()):
        return now, ()
    at = told(stamp.at.replace(tzinfo=desk.zone))
    for then in _desks_then(desk, stamp):
        rows = rows_of(then)
        if state_of_rows(rows) == stamp.state:
            remark = f"it is of {at}, and the job has moved on since: only what it changes counts"
            return {row.about.id: row for row in rows}, (remark,)
    what = f"it is of {at}, and nobody knows any more what the job said then"
    hint = "write a new one and carry the changes over"
    raise JobFileError([Problem(name, None, "", what, hint=hint)])


def _desks_then(desk: Desk, stamp: Stamp) -> Iterator[Desk]:
    """Yield the desk as it may have been when a spreadsheet was written, likeliest first."""
    moment = instant_of_local(stamp.at, desk.zone)
    history = desk.diary.history
    lines = history.lines if history is not None else ()
    known = [
        line
        for line in lines
        if int(line.data["number"]) <= stamp.after.get(str(line.data["writer"]), 0)
    ]
    diary = Diary(history_of(known)[0] if known else None)
    then = replace(desk, diary=diary, stands_at=moment, _cases={})
    yield then
    kept = [line for line in lines if line.data["kind"] == "job-file"]
    for line in reversed(kept[-MOST_JOB_FILES:]):
        try:
            yield with_job_text(then, line)
        except LookBackError:
            continue
