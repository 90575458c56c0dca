"""`readiness conditions`: which hours of a forecast work, and what the readings say.

Invariant: the exit code says whether the trip's first day has hours within every limit; the crew
lead decides all the same.
"""

from __future__ import annotations

from pathlib import Path

import click

from readiness.cli.asking import asked_on, open_case
from readiness.cli.main import Exit
from readiness.cli.options import as_of_option, job_argument, json_option, on_option, why_option


@click.command("conditions")
@job_argument
@click.option(
    "--forecast",
    "forecast_file",
    metavar="FILE",
    type=click.Path(path_type=Path),
    help="Hourly forecast: our CSV, or a weather service's JSON; else the readings alone.",
)
@on_option
@click.option("--trip", default="", help="Ask about this trip.")
@as_of_option
@why_option
@json_option
def command(  # noqa: PLR0913  one parameter per option
    job: Path,
    forecast_file: Path | None,
    on: str | None,
    trip: str,
    as_of: str | None,
    *,
    why: bool,
    as_json: bool,
) -> int:
    """Which hours lie within the limits, and what to read next.

    JOB is a job file or its folder. Exit code 4: a reading is outside a limit, or no hour of the
    trip's first day is known to be within all of them. The crew lead decides on the spot.
    """
    from readiness.questions.conditions import conditions

    desk, case = open_case(job, as_of)
    if trip and trip not in case.site.trips:
        known = ", ".join(case.site.trips)
        message = f"--trip: there is no trip {trip!r}; trips are {known}"
        raise click.UsageError(message)
    forecast = None
    if forecast_file is not None:
        from readiness.desk.forecasts import forecast_of

        forecast = forecast_of(forecast_file, desk.zone)
    answer = conditions(case, forecast, asked_on(on, desk, case), trip)
    if as_json:
        from readiness.pages.as_json import answer_json

        click.echo(answer_json(answer), nl=False)
    else:
        from readiness.pages.conditions_text import conditions_text

        click.echo(conditions_text(answer, why=why), nl=False)
    return int(Exit.YES if answer.is_yes else Exit.NO)
