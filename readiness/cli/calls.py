"""`readiness calls`: whom to call now, over one job or many.

Invariant: the exit code says whether something is overdue.
"""

from __future__ import annotations

from pathlib import Path

import click

from readiness.cli.asking import as_of_option, json_option, open_case
from readiness.cli.main import Exit


@click.command("calls")
@click.argument("jobs", nargs=-1, required=True, type=click.Path(path_type=Path))
@as_of_option
@json_option
def command(jobs: tuple[Path, ...], as_of: str | None, *, as_json: bool) -> int:
    """What to ask whom now, and what is overdue: one line per person.

    JOBS are job files or their folders. Exit code 4: something is overdue.
    """
    from readiness.questions.calls import calls

    answer = calls([open_case(job, as_of)[1] for job in jobs])
    if as_json:
        from readiness.pages.as_json import answer_json

        click.echo(answer_json(answer), nl=False)
    else:
        from readiness.pages.calls_text import calls_text

        click.echo(calls_text(answer), nl=False)
    return int(Exit.NO if answer.overdue else Exit.YES)
