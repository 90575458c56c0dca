"""`readiness receive`: takes messages of lines in the forms of `note`.

Invariant: what was understood is shown before it is written, nothing is written without a yes, and
of each file all is written or nothing.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from readiness.cli.asking import opened
from readiness.cli.main import Exit
from readiness.cli.options import clock_option, job_argument, writer_option
from readiness.cli.writer import asked_writer
from readiness.facts.vocabulary import Rung

if TYPE_CHECKING:
    from readiness.desk.desk import Desk
    from readiness.desk.receiving import Heard, Received
    from readiness.desk.statement import Writer

STANDARD_INPUT = "-"
LONGEST_SHOWN = 160


@click.command("receive")
@job_argument
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path, allow_dash=True))
@click.option("--from", "sender", metavar='"NAME, ROLE"', help="Whose message it is.")
@click.option(
    "--how", type=click.Choice([rung.value for rung in Rung]), help="How it is known; else said."
)
@click.option("--show", is_flag=True, help="Show what is understood and write nothing.")
@click.option("--yes", is_flag=True, help="Write without asking.")
@writer_option
@clock_option
def command(  # noqa: PLR0913, PLR0917  one parameter per option
    job: Path,
    files: tuple[Path, ...],
    sender: str | None,
    how: str | None,
    writer: str | None,
    as_of: str | None,
    *,
    show: bool,
    yes: bool,
) -> int:
    """Take messages of lines in the forms of `note`, after showing what was understood.

    FILES are texts, calendars (.ics), mails with one (.eml) or spreadsheets of `spreadsheet`
    (.csv, .xlsx); - is standard input. A line that is not understood is kept as a remark, to ask
    back. A line that may not be said, or a row that can't be taken, keeps its whole file out.

    Of a calendar the replies to our invitations are taken, and busy times become days off of the
    trade that --from names; what would change is shown first, and nothing is moved by it.

    Exit code 3: a file was kept out; 4: somebody said no.
    """
    from readiness.cli.receive_calendar import Taking, is_calendar, take_calendar
    from readiness.cli.receive_spreadsheet import is_spreadsheet, take_spreadsheet
    from readiness.cli.writer import writer_named
    from readiness.desk.receiving import text_of_bytes

    desk = opened(job, as_of)
    before = desk
    taker = asked_writer(writer)
    author = writer_named(sender) if sender else taker
    texts = [(str(file), _content(file, show=show, yes=yes)) for file in files]
    codes = [Exit.YES]
    for name, content in texts:
        if is_spreadsheet(name, content) or is_calendar(content):
            take = take_spreadsheet if is_spreadsheet(name, content) else take_calendar
            desk, code = take(desk, Taking(name, content, author, taker, show, yes, how or ""))
            codes.append(code)
            continue
        text = text_of_bytes(content)
        heard = _heard(desk, name, text, (author, taker), how or "")
        _show(name, heard)
        if heard.refused:
            codes.append(Exit.INPUT)
        elif not show and len(heard.draft):
            if yes or click.confirm(f"write {_entries(len(heard.draft))}?", err=True):
                desk = heard.write().desk
                click.echo(f"{name}: {_entries(len(heard.draft))} written")
            else:
                click.echo(f"{name}: nothing of it was written", err=True)
                codes.append(Exit.NO)
        for line in heard.to_ask_back:
            click.echo(f"ask {line.author} what was meant: {_short(line.said.text)}")
    if not show:
        from readiness.desk.difference import changed

        for said in changed(before, desk):
            click.echo(said)
    return int(Exit.INPUT if Exit.INPUT in codes else max(codes))


def _content(file: Path, *, show: bool, yes: bool) -> bytes:
    """Return what a file holds, or what is typed or piped in.

    Raises:
        click.UsageError: Nobody could be asked, because the message itself comes that way.
    """
    from readiness.desk.files import bytes_of

    if str(file) != STANDARD_INPUT:
        return bytes_of(file, "message, calendar or spreadsheet")
    if not (show or yes or sys.stdin.isatty()):
        message = "the message comes from standard input, so nobody can be asked: add --yes"
        raise click.UsageError(f"{message}, or --show to see only")
    return sys.stdin.buffer.read()


def _heard(desk: Desk, name: str, text: str, who: tuple[Writer, Writer], how: str) -> Received:
    """Return what a text says.

    Raises:
        JobFileError: It is no message but a site card, or far too long.
    """
    from readiness.desk.handing_over import CARD_HEAD
    from readiness.desk.receiving import received
    from readiness.exchange.note_listener import NoteRefused
    from readiness.job.problems import JobFileError, Problem

    if text.startswith(CARD_HEAD):
        hint = "keep it as job.toml in a folder of its own and ask it as a job"
        raise JobFileError([Problem(name, None, "", "is a site card, not a message", hint=hint)])
    try:
        return received(desk, text, *who, how)
    except NoteRefused as error:
        raise JobFileError([Problem(name, None, "", error.what, hint=error.hint)]) from None


def _show(name: str, heard: Received) -> None:
    """Tell what becomes of every line."""
    for line in heard.lines:
        at = f"{name}:{line.said.line}: {line.author}: "
        why = f": {_short(line.why)}" if line.why else ""
        click.echo(f"{at}{_told(line)} ({line.outcome}{why})", err=line.outcome.stops)
    if heard.quoted:
        click.echo(f"{name}: {heard.quoted} quoted lines left out: they are of an older message")
    if not heard.lines:
        click.echo(f"{name}: nothing in it says anything")
    elif heard.refused:
        count = len(heard.refused)
        held = "1 line" if count == 1 else f"{count} lines"
        click.echo(f"{name}: nothing of it was written: {held} can't be", err=True)


def _told(line: Heard) -> str:
    words = [
        f"{name} {', '.join(map(str, value)) if isinstance(value, list | tuple) else value}"
        for name, value in line.fields.items()
        if name != "kind" and value not in (None, "", [], (), False)
    ]
    return _short(f"{line.fields['kind']}: " + ", ".join(words))


def _entries(count: int) -> str:
    return "1 entry" if count == 1 else f"{count} entries"


def _short(text: str) -> str:
    """Return a text on one line that does not fill the screen."""
    line = " ".join(text.split())
    return line if len(line) <= LONGEST_SHOWN else line[:LONGEST_SHOWN] + " ..."
