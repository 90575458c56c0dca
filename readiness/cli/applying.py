"""Writes what an answer proposes into the diary, once its difference was shown and agreed.

Invariant: nothing is written before its difference was shown and somebody said yes.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from readiness.cli.main import Exit
from readiness.cli.writer import asked_writer

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from readiness.desk.desk import Desk


def apply_lines(  # noqa: PLR0913  what is written, where, by whom, and how it is said
    desk: Desk,
    lines: Iterable[Mapping[str, Any]],
    writer: str | None,
    *,
    via: str,
    says: str,
    yes: bool,
) -> int:
    """Show what lines change, and write them once somebody has said yes.

    Args:
        desk: The open job.
        lines: Fields of entries, in order.
        writer: Who writes, as the option says it.
        via: How they reach the diary.
        says: What they do, in a sentence.
        yes: Write without asking.

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
    click.echo(says)
    if not len(draft):
        click.echo("nothing has to be written")
        return int(Exit.YES)
    for said in changed(desk, draft.desk):
        click.echo(said)
    if not yes and not click.confirm(f"write {len(draft)} entries?", err=True):
        click.echo("nothing was written", err=True)
        return int(Exit.NO)
    draft.write()
    click.echo(f"{len(draft)} entries written; the job file is as it was")
    return int(Exit.YES)
