"""Options and arguments that several commands share.

Invariant: nothing is imported here but what draws a command line, so a command can be named before
anything of a job is loaded.
"""

from __future__ import annotations

from pathlib import Path

import click

job_argument = click.argument("job", type=click.Path(path_type=Path))
as_of_option = click.option(
    "--as-of", "as_of", metavar="WHEN", help="What was known then, e.g. '2026-05-04 06:30'."
)
clock_option = click.option(
    "--as-of", "as_of", metavar="WHEN", help="Where the clock stands, for scripts; else now."
)
on_option = click.option(
    "--on", "on", metavar="WHEN", help="Asked about: a date or plain words such as 'thursday'."
)
json_option = click.option("--json", "as_json", is_flag=True, help="One JSON object.")
why_option = click.option("--why", is_flag=True, help="Tell the source of every line.")
writer_option = click.option(
    "--writer",
    metavar='"NAME, ROLE"',
    help="Who writes; else the settings, else READINESS_WRITER, else the login name.",
)
