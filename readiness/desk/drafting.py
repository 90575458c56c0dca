"""Entries that are checked first, each after the ones before it, and then written together.

Invariant: either all entries of a draft are written or none; the job file is kept beside them
whenever its content is new.
"""

from __future__ import annotations

import hashlib
from dataclasses import replace
from datetime import UTC, date, datetime
from itertools import count
from typing import TYPE_CHECKING, Any

from readiness.desk.correcting import corrected_by
from readiness.desk.desk import Desk, open_desk
from readiness.desk.diary_files import DiaryWriteError, append
from readiness.desk.files import DIARY_FOLDER, bytes_of
from readiness.desk.past import Diary
from readiness.desk.permission import CHECKED, check_may_say
from readiness.desk.statement import Noted, Statement, Writer
from readiness.diary.history import Line, history_of
from readiness.exchange.diary_lines import EntryError, entry_of
from readiness.exchange.note_listener import NoteRefused
from readiness.job.instants import moment_of
from readiness.job.problems import JobFileError, Problem

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from readiness.diary.entries import AnyEntry


class Draft:
    """Entries that are checked one after another and then written together.

    Each is checked against the job as the ones before it leave it, so a message may tell of a
    whole day up to the release.
    """

    def __init__(self, desk: Desk, writer: Writer, via: str = "") -> None:
        """Begin with nothing to write."""
        self._desk = desk
        self._writer = writer
        self._via = via
        self._entries: list[dict[str, Any]] = []
        self._after = desk
        self._told = 0

    def __len__(self) -> int:
        return len(self._entries)

    @property
    def desk(self) -> Desk:
        """Return the job as the entries so far leave it, though none is written."""
        if self._told < len(self._entries):
            self._after = _with_entries(self._desk, self._writer, self._entries)
            self._told = len(self._entries)
        return self._after

    @property
    def entries(self) -> tuple[AnyEntry, ...]:
        """Return the entries so far; none is written, so none has its number yet."""
        return tuple(entry_of(each) for each in self._entries)

    def add(self, statement: Statement) -> bool:
        """Check a statement and keep it; say whether it is new to the diary.

        Raises:
            NoteRefused: Its author may not say it, or something is missing first.
        """
        now = moment_of(self._desk.clock(), self._desk.zone)
        at = statement.seen if statement.seen is not None else now.replace(tzinfo=None)
        author = statement.author
        entry = {
            "how": statement.how or ("said" if self._via else "seen"),
            **statement.fields,
            **_signed(author, at, now),
            "via": self._via,
        }
        if statement.replaces:
            name, seen = corrected_by(self._desk, self._writer, author, statement.replaces)
            entry["replaces"] = name
            if statement.seen is None:
                entry["seen"], at = seen, datetime.fromisoformat(seen)
        try:
            whole = entry_of(entry)
        except EntryError as error:
            raise NoteRefused(str(error)) from None
        if statement.seen is not None and _stands_already(self.desk, whole):
            return False
        if entry["kind"] in CHECKED:
            check_may_say(self.desk, entry, author, at)
        self._entries.append(entry)
        return True

    def write(self) -> Noted:
        """Write the entries, all of them or none.

        Raises:
            JobFileError: The diary can't be written.
        """
        desk = self._desk
        now = moment_of(desk.clock(), desk.zone)
        signed = _signed(self._writer, now.replace(tzinfo=None), now)
        file = desk.file.parent / DIARY_FOLDER / f"{self._writer.file_name}.jsonl"
        try:
            written = append(file, [*_job_text(desk, signed), *self._entries])
        except DiaryWriteError as error:
            hint = "nothing was written"
            raise JobFileError([Problem(str(error.file), None, "", error.why, hint=hint)]) from None
        after = open_desk(desk.file)
        return Noted(
            written[len(written) - len(self._entries) :],
            after if desk.stands_at is None else after.at(desk.stands_at),
        )


def _signed(author: Writer, at: date | datetime, now: datetime) -> dict[str, Any]:
    """Return what every entry says of its author and of its moments."""
    return {
        "seen": at.isoformat(),
        "written": now.astimezone(UTC).isoformat().replace("+00:00", "Z"),
        "by": author.name,
        "role": author.role.value if author.role else None,
        "trade": author.trade,
    }


_OF_THE_COPY = ("writer", "number", "written", "via", "replaces")
"""What differs between two copies of one statement."""


def _stands_already(desk: Desk, entry: AnyEntry) -> bool:
    """Say whether the same person has stated the same of the same moment already.

    A site card hands over all its lines every time, so most of them are no news.
    """
    history = desk.diary.history
    if history is None:
        return False
    mine = _statement_in(entry.model_dump(mode="json", by_alias=True))
    return any(
        line.data["seen"] == mine["seen"]
        and line.data["by"] == mine["by"]
        and line.data["kind"] == mine["kind"]
        and _statement_in(line.data) == mine
        for line in history.lines
    )


def _statement_in(data: Mapping[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in data.items() if key not in _OF_THE_COPY}


def _with_entries(desk: Desk, writer: Writer, entries: Iterable[dict[str, Any]]) -> Desk:
    """Return the desk as if the entries stood in the diary already."""
    known = desk.diary.history.lines if desk.diary.history is not None else ()
    numbers = count(1 + max((int(line.data["number"]) for line in known), default=0))
    new = []
    for number, entry in zip(numbers, entries, strict=False):
        whole = entry_of({**entry, "writer": writer.file_name, "number": number})
        new.append(Line(whole.model_dump(mode="json", by_alias=True), "message", number))
    history, _ = history_of((*known, *new))
    return replace(desk, diary=Diary(history, desk.diary.problems), _cases={})


def _job_text(desk: Desk, common: dict[str, Any]) -> list[dict[str, Any]]:
    """Return the entry that keeps the job file, if its content is new to the diary."""
    content = bytes_of(desk.file)
    digest = hashlib.sha256(content).hexdigest()
    history = desk.diary.history
    known = history.lines if history is not None else ()
    last = next((line for line in reversed(known) if line.data["kind"] == "job-file"), None)
    if last is not None and last.data.get("sha256") == digest:
        return []
    text = content.decode("utf-8-sig", "replace")
    return [{**common, "kind": "job-file", "text": text, "sha256": digest, "how": "recorded"}]
