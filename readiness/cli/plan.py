"""`readiness plan`: dates for everything that is open, and writing them into the diary.

Invariant: nothing is written before its difference was shown and somebody said yes.
"""

from __future__ import annotations

from pathlib import Path

import click

from readiness.cli.applying import apply_lines
from readiness.cli.asking import open_case
from readiness.cli.main import Exit
from readiness.cli.options import as_of_option, job_argument, json_option, why_option, writer_option


@click.command("plan")
@job_argument
@click.option("--apply", "apply", is_flag=True, help="Write its dates into the diary, as booked.")
@click.option("--yes", is_flag=True, help="Write without asking.")
@writer_option
@as_of_option
@why_option
@json_option
def command(  # noqa: PLR0913  one parameter per option
    job: Path,
    writer: str | None,
    as_of: str | None,
    *,
    apply: bool,
    yes: bool,
    why: bool,
    as_json: bool,
) -> int:
    """Dates for everything that is open: who works where each day, and what drives it.

    JOB is a job file or its folder. Exit code 0: board gets a date; 4: it gets none, and what can
    be dated is told.
    """
    from readiness.questions.plan import plan

    desk, case = open_case(job, as_of)
    answer = plan(case)
    if apply:
        if answer.board is None:
            message = f"--apply: nothing was written: {answer.sentence}"
            raise click.UsageError(message)
        return apply_lines(
            desk,
            answer.lines,
            writer,
            via="by plan",
            says=answer.sentence,
            yes=yes,
            as_json=as_json,
        )
    if as_json:
        from readiness.pages.as_json import answer_json

        click.echo(answer_json(answer), nl=False)
    else:
        from readiness.pages.plan_text import plan_text

        click.echo(plan_text(answer, why=why), nl=False)
    return int(Exit.YES if answer.board is not None else Exit.NO)
