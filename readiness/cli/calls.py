"""`readiness calls`: whom to call now, over one job or many.

Invariant: the exit code says whether something is overdue.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from readiness.cli.asking import open_case
from readiness.cli.main import Exit
from readiness.cli.options import as_of_option, json_option

if TYPE_CHECKING:
    from readiness.telling.case import Case


@click.command("calls")
@click.argument("jobs", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--today", "useful_today", is_flag=True, help="What is still useful today.")
@as_of_option
@json_option
def command(jobs: tuple[Path, ...], as_of: str | None, *, useful_today: bool, as_json: bool) -> int:
    """What to ask whom now, and what is overdue: one line per person.

    JOBS are job files or their folders. Exit code 4: something is overdue.
    """
    from readiness.questions.calls import calls

    cases = [open_case(job, as_of)[1] for job in jobs]
    if useful_today:
        return _today(cases, as_json=as_json)
    answer = calls(cases)
    if as_json:
        from readiness.pages.as_json import answer_json

        click.echo(answer_json(answer), nl=False)
    else:
        from readiness.pages.calls_text import calls_text

        click.echo(calls_text(answer), nl=False)
    return int(Exit.NO if answer.overdue else Exit.YES)


def _today(cases: list[Case], *, as_json: bool) -> int:
    from readiness.pages.anyway_text import today_text
    from readiness.questions.today import today

    for case in cases:
        if as_json:
            from readiness.pages.as_json import answer_json

            click.echo(answer_json(today(case)), nl=False)
        else:
            click.echo(today_text(today(case)), nl=False)
    return int(Exit.YES)
