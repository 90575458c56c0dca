"""`readiness send`: a calendar for each trade, and one with everything for the contractor.

Invariant: with `--show` nothing is written; without it every file is written whole or none is.
"""

from __future__ import annotations

from pathlib import Path

import click

from readiness.cli.asking import as_of_option, job_argument, json_option, open_case
from readiness.cli.main import Exit


@click.command("send")
@job_argument
@click.option("--out", "folder", type=click.Path(path_type=Path), help="Folder for the files.")
@click.option("--show", is_flag=True, help="Print every entry and write nothing.")
@as_of_option
@json_option
def command(job: Path, folder: Path | None, as_of: str | None, *, show: bool, as_json: bool) -> int:
    """Write a calendar for each trade, and contractor.ics with everything.

    JOB is a job file or its folder. Only agreed and booked dates are sent, never forecast ones.
    """
    from readiness.questions.letters import letters

    if folder is None and not show:
        message = "say where the files go: --out FOLDER, or --show to see them only"
        raise click.UsageError(message)
    _, case = open_case(job, as_of)
    answer = letters(case)
    written = ""
    if folder is not None and not show and answer.letters:
        from readiness.desk.writing import write_files
        from readiness.exchange.calendar_file import LARGEST_FILE_BYTES, calendar_bytes, is_ours

        files = {letter.file: calendar_bytes(letter, answer) for letter in answer.letters}
        older = write_files(folder, files, ours=is_ours)
        written = str(folder)
        for name in older:
            click.echo(f"{folder / name} is older: it has no entry now; take it back", err=True)
        for name, content in files.items():
            if len(content) > LARGEST_FILE_BYTES:
                click.echo(f"{name} is large; some calendars drop a part of it", err=True)
    if as_json:
        from readiness.pages.as_json import answer_json

        click.echo(answer_json(answer), nl=False)
    else:
        from readiness.pages.letters_text import letters_text

        click.echo(letters_text(answer, written, show=show), nl=False)
    return int(Exit.YES)
