"""`readiness send`: a calendar for each trade, and one with everything for the contractor.

Invariant: with `--show`, or without a folder, nothing is written; else the diary is written first,
and then every file whole or none.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from readiness.cli.asking import opened
from readiness.cli.main import Exit
from readiness.cli.options import clock_option, job_argument, json_option, writer_option
from readiness.cli.writer import asked_writer

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readiness.desk.desk import Desk
    from readiness.diary.sent import SentState
    from readiness.questions.letters import Batch, LettersAnswer
    from readiness.telling.notices import Notice

MAILS = "mail"
"""Folder of the mails, in that of the calendars."""


@dataclass(frozen=True, slots=True)
class Asked:
    """The words of one call."""

    folder: Path | None
    writer: str | None
    as_text: bool
    since_last: bool
    every_move: bool
    take_over: bool
    mails: bool
    no_links: bool
    show: bool
    as_json: bool

    @property
    def writes(self) -> bool:
        """Say whether anything is written."""
        return self.folder is not None and not self.show


@click.command("send")
@job_argument
@click.option("--out", "folder", type=click.Path(path_type=Path), help="Folder for the files.")
@click.option("--text", "as_text", is_flag=True, help="Three lines per trade, to paste.")
@click.option("--since-last", is_flag=True, help="Tell what changed since the last sending.")
@click.option("--every-move", is_flag=True, help="Tell moves of less than half a day too.")
@click.option("--mail", "mails", is_flag=True, help="Write invitations as mails, ready to send.")
@click.option("--no-links", is_flag=True, help="Leave out which entry waits for which.")
@click.option("--take-over", is_flag=True, help="Send from here on in place of somebody else.")
@click.option("--show", is_flag=True, help="Print every entry and write nothing.")
@writer_option
@clock_option
@json_option
def command(job: Path, as_of: str | None, **words: Any) -> int:  # noqa: ANN401  the options, as Asked names them
    """Write a calendar for each trade and named rig, one for the owner, and one with everything.

    JOB is a job file or its folder. Only agreed and booked dates are sent, never forecast ones.
    With --text the texts are printed, and written beside the calendars where --out names a folder.

    What goes out is kept in the diary, so that an entry that moves later is known for the same one,
    and one that falls away is cancelled. One person sends for a job.

    With --mail a folder mail beside the calendars holds what is due for each trade with a mail
    address: one invitation or cancellation for each entry. Nothing is sent by itself.
    """
    asked = Asked(**words)
    if asked.folder is None and not (asked.show or asked.as_text or asked.since_last):
        message = "say where the files go: --out FOLDER, or --show to see them only"
        raise click.UsageError(message)
    desk = opened(job, as_of)
    answer = _sent(desk, asked) if asked.writes else _batch(desk, asked).answer
    click.echo(_told(desk, answer, asked), nl=False)
    return int(Exit.YES)


def _batch(desk: Desk, asked: Asked) -> Batch:
    from readiness.desk.mailing import addresses_of
    from readiness.desk.private import PrivateWords
    from readiness.desk.sending import state_of
    from readiness.questions.letters import batch

    state = state_of(desk, asked.folder)
    case = desk.case()
    found = batch(
        case,
        state,
        every_move=asked.every_move,
        links=not asked.no_links,
        addresses=addresses_of(desk) if asked.mails else None,
    )
    return replace(found, answer=PrivateWords(case, state).without(found.answer))


def _sent(desk: Desk, asked: Asked) -> LettersAnswer:
    """Send: nobody else in between, the diary first."""
    from readiness.desk.desk import open_desk
    from readiness.desk.sending import News, check_sender, keep, repeats, state_of, turn
    from readiness.desk.writing import refuse_foreign

    folder = asked.folder
    assert folder is not None  # noqa: S101  only then is anything written
    writer = asked_writer(asked.writer)
    with turn(desk):
        now = open_desk(desk.file)
        now = now if desk.stands_at is None else now.at(desk.stands_at)
        state = state_of(now, asked.folder)
        check_sender(now, writer, state, take_over=asked.take_over)
        batch = _batch(now, asked)
        files = calendars_of(batch.answer)
        if asked.as_text:
            files |= _texts(now)
        refuse_foreign(folder, files, ours=is_ours)
        found = _notices(now, batch, state, asked) if asked.mails else ()
        mails = _mails(now, batch.answer, found)
        refuse_foreign(folder / MAILS, mails, ours=is_ours)
        kept = [notice.kept() for notice in found]
        keep(now, News(batch.new, () if repeats(kept, state) else kept), state, writer)
        _write(folder, files)
        _write(folder / MAILS, mails)
    if asked.mails:
        click.echo(f"{_counted(len(mails))} in {folder / MAILS}; nothing was sent", err=True)
    return batch.answer


def _notices(desk: Desk, batch: Batch, state: SentState, asked: Asked) -> tuple[Notice, ...]:
    """Return the mails that are due; whoever has no address is told, a rig through its crew."""
    from readiness.desk.mailing import addresses_of
    from readiness.telling.notices import Post
    from readiness.telling.teller import RIG

    addresses = addresses_of(desk)
    for letter in batch.answer.letters[:-1]:
        if letter.who.id not in addresses and letter.who.trade != RIG:
            click.echo(f"no mail address: {letter.who.name} ({letter.file})", err=True)
    return batch.notices(state, Post(addresses, asked.every_move))


def _mails(desk: Desk, answer: LettersAnswer, found: Sequence[Notice]) -> dict[str, bytes]:
    from readiness.desk.mailing import organizer_of
    from readiness.exchange.mail_file import mail_bytes, mail_name

    if not found:
        return {}
    organizer = organizer_of(desk)
    who = {letter.who.id: letter.who for letter in answer.letters}
    return {
        mail_name(notice): mail_bytes(notice, who[notice.to], organizer, answer) for notice in found
    }


def _counted(count: int) -> str:
    return "1 mail is" if count == 1 else f"{count} mails are"


def _told(desk: Desk, answer: LettersAnswer, asked: Asked) -> str:
    from readiness.pages.as_json import answer_json

    if asked.as_text and not asked.since_last:
        from readiness.desk.private import PrivateWords
        from readiness.pages.texts_text import texts_text
        from readiness.questions.texts import texts

        case = desk.case()
        told = PrivateWords(case).without(texts(case))
        return answer_json(told) if asked.as_json else texts_text(told)
    if asked.as_json:
        return answer_json(answer)
    from readiness.pages.letters_text import changes_text, letters_text

    if asked.since_last:
        return changes_text(answer)
    written = str(asked.folder) if asked.writes and answer.letters else ""
    return letters_text(answer, written, show=asked.show)


def calendars_of(answer: LettersAnswer) -> dict[str, bytes]:
    """Return the calendars as files; one that some calendars can't take whole is told."""
    from readiness.exchange.calendar_file import LARGEST_FILE_BYTES, calendar_bytes

    files = {letter.file: calendar_bytes(letter, answer) for letter in answer.letters}
    for name, content in files.items():
        if len(content) > LARGEST_FILE_BYTES:
            click.echo(f"{name} is large; some calendars drop a part of it", err=True)
    return files


def _texts(desk: Desk) -> dict[str, bytes]:
    from readiness.desk.private import PrivateWords
    from readiness.pages.texts_text import text_files
    from readiness.questions.texts import texts

    case = desk.case()
    return text_files(PrivateWords(case).without(texts(case)))


def _write(folder: Path, files: dict[str, bytes]) -> None:
    """Write the files, and tell which ones of ours now say something old."""
    from readiness.desk.writing import write_files

    if not files:
        return
    older = write_files(folder, files, ours=is_ours)
    for name in older if folder.name != MAILS else ():
        click.echo(f"{folder / name} is older: it has no entry now; take it back", err=True)


def is_ours(head: bytes) -> bool:
    """Say by its beginning whether a file was written here."""
    from readiness.exchange import calendar_file, mail_file
    from readiness.pages import texts_text

    return any(kind.is_ours(head) for kind in (calendar_file, texts_text, mail_file))
