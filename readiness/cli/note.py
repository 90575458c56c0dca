"""`readiness note`: writes one line into the diary and says what changed.

Invariant: a line that is not understood writes nothing.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click
from click.shell_completion import CompletionItem

from readiness.cli.asking import clock_option, job_argument, json_option, opened
from readiness.cli.completing import complete_line, line_options
from readiness.cli.main import Exit
from readiness.cli.writer import asked_writer, writer_option
from readiness.desk.desk import Desk
from readiness.facts.vocabulary import Rung

if TYPE_CHECKING:
    from readiness.diary.entries import AnyEntry

MOST_NAMES = 5


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
        click.echo(f"written: {_told(noted.entries[0])}")
        for line in changed(desk, noted.desk):
            click.echo(line)
    return int(Exit.YES)


SAYS_ITSELF = frozenset(
    {"reason", "what", "text", "cause", "reference", "value", "result", "reading", "correct"}
    | {"work", "approval", "thing", "requirement", "trip", "surface", "surfaces", "places"}
)
"""Fields whose content needs no word before it."""

SAID_OTHERWISE = {
    "office": "by",
    "off_trade": "",
    "extra_trade": "",
    "late_trade": "",
    "is_": "a",
    "blocks": "in front of",
}
"""What stands before the content of a field, where its name does not say it well."""


def _told(entry: AnyEntry) -> str:
    """Return an entry in one line: what it is about, how it is known, by whom, when, its name."""
    from readiness.diary.entry import name_of

    apart = {"number", "writer", "written", "role", "trade", "via", "replaces", "kind"}
    known = ("how", "by", "seen")
    about = [
        _plain(name, getattr(entry, name))
        for name in type(entry).model_fields
        if name not in apart.union(known) and getattr(entry, name) not in (None, "", ())
    ]
    proof = [_plain(name, value) for name in known if (value := getattr(entry, name))]
    said = f"{entry.kind}: {', '.join(about)} ({', '.join(proof)}; entry {name_of(entry)}"
    return f"{said}, instead of {entry.replaces})" if entry.replaces else f"{said})"


def _plain(name: str, value: object) -> str:
    from datetime import datetime

    from readiness.pages.moments import told

    if name in {"how", ""} or name in SAYS_ITSELF:
        lead = ""
    else:
        lead = SAID_OTHERWISE.get(name, name.replace("_", " "))
    if isinstance(value, bool):
        return ("yes" if value else "no") if name == "yes" else lead if value else f"not {lead}"
    if isinstance(value, datetime):
        return told(value) if name == "seen" else f"{lead} {told(value)}".strip()
    if isinstance(value, tuple):
        value = ", ".join(_plain("", each) for each in value)
    return f"{lead} {value}".strip()


def changed(before: Desk, after: Desk) -> list[str]:
    """Return what the verdicts say now, where they say something else than before."""
    from readiness.pages.marks import marked
    from readiness.questions.check import check

    was, now = check(before.case()), check(after.case())
    words = {line.surface: line.word for line in was.surfaces}
    moved: dict[tuple[str, str], list[str]] = {}
    for line in now.surfaces:
        if words.get(line.surface, line.word) != line.word:
            moved.setdefault((words[line.surface], line.word), []).append(line.name)
    lines = [
        f"  {marked(first)} -> {marked(then)}: {_names(names)}"
        for (first, then), names in moved.items()
    ]
    verdict = f"verdict: {marked(now.verdict)}: {now.sentence}"
    if was.verdict != now.verdict:
        verdict = f"verdict: {marked(was.verdict)} -> {marked(now.verdict)}: {now.sentence}"
    return [*lines, verdict]


def _names(names: list[str]) -> str:
    shown = ", ".join(names[:MOST_NAMES])
    return shown if len(names) <= MOST_NAMES else f"{shown} and {len(names) - MOST_NAMES} more"
