"""Who writes: the option, else the settings file, else the environment, else the login name.

Invariant: a login name alone has no role, so it may remark and report but never override.
"""

from __future__ import annotations

import getpass
import os

import click

from readiness.cli.settings import setting
from readiness.desk.statement import Writer, writer_of
from readiness.exchange.note_listener import NoteRefused


def asked_writer(option: str | None) -> Writer:
    """Return the writer of a call.

    Raises:
        click.UsageError: The words for the writer have no name, or the settings can't be read.
    """
    return writer_named(
        option
        or setting("writer", "Dana Ruiz, contractor")
        or os.environ.get("READINESS_WRITER")
        or _login_name()
    )


def _login_name() -> str:
    try:
        return getpass.getuser()
    except (KeyError, OSError):
        message = 'nobody is logged in by a name; write it like: --writer "Dana Ruiz, contractor"'
        raise click.UsageError(message) from None


def writer_named(text: str) -> Writer:
    """Return the writer that words name.

    Raises:
        click.UsageError: They have no name.
    """
    try:
        return writer_of(text)
    except NoteRefused as error:
        raise click.UsageError(str(error)) from None
