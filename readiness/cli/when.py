"""`readiness when`: first and last spray day of every surface, room and trip.

Invariant: asks one question and writes one answer.
"""

from __future__ import annotations

from pathlib import Path

import click

from readiness.cli.asking import open_case
from readiness.cli.main import Exit
from readiness.cli.options import as_of_option, job_argument, json_option


@click.command("when")
@job_argument
@as_of_option
@json_option
def command(job: Path, as_of: str | None, *, as_json: bool) -> int:
    """First and last spray day of every surface, room and trip, and the fewest trips.

    JOB is a job file or its folder.
    """
    from readiness.questions.when import when

    _, case = open_case(job, as_of)
    answer = when(case)
    if as_json:
        from readiness.pages.as_json import answer_json

        click.echo(answer_json(answer), nl=False)
    else:
        from readiness.pages.when_text import when_text

        click.echo(when_text(answer), nl=False)
    return int(Exit.YES)
