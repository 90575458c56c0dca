"""`readiness record`: what stays on paper once the foam has passed.

Invariant: the exit code says whether the record is whole.
"""

from __future__ import annotations

from pathlib import Path

import click

from readiness.cli.asking import open_case
from readiness.cli.main import Exit
from readiness.cli.options import as_of_option, job_argument, json_option, why_option


@click.command("record")
@job_argument
@as_of_option
@why_option
@json_option
def command(job: Path, as_of: str | None, *, why: bool, as_json: bool) -> int:
    """What stays on paper: depth promised and measured, approvals, pictures, what others must know.

    JOB is a job file or its folder. Exit code 4: a sprayed surface has not passed, or something
    that belongs on the page is missing.
    """
    from readiness.desk.keeping import pictures_of
    from readiness.questions.record import record

    desk, case = open_case(job, as_of)
    answer = record(case, pictures_of(desk, case.outlook.seen.as_of))
    if as_json:
        from readiness.pages.as_json import answer_json

        click.echo(answer_json(answer), nl=False)
    else:
        from readiness.pages.record_text import record_text

        click.echo(record_text(answer, why=why), nl=False)
    return int(Exit.YES if answer.is_yes else Exit.NO)
