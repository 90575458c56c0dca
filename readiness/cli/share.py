"""`readiness share`: who may look at a job over the network; made, listed, taken back.

Invariant: a token is printed once, by the call that makes it, and by no other.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING

import click

from readiness.cli.asking import opened
from readiness.cli.main import Exit
from readiness.cli.options import job_argument
from readiness.cli.settings import setting

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readiness.desk.desk import Desk
    from readiness.desk.shares import Share

DEFAULT_PORT = 8430
DEFAULT_URL = f"http://127.0.0.1:{DEFAULT_PORT}"
_URL = re.compile(r"https?://(?:[A-Za-z0-9.-]+|\[[0-9A-Fa-f:.]+\])(?::[0-9]{1,5})?(?:/[\w.~/-]*)?")

url_option = click.option(
    "--url",
    metavar="URL",
    help=f"Where phones reach it; else url in the settings, else {DEFAULT_URL}.",
)


def asked_url(option: str | None) -> str:
    """Return under which address the pages are reached, or nothing if nobody says so.

    Raises:
        click.UsageError: It is no address.
    """
    said = option or setting("url", "https://pages.example.com")
    if said and not _URL.fullmatch(said):
        message = f"--url: {said!r} is no address; write it like https://pages.example.com"
        raise click.UsageError(message)
    return said.rstrip("/")


@click.command("share")
@job_argument
@click.option("--with", "roles", multiple=True, metavar="ROLE", help="Share the page of ROLE.")
@click.option("--take-back", "ids", multiple=True, metavar="ID", help="The four signs, or a role.")
@url_option
def command(job: Path, roles: tuple[str, ...], ids: tuple[str, ...], url: str | None) -> int:
    """List, make and take back addresses under which `serve` shows a job.

    JOB is a job file or its folder. ROLE is a word that `page --for` takes; its address opens its
    page and, if it has one, its calendar. Whoever has an address can read both, so it is printed
    only once; if it is lost, take it back and share anew.
    """
    from readiness.desk.shares import make_shares, read_shares, shares_file, take_back

    desk, file, base = opened(job, None), shares_file(), asked_url(url) or DEFAULT_URL
    names = _known(desk, roles)
    mine = _of_job(desk, read_shares(file))
    lost = _chosen(ids, mine)
    if lost:
        take_back(file, {share.id for share in lost})
        for share in lost:
            click.echo(f"taken back: {_line(share)}")
    if names:
        for made in make_shares(file, desk.job.key, names, _today(desk)):
            _tell(made.share, f"{base}/{made.token}")
    if not (lost or names):
        _list(desk, mine)
    return int(Exit.YES)


def _known(desk: Desk, roles: Sequence[str]) -> tuple[str, ...]:
    """Return the roles by their plain names.

    Raises:
        click.UsageError: Nobody of the job is called so.
    """
    if not roles:
        return ()
    from readiness.cli.page import unknown_role
    from readiness.desk.papers import answers_of
    from readiness.pages.roles import paper_for, role_named

    answers = answers_of(desk.case())
    names = tuple(role_named(role) for role in roles)
    for name in names:
        if paper_for(name, answers) is None:
            raise unknown_role("--with", name, answers)
    return names


def _of_job(desk: Desk, shares: Sequence[Share]) -> tuple[Share, ...]:
    mine = (share for share in shares if share.job == desk.job.key)
    return tuple(sorted(mine, key=lambda share: (share.role, share.since, share.id)))


def _chosen(ids: Sequence[str], shares: Sequence[Share]) -> tuple[Share, ...]:
    """Return the shares that words name, each by its signs or all of a role.

    Raises:
        click.UsageError: Words name none.
    """
    from readiness.pages.roles import role_named

    chosen: dict[str, Share] = {}
    for words in ids:
        found = [one for one in shares if words.upper() == one.id or role_named(words) == one.role]
        if not found:
            known = ", ".join(share.id for share in shares) or "none"
            message = f"--take-back: nothing is shared as {words!r}. There is {known}."
            raise click.UsageError(message)
        chosen.update((share.id, share) for share in found)
    return tuple(chosen.values())


def _today(desk: Desk) -> str:
    from readiness.job.instants import moment_of

    return moment_of(desk.own_clock(), desk.zone).date().isoformat()


def _line(share: Share) -> str:
    return f"{share.id}  {share.role}, since {share.since}"


def _tell(share: Share, address: str) -> None:
    from readiness.pages.roles import calendar_of

    click.echo(_line(share))
    click.echo(f"  page      {address}")
    if calendar_of(share.role):
        click.echo(f"  calendar  {address}.ics")
    click.echo("  shown this once; whoever has it can read it", err=True)


def _list(desk: Desk, shares: Sequence[Share]) -> None:
    if not shares:
        click.echo(f"{desk.job.name}: shared with nobody; begin with --with ROLE")
        return
    count = "1 address" if len(shares) == 1 else f"{len(shares)} addresses"
    click.echo(f"{desk.job.name}: {count}")
    for share in shares:
        click.echo(f"  {_line(share)}")
