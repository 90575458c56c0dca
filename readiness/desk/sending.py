"""Sends calendars: one sender at a time, the diary first, then the files.

A number that stood in a file but not in the diary would be given out twice; so the diary is written
first, and a crash before the files is repaired by sending again.

Invariant: what the files say is what the diary holds, and nobody else sends in between.
"""

from __future__ import annotations

import fcntl
import os
from contextlib import contextmanager, suppress
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from readiness.desk.drafting import Draft
from readiness.desk.files import DIARY_FOLDER
from readiness.desk.statement import Statement
from readiness.diary.sent import SentState, sent_state
from readiness.exchange.calendar_file import is_ours
from readiness.exchange.own_calendars import sent_in
from readiness.job.problems import JobFileError, Problem

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

    from readiness.desk.desk import Desk
    from readiness.desk.statement import Writer
    from readiness.diary.sending_entries import MailedNotice, SentEntry

LOCK_FILE = ".sending"
LARGEST_CALENDAR_BYTES = 5_000_000


@dataclass(frozen=True, slots=True)
class News:
    """What the diary has to hold before the files are written."""

    entries: Sequence[SentEntry] = ()
    mails: Sequence[MailedNotice] = ()


@contextmanager
def turn(desk: Desk) -> Iterator[None]:
    """Keep everybody else on this machine from sending for a job.

    Raises:
        JobFileError: Somebody else is sending for it right now, or the folder can't be written.
    """
    file = desk.file.parent / DIARY_FOLDER / LOCK_FILE
    made = not file.parent.exists()
    try:
        file.parent.mkdir(exist_ok=True)
        handle = os.open(file, os.O_RDWR | os.O_CREAT, 0o644)
    except OSError as error:
        raise _problem(file, error.strerror or str(error)) from None
    try:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            what = "somebody is sending for this job right now"
            raise _problem(file, what, "try again in a moment") from None
        yield
    finally:
        os.close(handle)
        if made and [path.name for path in file.parent.iterdir()] == [LOCK_FILE]:
            with suppress(OSError):
                file.unlink()
                file.parent.rmdir()


def state_of(desk: Desk, folder: Path | None = None) -> SentState:
    """Return what people have by now: by the diary, and by our own files where it knows less."""
    state = sent_state(desk.diary.history)
    if folder is None:
        return state
    entries = dict(state.entries)
    for each in _in_files(folder):
        known = entries.get(each.uid)
        if known is None or (each.sequence, each.stamp) > (known.sequence, known.stamp):
            whole = each if known is None else each.model_copy(update=_named_as(known))
            entries[each.uid] = whole
    return replace(state, entries=entries)


def _named_as(known: SentEntry) -> dict[str, Any]:
    return {"to": known.to, "item": known.item, "of": known.of, "short": known.short}


def _in_files(folder: Path) -> Iterator[SentEntry]:
    with suppress(OSError):
        for path in sorted(folder.glob("*.ics")):
            with suppress(OSError):
                if path.is_symlink() or path.stat().st_size > LARGEST_CALENDAR_BYTES:
                    continue
                content = path.read_bytes()
                if is_ours(content):
                    yield from sent_in(content, path.stem)


def check_sender(desk: Desk, writer: Writer, state: SentState, *, take_over: bool) -> None:
    """Refuse a second sender: two numbers for one change would cross in eight calendars.

    Raises:
        JobFileError: Somebody else sends for this job.
    """
    if take_over or state.sender in {"", writer.file_name}:
        return
    what = f"{state.sender_name} sends the calendars of this job"
    hint = "ask them to send, or take it over with --take-over; nothing was written"
    raise JobFileError([Problem(str(desk.file), None, "", what, hint=hint)])


def keep(desk: Desk, news: News, state: SentState, writer: Writer) -> None:
    """Write into the diary what is new, if anything is.

    Raises:
        JobFileError: The diary can't be written.
    """
    took_over = state.sender_name if state.sender not in {"", writer.file_name} else ""
    if not (news.entries or news.mails or took_over):
        return
    fields: dict[str, Any] = {
        "kind": "sent",
        "entries": [each.model_dump(mode="json") for each in news.entries],
        "mails": [each.model_dump(mode="json") for each in news.mails],
        "took_over": took_over,
    }
    draft = Draft(desk, writer)
    draft.add(Statement(fields, writer))
    draft.write()


def repeats(mails: Sequence[MailedNotice], state: SentState) -> bool:
    """Say whether mails are the very ones that the last sending wrote."""
    last = {(mail.uid, mail.version, mail.address) for mail in state.last_mails}
    return all((mail.uid, mail.version, mail.address) in last for mail in mails)


def _problem(file: Path, what: str, hint: str = "nothing was written") -> JobFileError:
    return JobFileError([Problem(str(file), None, "", what, hint=hint)])
