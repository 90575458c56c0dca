"""`readiness serve`: feeds and phone pages of jobs, read only, until it is ended.

Invariant: every job was read whole before the door opens, and nothing is ever written.
"""

from __future__ import annotations

from contextlib import suppress
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

import click

from readiness.cli.asking import desk_at, opened
from readiness.cli.main import Exit
from readiness.cli.options import clock_option
from readiness.cli.share import DEFAULT_PORT, asked_url, url_option

if TYPE_CHECKING:
    import socket
    from collections.abc import Sequence

    from readiness.desk.desk import Desk
    from readiness.serve.shelf import Shelf

EXTRA = ("uvicorn", "h11", "segno")
EVERYWHERE = frozenset({"0.0.0.0", "::"})  # noqa: S104  to be refused without an address


@click.command("serve")
@click.argument("jobs", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--host", default="127.0.0.1", show_default=True, help="Who can reach it.")
@click.option(
    "--port",
    type=click.IntRange(0, 65535),
    default=DEFAULT_PORT,
    show_default=True,
    help="0 takes a free one.",
)
@url_option
@click.option("--no-links", is_flag=True, help="Leave out which entry waits for which.")
@clock_option
def command(  # noqa: PLR0913  one parameter per option
    jobs: tuple[Path, ...],
    host: str,
    port: int,
    url: str | None,
    as_of: str | None,
    *,
    no_links: bool,
) -> int:
    """Show pages and calendars to those with whom `share` shared them, until ctrl+c.

    JOBS are job files or their folders. Nothing is written; what changes in a job or its diary
    shows at the next request. Without --host only this machine reaches it.
    """
    _check_installed()
    from readiness.desk.shares import shares_file
    from readiness.serve.app import App
    from readiness.serve.register import Register
    from readiness.serve.running import door, serve

    said = asked_url(url)
    if host in EVERYWHERE and not said:
        message = "say under which address phones reach it: --url http://NAME-OR-NUMBER:PORT"
        raise click.UsageError(message)
    desks = [opened(job, as_of) for job in jobs]
    _check_apart(desks)
    with door(host, port) as listening:
        base = said or _url_of(host, listening)
        shelves = [_shelf(desk, as_of, base, links=not no_links) for desk in desks]
        register = Register(shares_file())
        # From the first word on ctrl+c is the way to end it, also before the server listens to it
        with suppress(KeyboardInterrupt):
            _tell_start(shelves, listening, base)
            serve(App(shelves, register, _log), listening)
    return int(Exit.YES)


def _check_installed() -> None:
    """Say what is missing before anything else.

    Raises:
        JobFileError: The extra is not installed.
    """
    from readiness.job.problems import JobFileError, Problem

    missing = [name for name in EXTRA if find_spec(name) is None]
    if missing:
        what = f"{' and '.join(missing)} {'is' if len(missing) == 1 else 'are'} not installed"
        hint = "install what it needs beside readiness: pip install '.[serve]'"
        raise JobFileError([Problem("readiness serve", None, "", what, hint=hint)])


def _check_apart(desks: Sequence[Desk]) -> None:
    """Refuse two jobs that one address would mean.

    Raises:
        click.UsageError: Two jobs have the same key.
    """
    files: dict[str, Path] = {}
    for desk in desks:
        other = files.setdefault(desk.job.key, desk.file)
        if other != desk.file:
            message = f"{other} and {desk.file} have the same key; one of them is a copy"
            raise click.UsageError(message)


def _shelf(desk: Desk, as_of: str | None, base: str, *, links: bool) -> Shelf:
    from readiness.desk.desk import open_desk
    from readiness.serve.shelf import Shelf

    shelf = Shelf(desk, lambda: desk_at(open_desk(desk.file), as_of), base, _log)
    shelf.links = links
    return shelf


def _url_of(host: str, listening: socket.socket) -> str:
    return f"http://{f'[{host}]' if ':' in host else host}:{listening.getsockname()[1]}"


def _tell_start(shelves: Sequence[Shelf], listening: socket.socket, base: str) -> None:
    from readiness.desk.shares import read_shares, shares_file
    from readiness.serve.running import is_only_here

    shares = read_shares(shares_file())
    for shelf in shelves:
        roles = sorted(share.role for share in shares if share.job == shelf.job)
        told = ", ".join(roles) or f"nobody yet; readiness share {shelf.file.parent} --with ROLE"
        click.echo(f"{shelf.name}: shared with {told}")
    name, number = listening.getsockname()[:2]
    if is_only_here(listening):
        click.echo(f"only this machine reaches it, at port {number} of {name}", err=True)
    else:
        click.echo(
            f"NOT only this machine: whoever reaches port {number} of {name} can ask, and without"
            " an https server in front everybody on the way can read along",
            err=True,
        )
    click.echo(f"serving {base}; ctrl+c ends it")


def _log(told: str) -> None:
    click.echo(told, err=True)
