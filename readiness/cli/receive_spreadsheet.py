"""`readiness receive` of a spreadsheet: what it would change, and then a yes.

Invariant: what is shown is what is written; where one row is wrong nothing of the file is.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from readiness.cli.main import Exit

if TYPE_CHECKING:
    from readiness.cli.receive_calendar import Taking
    from readiness.desk.desk import Desk
    from readiness.desk.spreadsheets import HeardSpreadsheet
    from readiness.exchange.spreadsheet_changes import Change


def is_spreadsheet(name: str, content: bytes) -> bool:
    """Say by its ending or its beginning whether a file is a spreadsheet."""
    return name.casefold().endswith((".csv", ".xlsx")) or content.startswith(b"PK")


def take_spreadsheet(desk: Desk, taking: Taking) -> tuple[Desk, Exit]:
    """Show what a spreadsheet would change, and write it if that is wanted."""
    from readiness.desk.difference import changed
    from readiness.desk.spreadsheets import heard_spreadsheet
    from readiness.job.problems import JobFileError

    try:
        who = (taking.author, taking.taker)
        heard = heard_spreadsheet(desk, (taking.name, taking.content), who, taking.how)
    except JobFileError as error:
        click.echo(str(error), err=True)
        click.echo(f"{taking.name}: nothing of it was written", err=True)
        return desk, Exit.INPUT
    _show(taking, heard)
    count = len(heard.draft)
    if count and not taking.yes:
        for line in changed(desk, heard.draft.desk):
            click.echo(line)
    if taking.show or not count:
        return desk, Exit.YES
    entries = "1 entry" if count == 1 else f"{count} entries"
    if not (taking.yes or click.confirm(f"write {entries}?", err=True)):
        click.echo(f"{taking.name}: nothing of it was written", err=True)
        return desk, Exit.NO
    after = heard.draft.write().desk
    click.echo(f"{taking.name}: {entries} written; the job file is as it was")
    return after, Exit.YES


def _show(taking: Taking, heard: HeardSpreadsheet) -> None:
    name = taking.name
    for remark in heard.remarks:
        click.echo(f"{name}: {remark}", err=True)
    for change in heard.compared.changes:
        told = "; ".join(change.says) + _said(change, taking.how)
        click.echo(f"{name}:{change.row}: {change.title}: {told}")
    if not heard.compared.changes:
        click.echo(f"{name}: nothing in it differs from the job")


def _said(change: Change, how: str) -> str:
    """Return what kind of word it is, where that decides how much it counts."""
    told = []
    for entry in change.entries:
        if entry["kind"] == "dated":
            told.append("struck" if entry["when"] is None else _how(agreed=entry["agreed"]))
        elif entry["kind"] == "confirmed":
            told.append("confirmed")
        else:
            told.append(how or "said")
    by = f" by {change.author}" if change.author else ""
    return f" ({', '.join(told)}{by})"


def _how(*, agreed: bool) -> str:
    return "agreed" if agreed else "booked, not agreed"
