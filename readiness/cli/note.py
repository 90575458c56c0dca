"""`readiness note`: writes one line into the diary and says what changed.

Invariant: a line that is not understood writes nothing.
"""

from __future__ import annotations

from pathlib import Path

import click
from click.shell_completion import CompletionItem

from readiness.cli.asking import opened
from readiness.cli.completing import complete_line, line_options
from readiness.cli.main import Exit
from readiness.cli.options import clock_option, job_argument, json_option, writer_option
from readiness.cli.writer import asked_writer
from readiness.facts.vocabulary import Rung


class Lines(click.Command):
    """Shows every form of a line in its help, and completes the options of a line."""

    def shell_complete(self, ctx: click.Context, incomplete: str) -> list[CompletionItem]:
        """Return the options of the command, then those of a line once it has begun."""
        own = super().shell_complete(ctx, incomplete)
        if not ctx.params.get("words"):
            return own
        known = {item.value for item in own}
        return [*own, *(item for item in line_options(incomplete) if item.value not in known)]

    def format_epilog(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the forms below the options."""
        del ctx
        from readiness.exchange.note_words import FORMS

        with formatter.section("Lines"):
            formatter.write_dl([(form.usage, form.says) for form in FORMS.values()])


@click.command(
    "note", cls=Lines, context_settings={"ignore_unknown_options": True, "max_content_width": 100}
)
@job_argument
@click.argument(
    "words", nargs=-1, type=click.UNPROCESSED, required=True, shell_complete=complete_line
)
@writer_option
@click.option("--seen", metavar="WHEN", help="When it was so on site; else now.")
@click.option(
    "--how", type=click.Choice([rung.value for rung in Rung]), help="How it is known; else seen."
)
@click.option(
    "--replaces", metavar="ENTRY", help="The entry it corrects, like dana-ruiz#4; or last."
)
@clock_option
@json_option
def command(  # noqa: PLR0913, PLR0917  one parameter per option
    job: Path,
    words: tuple[str, ...],
    writer: str | None,
    seen: str | None,
    how: str | None,
    replaces: str | None,
    as_of: str | None,
    *,
    as_json: bool,
) -> int:
    """Write a line into the diary of JOB and say what it changed.

    \b
    readiness note JOB done rough-electrical upstairs
    readiness note JOB passed electrical "all but garage wall" --by office
    readiness note JOB stop "floor deck wet"
    """  # noqa: D301  the library asks for this very sign before lines it must not fold
    from readiness.desk.difference import changed
    from readiness.desk.noting import listener_of, note, when_said
    from readiness.desk.statement import Statement
    from readiness.exchange.note_listener import NoteRefused
    from readiness.exchange.note_words import note_fields
    from readiness.job.written import MisreadError

    desk = opened(job, as_of)
    who = asked_writer(writer)
    try:
        fields = note_fields(list(words), listener_of(desk))
        at = when_said(desk, seen) if seen else None
        noted = note(desk, [Statement(fields, who, at, how or "", replaces or "")])
    except (NoteRefused, MisreadError) as error:
        message = f"nothing was written: {error}"
        raise click.UsageError(message) from None
    if as_json:
        from readiness.diary.entries import ENTRY

        click.echo(ENTRY.dump_json(noted.entries[0], indent=2, by_alias=True).decode())
    else:
        from readiness.pages.entry_text import entry_text

        click.echo(f"written: {entry_text(noted.entries[0])}")
        for line in changed(desk, noted.desk):
            click.echo(line)
    return int(Exit.YES)
