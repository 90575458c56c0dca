"""`readiness new`: asks ten questions, or none, and writes a job file.

Invariant: a job file that is there already is never touched, and until the last answer nothing is
written.
"""

from __future__ import annotations

import hashlib
import secrets
import shlex
import tomllib
from datetime import datetime, time
from pathlib import Path
from zoneinfo import ZoneInfo

import click

from readiness.cli.main import Exit
from readiness.cli.options import as_of_option
from readiness.starters import CARD, STARTERS, starter_text

KINDS = tuple(kind for kind in STARTERS if kind != CARD)

DAYS_TO_SPRAY = 20
"""Working days from today to the spray day of an example, and to the one proposed."""

MORNING = time(7)
"""The time of a day given without one."""


class _Kind(click.Choice[str]):
    """A kind of job as people type it: "new-house" and "New house" are the same."""

    def normalize_choice(self, choice: object, ctx: click.Context | None) -> str:
        return super().normalize_choice(choice, ctx).casefold().replace("-", " ").replace("_", " ")


@click.command("new")
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--kind", type=_Kind(KINDS), help="The kind of job.")
@click.option("--card", is_flag=True, help="A site card: surfaces and answers, no work.")
@click.option("--yes", is_flag=True, help="Ask nothing: write an invented example.")
@as_of_option
def command(folder: Path, kind: str | None, as_of: str | None, *, card: bool, yes: bool) -> int:
    """Ask ten questions and write FOLDER/job.toml.

    With --as-of the days are counted from then, and the job's clock stands there for good: for
    examples and tests.
    """
    from readiness.desk.files import JOB_FILE
    from readiness.desk.writing import write_files

    _check_folder(folder, JOB_FILE)
    if yes and not (kind or card):
        message = f"with --yes say --card, or --kind and one of: {', '.join(KINDS)}"
        raise click.UsageError(message)
    name, text = example(kind, as_of, card=card) if yes else _asked(kind, as_of, card=card)
    files = {JOB_FILE: text.encode()}
    write_files(folder, files, ours=lambda head: False)  # noqa: ARG005  nothing is replaced
    click.echo(f"written: {folder / JOB_FILE} ({name})")
    click.echo("next:")
    for word in ("check", "when", "open"):
        click.echo(f"  readiness {word} {shlex.quote(str(folder))}")
    return int(Exit.YES)


def _check_folder(folder: Path, job_file: str) -> None:
    """Refuse a folder that holds a job, before anything is asked.

    Raises:
        JobFileError: There is a job file.
        click.UsageError: The name is that of a file.
    """
    from readiness.job.problems import JobFileError, Problem

    if folder.suffix == ".toml":
        message = f"name a folder: the file in it is called {job_file}"
        raise click.UsageError(message)
    if (folder / job_file).exists():
        what = "there is a job file already"
        hint = "choose another folder; nothing was written"
        raise JobFileError([Problem(str(folder / job_file), None, "", what, hint=hint)])


def _starter(kind: str | None, *, card: bool) -> str:
    """Return the starter of a kind of job, or the site card for it."""
    from readiness.exchange.job_text import of_kind

    text = starter_text(CARD if card else str(kind))
    return of_kind(text, kind) if kind else text


def example(kind: str | None, as_of: str | None, *, card: bool) -> tuple[str, str]:
    """Return the invented example of a kind of job: its name and its text."""
    from readiness.exchange.job_text import example_text
    from readiness.exchange.starter_days import Days, place_of, working_day

    starter = _starter(kind, card=card)
    country, state, zone = place_of(starter)
    now, fixed = _now(as_of, country, state, zone)
    spray = working_day(now.date(), DAYS_TO_SPRAY, country, state)
    name = tomllib.loads(starter)["name"]
    days = Days(now.date(), spray, country, state)
    return name, example_text(starter, days, _key(name, fixed), fixed)


def _asked(kind: str | None, as_of: str | None, *, card: bool) -> tuple[str, str]:
    """Ask about a job; return its name and its text."""
    from readiness.cli.interview import Interview
    from readiness.exchange.job_text import own_text
    from readiness.exchange.starter_days import Days, place_of

    click.echo("Enter takes what stands in brackets; Ctrl-C ends without writing.", err=True)
    interview = Interview(card=card)
    starter = _starter(kind or interview.kind(KINDS), card=card)
    name = interview.name()
    where = interview.where(" ".join(place_of(starter)))
    now, fixed = _now(as_of, where.country, where.state, where.time_zone)
    own, spray = interview.rest(name, where, starter, now, DAYS_TO_SPRAY)
    days = Days(now.date(), spray, where.country, where.state)
    return name, own_text(starter, days, _key(name, fixed), fixed, own)


def _now(
    as_of: str | None, country: str, state: str, zone: str
) -> tuple[datetime, datetime | None]:
    """Return the wall-clock time at the site, and the one to be fixed in the file.

    Raises:
        click.UsageError: The words for the moment have no reading, or two.
    """
    from readiness.exchange.starter_days import working_day
    from readiness.job.words import understand
    from readiness.job.written import MisreadError

    now = datetime.now(tz=ZoneInfo(zone)).replace(tzinfo=None, second=0, microsecond=0)
    if as_of is None:
        return now, None
    try:
        said = understand(as_of, now, lambda day, n: working_day(day, n, country, state))
    except MisreadError as error:
        message = f"--as-of: {error}"
        raise click.UsageError(message) from None
    fixed = datetime.combine(said.day, said.at or MORNING)
    return fixed, fixed


def _key(name: str, fixed: datetime | None) -> str:
    """Return the key of a new job; with a fixed clock always the same one."""
    if fixed is None:
        return secrets.token_hex(5)
    return hashlib.sha256(f"{name} {fixed.isoformat()}".encode()).hexdigest()[:10]
