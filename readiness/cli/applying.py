"""Writes what an answer proposes into the diary, once its difference was shown and agreed.

Invariant: nothing is written before its difference was shown and somebody said yes.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import click

from readiness.cli.main import Exit
from readiness.cli.writer import asked_writer

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from readiness.desk.desk import Desk


@dataclass(frozen=True, slots=True)
class Applied:
    """What came of writing an answer into the diary."""

    says: str
    """What was to be written, as a sentence."""
    changed: tuple[str, ...]
    """What it changes in the answer of `check`."""
    entries: int
    """How many entries it comes to."""
    is_written: bool
    """Somebody said yes, and they stand in the diary now."""


def apply_lines(  # noqa: PLR0913  what is written, where, by whom, and how it is said
    desk: Desk,
    lines: Iterable[Mapping[str, Any]],
    writer: str | None,
    *,
    via: str,
    says: str,
    yes: bool,
    as_json: bool,
) -> int:
    """Show what lines change, and write them once somebody has said yes.

    Args:
        desk: The open job.
        lines: Fields of entries, in order.
        writer: Who writes, as the option says it.
        via: How they reach the diary.
        says: What they do, in a sentence.
        yes: Write without asking.
        as_json: What came of it is the answer, as one object; the difference is shown as talk.

    Raises:
        click.UsageError: They may not be written.
    """
    from readiness.desk.difference import changed
    from readiness.desk.drafting import Draft
    from readiness.desk.statement import Statement
    from readiness.exchange.note_listener import NoteRefused

    who = asked_writer(writer)
    draft = Draft(desk, who, via)
    try:
        for line in lines:
            draft.add(Statement(dict(line), who))
    except NoteRefused as error:
        message = f"nothing was written: {error}"
        raise click.UsageError(message) from None
    said = tuple(changed(desk, draft.desk)) if len(draft) else ()
    for told in (says, *said) if len(draft) else (says, "nothing has to be written"):
        click.echo(told, err=as_json)
    agreed = bool(len(draft)) and (yes or click.confirm(f"write {len(draft)} entries?", err=True))
    if agreed:
        draft.write()
    if as_json:
        from readiness.pages.as_json import answer_json

        click.echo(answer_json(Applied(says, said, len(draft), agreed)), nl=False)
    elif agreed:
        click.echo(f"{len(draft)} entries written; the job file is as it was")
    elif len(draft):
        click.echo("nothing was written", err=True)
    return int(Exit.YES if agreed or not len(draft) else Exit.NO)
