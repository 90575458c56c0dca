"""Who writes: the option, else the settings file, else the environment, else the login name.

Invariant: a login name alone has no role, so it may remark and report but never override.
"""

from __future__ import annotations

import getpass
import os
import tomllib
from pathlib import Path

import click

from readiness.desk.statement import Writer, writer_of
from readiness.exchange.note_listener import NoteRefused

writer_option = click.option(
    "--writer",
    metavar='"NAME, ROLE"',
    help="Who writes; else the settings, else READINESS_WRITER, else the login name.",
)


def settings_file() -> Path:
    """Return where the settings of this user stand."""
    folder = os.environ.get("XDG_CONFIG_HOME") or str(Path.home() / ".config")
    return Path(folder) / "readiness" / "settings.toml"


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


def setting(key: str, example: str) -> str:
    """Return a text of the settings file, empty if it is not there.

    Args:
        key: Its key.
        example: What may stand there, for whoever wrote something else.

    Raises:
        click.UsageError: The settings can't be read, or it is no text.
    """
    value = _settings().get(key, "")
    if not isinstance(value, str):
        message = f'{settings_file()}: {key} is no text; write it like: {key} = "{example}"'
        raise click.UsageError(message)
    return value


def settings_table(key: str, example: str) -> dict[str, object]:
    """Return a table of the settings file, empty if it is not there.

    Args:
        key: Its key.
        example: What may stand in it, for whoever wrote something else.

    Raises:
        click.UsageError: The settings can't be read, or it is no table.
    """
    value = _settings().get(key, {})
    if not isinstance(value, dict):
        message = f"{settings_file()}: {key} is no table; write it like: [{key}] and {example}"
        raise click.UsageError(message)
    return value


def _settings() -> dict[str, object]:
    file = settings_file()
    if not file.is_file():
        return {}
    try:
        return tomllib.loads(file.read_text("utf-8"))
    except (OSError, ValueError) as error:
        message = f"{file}: the settings can't be read ({error})"
        raise click.UsageError(message) from None
