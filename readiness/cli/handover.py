"""`readiness handover`: what the other firm may see, or what goes back to it.

Invariant: private remarks, prices, health and door codes never leave the job.
"""

from __future__ import annotations

from pathlib import Path

import click

from readiness.cli.asking import opened
from readiness.cli.main import Exit
from readiness.cli.options import clock_option, job_argument


@click.command("handover")
@job_argument
@click.option("--to", "target", required=True, type=click.Path(path_type=Path), help="The file.")
@clock_option
def command(job: Path, target: Path, as_of: str | None) -> int:
    """Write what the other firm may see of JOB.

    Of a job it is a site card, itself a valid job file; of a site card it is the answers, stops and
    spray records as lines that `receive` takes.
    """
    from readiness.desk.handing_over import handed_over
    from readiness.desk.writing import write_files

    desk = opened(job, as_of)
    text, told, mark = handed_over(desk)
    write_files(
        target.parent, {target.name: text.encode()}, ours=lambda head: head.startswith(mark)
    )
    click.echo(f"{target}: {told}")
    return int(Exit.YES)
