"""`readiness receive`: takes messages of lines in the forms of `note`.

Invariant: what was understood is shown before it is written, and nothing is written without a yes.
"""

from __future__ import annotations

import sys
from pathlib import Path

import click

from readiness.cli.asking import clock_option, desk_at, job_argument
from readiness.cli.main import Exit
from readiness.cli.note import changed
from readiness.cli.writer import asked_writer, writer_option
from readiness.desk.desk import open_desk


@click.command("receive")
@job_argument
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path, allow_dash=True))
@click.option("--from", "sender", metavar='"NAME, ROLE"', help="Whose message it is.")
@click.option("--yes", is_flag=True, help="Write without asking.")
@writer_option
@clock_option
def command(  # noqa: PLR0913  one parameter per option
    job: Path,
    files: tuple[Path, ...],
    sender: str | None,
    writer: str | None,
    as_of: str | None,
    *,
    yes: bool,
) -> int:
    """Take messages of lines in the forms of `note`, after showing what was understood.

    FILES are texts; - is standard input. Lines that are not understood are kept as remarks.
    """
    from readiness.desk.files import bytes_of
    from readiness.desk.noting import listener_of, note, when_said, writer_of
    from readiness.exchange.message import heard
    from readiness.exchange.note_listener import NoteRefused
    from readiness.job.written import MisreadError

    desk = desk_at(open_desk(job), as_of)
    before = desk
    default = writer_of(sender) if sender else asked_writer(writer)
    written = doubtful = 0
    for file in files:
        if str(file) == "-":
            content = sys.stdin.read()
        else:
            content = bytes_of(file).decode("utf-8-sig", "replace")
        found = heard(content, listener_of(desk))
        for line in found:
            mark = f"kept as a remark, not understood: {line.doubt}" if line.doubt else "understood"
            who = f"{line.who}: " if line.who else ""
            click.echo(f"{file}:{line.line}: {who}{_told(line.fields)} ({mark})")
            doubtful += bool(line.doubt)
        if not found:
            click.echo(f"{file}: nothing in it says anything")
            continue
        if not yes and not click.confirm(f"write {len(found)} entries?", err=True):
            click.echo("nothing of it was written", err=True)
            continue
        for line in found:
            who_writes = writer_of(line.who) if line.who else default
            try:
                at = when_said(desk, line.when) if line.when else None
                desk = note(desk, [line.fields], who_writes, seen=at, via="by message").desk
            except (NoteRefused, MisreadError) as refused:
                click.echo(f"{file}:{line.line}: not written: {refused}", err=True)
                doubtful += 1
                continue
            written += 1
    click.echo(f"{written} entries written" + (f", {doubtful} to ask about" if doubtful else ""))
    for said in changed(before, desk):
        click.echo(said)
    return int(Exit.YES)


def _told(fields: dict[str, object]) -> str:
    words = [
        f"{name} {', '.join(map(str, value)) if isinstance(value, list) else value}"
        for name, value in fields.items()
        if name != "kind" and value not in (None, "", [])
    ]
    return f"{fields['kind']}: " + ", ".join(words)
