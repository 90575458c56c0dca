"""`readiness receive` of a calendar or a mail with one: what it would change, and then a yes.

Invariant: what is shown is what is written, and a file of somebody else decides nothing.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import click

from readiness.cli.main import Exit

if TYPE_CHECKING:
    from readiness.desk.desk import Desk
    from readiness.desk.statement import Writer

MOST_LOST = 20
"""More lines than this that could not be read are counted."""


@dataclass(frozen=True, slots=True)
class Taking:
    """One file, and who takes it."""

    name: str
    content: bytes
    author: Writer
    taker: Writer
    show: bool
    yes: bool
    how: str = ""
    """How it is known, where the file itself does not say."""


def is_calendar(content: bytes) -> bool:
    """Say whether a file is a calendar or a mail with one."""
    if b"CALENDAR" not in content.upper():
        return False
    from readiness.exchange import ics_reading

    return ics_reading.is_calendar(content)


def take_calendar(desk: Desk, taking: Taking) -> tuple[Desk, Exit]:
    """Show what a calendar would change, and write it if that is wanted."""
    from readiness.desk.receiving_calendars import heard_calendar, write_heard
    from readiness.pages.replies_text import replies_text

    answer = heard_calendar(desk, taking.name, taking.content, taking.author)
    click.echo(replies_text(answer, taking.name), nl=False)
    for lost in answer.lost[:MOST_LOST]:
        click.echo(f"{taking.name}: not read: {lost}", err=True)
    if len(answer.lost) > MOST_LOST:
        count = len(answer.lost) - MOST_LOST
        click.echo(f"{taking.name}: not read: {count} more", err=True)
    count = len(answer.entries)
    if taking.show or not count:
        return desk, Exit.YES
    entries = "1 entry" if count == 1 else f"{count} entries"
    if not (taking.yes or click.confirm(f"write {entries}?", err=True)):
        click.echo(f"{taking.name}: nothing of it was written", err=True)
        return desk, Exit.NO
    after = write_heard(desk, answer, taking.author, taking.taker)
    click.echo(f"{taking.name}: {entries} written")
    return after, Exit.YES
