"""`readiness spreadsheet`: the dates of a job as a file for a spreadsheet program.

Invariant: the file is written whole or not at all, and one that is there already stays as it is.
"""

from __future__ import annotations

from pathlib import Path

import click

from readiness.cli.asking import opened
from readiness.cli.main import Exit
from readiness.cli.options import as_of_option, job_argument

ENDINGS = (".csv", ".xlsx")


@click.command("spreadsheet")
@job_argument
@click.option(
    "--out",
    "target",
    required=True,
    type=click.Path(path_type=Path),
    help="The file; its ending, .csv or .xlsx, says which kind.",
)
@as_of_option
def command(job: Path, target: Path, as_of: str | None) -> int:
    """Write the dates of JOB as a spreadsheet: what people set and saw, never a forecast.

    JOB is a job file or its folder. Each work, look, trip and pull is one row: work, trade, place,
    from, to, waits for, holds up, seen, confirmed by. Change from, to, seen and confirmed by, and
    `receive` takes the file back, after showing what it would change. The last row says of which
    moment it is; leave it there.

    A file that is there already is not overwritten: it may hold changes that nobody has taken yet.
    """
    from readiness.desk.spreadsheets import spreadsheet_of
    from readiness.desk.writing import write_files

    ending = target.suffix.casefold()
    if ending not in ENDINGS:
        message = f"--out: {target.name!r} ends neither in .csv nor in .xlsx"
        raise click.UsageError(message)
    content, count = spreadsheet_of(opened(job, as_of, looks_back=True), ending)
    _check_free(target)
    write_files(target.parent, {target.name: content}, ours=lambda _: False)
    click.echo(f"{target}: {count} rows")
    return int(Exit.YES)


def _check_free(target: Path) -> None:
    """Refuse a file that is there.

    Raises:
        JobFileError: It is.
    """
    from readiness.job.problems import JobFileError, Problem

    if target.exists():
        what = "it is there already, perhaps with changes that nobody has taken yet"
        hint = "receive it or move it away, or choose another name"
        raise JobFileError([Problem(str(target), None, "", what, hint=hint)])
