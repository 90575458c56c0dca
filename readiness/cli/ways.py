"""`readiness ways`: the smallest change that makes a day work, and writing it into the diary.

Invariant: nothing is written before its difference was shown and somebody said yes.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from readiness.cli.applying import apply_lines
from readiness.cli.asking import asked_on, open_case
from readiness.cli.main import Exit
from readiness.cli.options import (
    as_of_option,
    job_argument,
    json_option,
    on_option,
    why_option,
    writer_option,
)

if TYPE_CHECKING:
    from readiness.questions.ways import WayLine, WaysAnswer


@click.command("ways")
@job_argument
@on_option
@click.option(
    "--at-most", "at_most", type=click.FloatRange(0), metavar="SUM", help="What a way may cost."
)
@click.option("--apply", "number", type=click.IntRange(1), help="Write this way into the diary.")
@click.option("--yes", is_flag=True, help="Write without asking.")
@writer_option
@as_of_option
@why_option
@json_option
def command(  # noqa: PLR0913, PLR0917  one parameter per option
    job: Path,
    on: str | None,
    at_most: float | None,
    number: int | None,
    writer: str | None,
    as_of: str | None,
    *,
    yes: bool,
    why: bool,
    as_json: bool,
) -> int:
    """The smallest change that makes a day work: what, at what cost, and whom to tell.

    JOB is a job file or its folder. Exit code 0: there is a way; 4: there is none, and what stands
    against the day is told.
    """
    from readiness.planning.prices import Prices
    from readiness.questions.ways import ways

    desk, case = open_case(job, as_of)
    if at_most is not None and not Prices(case.site.job.costs).are_written:
        message = "--at-most: no price is written, so no sum is known; write [costs] first"
        raise click.UsageError(message)
    said = asked_on(on, desk, case)
    answer = ways(case, said, at_most=at_most, origin_of=desk.lines.origin)
    if number is not None:
        way = _way(answer, number)
        return apply_lines(
            desk, way.lines, writer, via="by ways", says=way.does, yes=yes, as_json=as_json
        )
    if as_json:
        from readiness.pages.as_json import answer_json

        click.echo(answer_json(answer), nl=False)
    else:
        from readiness.pages.ways_text import ways_text

        click.echo(ways_text(answer, why=why), nl=False)
    return int(Exit.YES if answer.ways else Exit.NO)


def _way(answer: WaysAnswer, number: int) -> WayLine:
    """Return a way by its number.

    Raises:
        click.UsageError: There is no such way.
    """
    count = len(answer.ways)
    if number > count:
        told = {0: "none is told", 1: "only one is told"}.get(count, f"{count} are told")
        message = f"--apply: there is no way {number}; {told}"
        raise click.UsageError(message)
    return answer.ways[number - 1]
