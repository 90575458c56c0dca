"""`readiness open`: the terminal screens of a job.

The terminal shows something before the job is loaded, so nothing of a job is imported up here.
Invariant: what stands against opening a job is told by line on a terminal that is whole again.
"""

from __future__ import annotations

import gc
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from readiness.cli.main import Exit
from readiness.cli.options import as_of_option, on_option, writer_option
from readiness.cli.settings import settings_file, settings_table

if TYPE_CHECKING:
    from readiness.desk.desk import Desk
    from readiness.screens.session import Session
    from readiness.telling.case import Case, On

THEMES = ("night", "daylight", "terminal")


@click.command("open")
@click.argument("job", type=click.Path(path_type=Path), required=False)
@on_option
@as_of_option
@writer_option
@click.option(
    "--forecast",
    metavar="FILE",
    type=click.Path(path_type=Path),
    help="Hourly forecast; else forecast.csv or forecast.json beside the job file.",
)
@click.option("--theme", type=click.Choice(THEMES), default=THEMES[0], help="Colors.")
@click.option("--plain", is_flag=True, help="Print what `check` prints, and end.")
def command(  # noqa: PLR0913  one parameter per option
    job: Path | None,
    on: str | None,
    as_of: str | None,
    writer: str | None,
    forecast: Path | None,
    *,
    theme: str,
    plain: bool,
) -> int:
    """Open the terminal screens of a job.

    JOB is a job file or its folder; without it a filled-in job opens to try things on.
    """
    call = _Call(job, on, as_of, writer, forecast)
    has_terminal = sys.stdin.isatty() and sys.stderr.isatty()
    if plain or not has_terminal:
        desk, said, doubts = call.desk()
        for doubt in doubts:
            click.echo(doubt, err=True)
        if not plain:
            told = "open needs a terminal; --plain prints what the screen would show"
            raise click.UsageError(told)
        return _print(desk.case(), said)
    return _show(call, theme)


@dataclass(frozen=True)
class _Call:
    """The words of the call, before anything of the job is loaded."""

    job: Path | None
    on: str | None
    as_of: str | None
    writer: str | None
    forecast: Path | None = None

    def desk(self) -> tuple[Desk, On, tuple[str, ...]]:
        """Return the desk, the day asked about, and what is doubtful about the diary."""
        from readiness.cli.asking import asked_on, opened_with_doubts

        doubts: tuple[str, ...] = ()
        if self.job is None:
            desk = _starter(self.as_of)
        else:
            desk, doubts = opened_with_doubts(self.job, self.as_of, looks_back=True)
        if self.forecast is not None:
            from readiness.desk.forecasts import forecast_of

            # What somebody has named and can't be used is told at once, not on its screen
            forecast_of(self.forecast, desk.zone)
        return desk, asked_on(self.on, desk, desk.case()), doubts

    def session(self, doubted: list[str], keys: dict[str, str]) -> Session:
        """Return the open job with its first answer; what is doubtful goes into the list too."""
        from readiness.cli.writer import asked_writer
        from readiness.screens.app import HINT
        from readiness.screens.asker import Asked, Asker
        from readiness.screens.session import Session

        desk, said, doubts = self.desk()
        who = asked_writer(self.writer)
        asker = Asker(desk, is_on_disk=self.job is not None, forecast=self.forecast)
        asked = Asked(said)
        doubted += doubts
        more = f" (and {len(doubts) - 1} more)" if len(doubts) > 1 else ""
        hint = f"{doubts[0]}{more}" if doubts else ("" if self.job is not None else HINT)
        session = Session(asker, asker.ask(asked), asked, hint, who, keys)
        # Until here nothing is thrown away; from here on it runs for hours
        gc.enable()
        return session


def _starter(as_of: str | None) -> Desk:
    """Return an invented job to try things on; nothing of it is written anywhere."""
    from readiness.cli.new import example
    from readiness.desk.desk import desk_of
    from readiness.desk.files import JOB_FILE

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


def _show(call: _Call, theme: str) -> int:
    """Show the screens; what stood against opening the job is told once they are gone."""
    from readiness.screens.app import JobApp

    keys = chosen_keys()
    doubted: list[str] = []
    name = str(call.job) if call.job is not None else "an invented job"
    app = JobApp(lambda: call.session(doubted, keys), name=name, theme=theme)
    app.run()
    if app.failed is not None:
        raise app.failed
    for doubt in doubted:
        click.echo(doubt, err=True)
    return int(app.return_code or Exit.YES)
