"""`readiness foam`: which foam goes where, what follows from it, drum sets and hours.

Invariant: the exit code says whether class and depth are written and nothing is refused or short;
it is no verdict of an office.
"""

from __future__ import annotations

from pathlib import Path

import click

from readiness.cli.asking import asked_on, open_case
from readiness.cli.main import Exit
from readiness.cli.options import as_of_option, job_argument, json_option, on_option, why_option


@click.command("foam")
@job_argument
@on_option
@click.option("--trip", default="", help="Ask about this trip.")
@as_of_option
@why_option
@json_option
def command(  # noqa: PLR0913  one parameter per option
    job: Path, on: str | None, trip: str, as_of: str | None, *, why: bool, as_json: bool
) -> int:
    """Which foam goes where, what follows from it, drum sets and hours.

    JOB is a job file or its folder. Exit code 4: a class or depth is not written, a class is
    refused where it goes, or something stays short of a table. The office decides.
    """
    from readiness.questions.foam import foam

    desk, case = open_case(job, as_of)
    if trip and trip not in case.site.trips:
        known = ", ".join(case.site.trips)
        message = f"--trip: there is no trip {trip!r}; trips are {known}"
        raise click.UsageError(message)
    answer = foam(case, asked_on(on, desk, case), trip)
    if as_json:
        from readiness.pages.as_json import answer_json

        click.echo(answer_json(answer), nl=False)
    else:
        from readiness.pages.foam_text import foam_text

        click.echo(foam_text(answer, why=why), nl=False)
    return int(Exit.YES if answer.is_yes else Exit.NO)
