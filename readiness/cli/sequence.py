"""`readiness sequence`: what waits for what, up to the start of board.

Invariant: asks one question and writes one answer.
"""

from __future__ import annotations

from pathlib import Path

import click

from readiness.cli.asking import open_case
from readiness.cli.main import Exit
from readiness.cli.options import as_of_option, job_argument, json_option, why_option


@click.command("sequence")
@job_argument
@click.option("--of", default="", metavar="ID", help="Only this work, approval, trip or pull.")
@as_of_option
@why_option
@json_option
def command(job: Path, of: str, as_of: str | None, *, why: bool, as_json: bool) -> int:
    """What waits for what, and what each step holds up, from here to the start of board.

    JOB is a job file or its folder.
    """
    from readiness.job.problems import did_you_mean
    from readiness.questions.sequence import sequence

    _, case = open_case(job, as_of)
    answer = sequence(case)
    known = [name for step in answer.steps for name in step.ids]
    if of and of not in known:
        hint = did_you_mean(of, known)
        names = ", ".join(sorted(known))
        message = (
            f"--of: {of!r} is no open step of this job; {hint}{' ' * bool(hint)}open are {names}"
        )
        raise click.UsageError(message)
    if as_json:
        from readiness.pages.as_json import answer_json

        click.echo(answer_json(answer), nl=False)
    else:
        from readiness.pages.sequence_text import sequence_text

        click.echo(sequence_text(answer, of=of, why=why), nl=False)
    return int(Exit.YES)
