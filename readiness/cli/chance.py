"""`readiness chance`: how likely each day is, and which one is worth booking.

Invariant: the same job, moment and seed give the same answer.
"""

from __future__ import annotations

from pathlib import Path

import click

from readiness.cli.asking import asked_on, open_case
from readiness.cli.main import Exit
from readiness.cli.options import as_of_option, job_argument, json_option, on_option, why_option

SHAPES = ("triangular", "beta-PERT")
"""How a least, a likely and a most become a distribution."""


@click.command("chance")
@job_argument
@on_option
@click.option("--trip", default="", help="Ask about this trip.")
@click.option(
    "--trials",
    type=click.IntRange(100, 200_000),
    default=10_000,
    help="How many futures are drawn; 10000 unless said.",
)
@click.option(
    "--seed", type=click.IntRange(0, 2**31), default=1, help="Other draws; 1 unless said."
)
@click.option(
    "--shape", type=click.Choice(SHAPES), default="triangular", help="How lengths spread."
)
@click.option("--only-own", is_flag=True, help="Leave out usual figures; only the job file's own.")
@as_of_option
@why_option
@json_option
def command(  # noqa: PLR0913, PLR0917  one parameter per option
    job: Path,
    on: str | None,
    trip: str,
    trials: int,
    seed: int,
    shape: str,
    as_of: str | None,
    *,
    only_own: bool,
    why: bool,
    as_json: bool,
) -> int:
    """How likely each day is, what holds it, and which day is worth booking.

    JOB is a job file or its folder. Without your own prices in [costs] no day is recommended.
    """
    from readiness.planning.trials_drawn import Shape
    from readiness.questions.chance import DayError, chance

    desk, case = open_case(job, as_of)
    if trip and trip not in case.site.trips:
        known = ", ".join(case.site.trips)
        message = f"--trip: there is no trip {trip!r}; trips are {known}"
        raise click.UsageError(message)
    try:
        answer = chance(
            case,
            asked_on(on, desk, case),
            trip,
            trials=trials,
            seed=seed,
            shape=Shape(shape),
            only_own=only_own,
        )
    except DayError as error:
        message = f"--on: {error}"
        raise click.UsageError(message) from None
    if as_json:
        from readiness.pages.as_json import answer_json

        click.echo(answer_json(answer), nl=False)
    else:
        from readiness.pages.chance_text import chance_text

        click.echo(chance_text(answer, why=why), nl=False)
    return int(Exit.YES)
