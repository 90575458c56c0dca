"""What a user has set once for all jobs: who writes, where pages stand, which keys.

Invariant: settings that can't be read end the call with the file named; none at all are fine.
"""

from __future__ import annotations

import os
import tomllib
from pathlib import Path
from typing import Any

import click


def settings_file() -> Path:
    """Return where the settings of this user stand."""
    folder = os.environ.get("XDG_CONFIG_HOME") or str(Path.home() / ".config")
    return Path(folder) / "readiness" / "settings.toml"


def settings() -> dict[str, Any]:
    """Return what the user has set; empty without a file.

    Raises:
        click.UsageError: The file can't be read.
    """
    file = settings_file()
    if not file.is_file():
        return {}
    try:
        return tomllib.loads(file.read_text("utf-8"))
    except (OSError, ValueError) as error:
        message = f"{file}: the settings can't be read ({error})"
        raise click.UsageError(message) from None


def setting(key: str, example: str) -> str:
    """Return a text that the user has set, empty if it is not there.

    Args:
        key: Its key.
        example: What may stand there, for whoever wrote something else.

    Raises:
        click.UsageError: The settings can't be read, or it is no text.
    """
    value = settings().get(key, "")
    if not isinstance(value, str):
        message = f'{settings_file()}: {key} is no text; write it like: {key} = "{example}"'
        raise click.UsageError(message)
    return value


def settings_table(key: str, example: str) -> dict[str, object]:
    """Return a table that the user has set, empty if it is not there.

    Args:
        key: Its key.
        example: What may stand in it, for whoever wrote something else.

    Raises:
        click.UsageError: The settings can't be read, or it is no table.
    """
    value = settings().get(key, {})
    if not isinstance(value, dict):
        message = f"{settings_file()}: {key} is no table; write it like: [{key}] and {example}"
        raise click.UsageError(message)
    return value
