"""`readiness open`: the terminal screens of a job.

Invariant: a job that can't be used ends the command before the terminal is touched.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from readiness.cli.asking import asked_on, opened
from readiness.cli.main import Exit
from readiness.cli.options import as_of_option, on_option, writer_option
from readiness.cli.settings import settings_file, settings_table
from readiness.cli.writer import asked_writer
from readiness.desk.desk import desk_of
from readiness.desk.files import JOB_FILE

if TYPE_CHECKING:
    from readiness.desk.desk import Desk
    from readiness.desk.statement import Writer
    from readiness.telling.case import Case, On

THEMES = ("night", "daylight", "terminal")


@click.command("open")
@click.argument("job", type=click.Path(path_type=Path), required=False)
@on_option
@as_of_option
@writer_option
@click.option("--theme", type=click.Choice(THEMES), default=THEMES[0], help="Colors.")
@click.option("--plain", is_flag=True, help="Print what `check` prints, and end.")
def command(  # noqa: PLR0913  one parameter per option
    job: Path | None,
    on: str | None,
    as_of: str | None,
    writer: str | None,
    *,
    theme: str,
    plain: bool,
) -> int:
    """Open the terminal screens of a job.

    JOB is a job file or its folder; without it a filled-in job opens to try things on.
    """
    desk = _starter(as_of) if job is None else opened(job, as_of, looks_back=True)
    said = asked_on(on, desk, desk.case())
    if plain:
        return _print(desk.case(), said)
    if not (sys.stdin.isatty() and sys.stderr.isatty()):
        raise click.UsageError("open needs a terminal; --plain prints what the screen would show")
    return _show(desk, said, theme, asked_writer(writer), is_starter=job is None)


def _starter(as_of: str | None) -> Desk:
    """Return an invented job to try things on; nothing of it is written anywhere."""
    from readiness.cli.new import example

    _, text = example(STARTER, as_of, card=False)
    return desk_of(text, Path(JOB_FILE))


STARTER = "new house"


def _print(case: Case, on: On) -> int:
    from readiness.pages.check_text import check_text
    from readiness.questions.check import check

    answer = check(case, on)
    click.echo(check_text(answer), nl=False)
    return int(Exit.YES if answer.is_yes else Exit.NO)


def chosen_keys() -> dict[str, str]:
    """Return the keys that the settings choose instead of ours, by id.

    Raises:
        click.UsageError: They can't be used; all problems at once.
    """
    chosen = settings_table("keys", 'booked-day = "z"')
    if not chosen:
        return {}
    from readiness.screens.key_map import KeyMapError, key_map_of

    try:
        return key_map_of(chosen)
    except KeyMapError as error:
        told = "\n".join(f"{settings_file()}: {problem}" for problem in error.problems)
        raise click.UsageError(told) from None


def _show(desk: Desk, on: On, theme: str, who: Writer, *, is_starter: bool) -> int:
    from readiness.screens.app import HINT, JobApp
    from readiness.screens.asker import Asked, Asker
    from readiness.screens.session import Session

    asker, asked = Asker(desk, is_on_disk=not is_starter), Asked(on)
    hint = HINT if is_starter else ""
    session = Session(asker, asker.ask(asked), asked, hint, who, chosen_keys())
    app = JobApp(session, theme=theme)
    app.run()
    return int(app.return_code or Exit.YES)
