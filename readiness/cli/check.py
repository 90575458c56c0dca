"""`readiness check`: is it ready, and what holds it up?

Invariant: the exit code says the same as the verdict.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from readiness.cli.asking import asked_on, open_case
from readiness.cli.main import Exit
from readiness.cli.options import as_of_option, job_argument, json_option, on_option, why_option
from readiness.facts.vocabulary import Gate

if TYPE_CHECKING:
    from readiness.telling.case import Case, On


@click.command("check")
@job_argument
@on_option
@click.option("--gate", type=click.Choice([gate.value for gate in Gate]), help="Ask this gate.")
@click.option("--anyway", is_flag=True, help="What if we sprayed anyway? Who cuts what where.")
@click.option("--trip", default="", help="Ask about this trip.")
@as_of_option
@why_option
@json_option
def command(  # noqa: PLR0913  one parameter per option
    job: Path,
    on: str | None,
    gate: str | None,
    trip: str,
    as_of: str | None,
    *,
    anyway: bool,
    why: bool,
    as_json: bool,
) -> int:
    """Is it ready? The verdict, and what exactly holds it up.

    JOB is a job file or its folder. Exit code 0: the answer is yes; 4: it is no.
    """
    from readiness.questions.check import check

    desk, case = open_case(job, as_of)
    if trip and trip not in case.site.trips:
        known = ", ".join(case.site.trips)
        message = f"--trip: there is no trip {trip!r}; trips are {known}"
        raise click.UsageError(message)
    if anyway:
        return _anyway(case, asked_on(on, desk, case), gate, trip, as_json=as_json)
    answer = check(case, asked_on(on, desk, case), Gate(gate) if gate else None, trip)
    if as_json:
        from readiness.pages.as_json import answer_json

        click.echo(answer_json(answer), nl=False)
    else:
        from readiness.pages.check_text import check_text

        click.echo(check_text(answer, why=why), nl=False)
    return int(Exit.YES if answer.is_yes else Exit.NO)


def _anyway(case: Case, on: On, gate: str | None, trip: str, *, as_json: bool) -> int:
    from readiness.pages.anyway_text import anyway_text
    from readiness.questions.anyway import anyway

    answer = anyway(case, on, Gate(gate) if gate else None, trip)
    if as_json:
        from readiness.pages.as_json import answer_json

        click.echo(answer_json(answer), nl=False)
    else:
        click.echo(anyway_text(answer), nl=False)
    return int(Exit.YES if answer.possible else Exit.NO)
