"""`readiness send`: a calendar for each trade, and one with everything for the contractor.

Invariant: with `--show` nothing is written; without it every file is written whole or none is.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from readiness.cli.asking import as_of_option, job_argument, json_option, open_case
from readiness.cli.main import Exit

if TYPE_CHECKING:
    from readiness.questions.letters import LettersAnswer
    from readiness.telling.case import Case


@click.command("send")
@job_argument
@click.option("--out", "folder", type=click.Path(path_type=Path), help="Folder for the files.")
@click.option("--text", "as_text", is_flag=True, help="Three lines per trade, to paste.")
@click.option("--show", is_flag=True, help="Print every entry and write nothing.")
@as_of_option
@json_option
def command(  # noqa: PLR0913  one parameter per option
    job: Path, folder: Path | None, as_of: str | None, *, as_text: bool, show: bool, as_json: bool
) -> int:
    """Write a calendar for each trade, and contractor.ics with everything.

    JOB is a job file or its folder. Only agreed and booked dates are sent, never forecast ones.
    With --text the texts are printed, and written beside the calendars where --out names a folder.
    """
    if folder is None and not show and not as_text:
        message = "say where the files go: --out FOLDER, or --show to see them only"
        raise click.UsageError(message)
    _, case = open_case(job, as_of)
    folder = None if show else folder
    if as_text:
        _send_texts(case, folder, as_json=as_json)
    else:
        _send_calendars(case, folder, show=show, as_json=as_json)
    return int(Exit.YES)


def _send_calendars(case: Case, folder: Path | None, *, show: bool, as_json: bool) -> None:
    from readiness.questions.letters import letters

    answer = letters(case)
    written = ""
    if folder is not None and answer.letters:
        _write(folder, calendars_of(answer))
        written = str(folder)
    if as_json:
        from readiness.pages.as_json import answer_json

        click.echo(answer_json(answer), nl=False)
    else:
        from readiness.pages.letters_text import letters_text

        click.echo(letters_text(answer, written, show=show), nl=False)


def _send_texts(case: Case, folder: Path | None, *, as_json: bool) -> None:
    from readiness.pages.texts_text import text_files, texts_text
    from readiness.questions.texts import texts

    answer = texts(case)
    if folder is not None:
        from readiness.questions.letters import letters

        _write(folder, {**calendars_of(letters(case)), **text_files(answer)})
    if as_json:
        from readiness.pages.as_json import answer_json

        click.echo(answer_json(answer), nl=False)
    else:
        click.echo(texts_text(answer), nl=False)


def calendars_of(answer: LettersAnswer) -> dict[str, bytes]:
    """Return the calendars as files; one that some calendars can't take whole is told."""
    from readiness.exchange.calendar_file import LARGEST_FILE_BYTES, calendar_bytes

    files = {letter.file: calendar_bytes(letter, answer) for letter in answer.letters}
    for name, content in files.items():
        if len(content) > LARGEST_FILE_BYTES:
            click.echo(f"{name} is large; some calendars drop a part of it", err=True)
    return files


def _write(folder: Path, files: dict[str, bytes]) -> None:
    """Write the files, and tell which ones of ours now say something old."""
    from readiness.desk.writing import write_files
    from readiness.exchange import calendar_file
    from readiness.pages import texts_text

    if not files:
        return
    for name in write_files(
        folder, files, ours=lambda head: calendar_file.is_ours(head) or texts_text.is_ours(head)
    ):
        click.echo(f"{folder / name} is older: it has no entry now; take it back", err=True)
