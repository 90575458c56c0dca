"""The diary on disk: one file of JSON lines per writer, appended and never rewritten.

Two copies of a folder that are synced later never conflict, because each writer has a file of
their own; a crash leaves at most half a last line, which the next append closes off.

Invariant: an entry that was acknowledged is in the file, whole, whatever happens next; a line that
can't be read hides no other.
"""

from __future__ import annotations

import fcntl
import gc
import os
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

from readiness.diary.entries import ENTRY, AnyEntry
from readiness.diary.history import History, Line, history_of
from readiness.exchange.diary_lines import lines_of, number_of, text_of
from readiness.job.problems import Problem

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

SUFFIX = ".jsonl"


class DiaryWriteError(Exception):
    """An entry could not be written; nothing of it counts."""

    def __init__(self, file: Path, why: str) -> None:
        """Keep the file apart from the reason."""
        self.file = file
        self.why = why
        super().__init__(f"{file}: {why}")


def append(file: Path, entries: Iterable[Mapping[str, Any]]) -> tuple[AnyEntry, ...]:
    """Write entries behind the last one of a writer's file and return them with their numbers.

    The file is locked, so that several programs of one writer number their entries without gaps;
    all entries of one call are written or none counts.

    Args:
        file: The writer's file; made if there is none, with its folder.
        entries: Their fields but `number` and `writer`.

    Raises:
        DiaryWriteError: The disk is full, or the file may not be written.
    """
    try:
        descriptor, is_new = _opened(file)
    except OSError as error:
        raise DiaryWriteError(file, error.strerror or str(error)) from None
    try:
        fcntl.flock(descriptor, fcntl.LOCK_EX)
        written = _append_locked(descriptor, file, entries)
        if is_new:
            _sync_folder(file.parent)
    except OSError as error:
        raise DiaryWriteError(file, error.strerror or str(error)) from None
    finally:
        os.close(descriptor)
    return written


def _opened(file: Path) -> tuple[int, bool]:
    """Return the open file of a writer, and whether it had to be made."""
    try:
        return os.open(file, os.O_RDWR | os.O_APPEND), False
    except FileNotFoundError:
        file.parent.mkdir(parents=True, exist_ok=True)
        return os.open(file, os.O_RDWR | os.O_CREAT | os.O_APPEND, 0o644), True


def _append_locked(
    descriptor: int, file: Path, entries: Iterable[Mapping[str, Any]]
) -> tuple[AnyEntry, ...]:
    """Write behind the end, and take it back if the disk takes only part of it."""
    size = os.lseek(descriptor, 0, os.SEEK_END)
    number = _last_number(descriptor, size)
    numbered = []
    for entry in entries:
        number += 1
        numbered.append(
            ENTRY.validate_python({**entry, "writer": file.stem, "number": number}, by_alias=True)
        )
    text = text_of(numbered)
    if size and os.pread(descriptor, 1, size - 1) != b"\n":
        text = b"\n" + text
    view = memoryview(text)
    try:
        while view:
            view = view[os.write(descriptor, view) :]
        os.fsync(descriptor)
    except OSError:
        os.ftruncate(descriptor, size)
        raise
    return tuple(numbered)


def _last_number(descriptor: int, size: int) -> int:
    """Return the highest number that a readable line near the end carries."""
    reach = 1 << 12
    while size:
        start = max(0, size - reach)
        lines = os.pread(descriptor, size - start, start).split(b"\n")
        if start:
            lines = lines[1:]
        for line in reversed(lines):
            number = number_of(line)
            if number is not None:
                return number
        if not start:
            return 0
        reach *= 4
    return 0


def _sync_folder(folder: Path) -> None:
    """Make sure that a new file's name is on disk too."""
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def read_diary(folder: Path) -> tuple[History, tuple[Problem, ...]]:
    """Return the whole diary of a folder, and what is wrong with single lines.

    Extra copies that a sync program has made are read too; the same entry counts once.
    """
    with _no_collection():
        return _read_all(folder)


@contextmanager
def _no_collection() -> Iterator[None]:
    """Look for garbage later: a long diary is all new and none of it garbage.

    Looking through it again and again while it grows takes a third of the time of reading it.
    """
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def _read_all(folder: Path) -> tuple[History, tuple[Problem, ...]]:
    lines: list[Line] = []
    problems: list[Problem] = []
    for file in sorted(folder.glob(f"*{SUFFIX}")):
        name = f"{file.parent.name}/{file.name}"
        try:
            content = file.read_bytes()
        except OSError as error:
            problems.append(Problem(name, None, "", f"can't be read ({error.strerror or error})"))
            continue
        found, wrong = lines_of(content, name)
        lines += found
        problems += wrong
    history, doubtful = history_of(lines)
    return history, (*problems, *doubtful)
