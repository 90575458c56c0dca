"""Completes lines for the diary in the shell: verbs, then what the form of the verb wants next.

Invariant: a job that can't be read completes nothing and says nothing, for somebody is typing.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

import click
from click.shell_completion import CompletionItem

if TYPE_CHECKING:
    from readiness.desk.names import Names


def complete_line(
    ctx: click.Context, param: click.Parameter, incomplete: str
) -> list[CompletionItem]:
    """Return what may stand next in a line for the diary."""
    del param
    from readiness.desk.completing import next_words, verbs
    from readiness.job.problems import JobFileError

    typed = [str(word) for word in ctx.params.get("words") or ()]
    if not typed:
        return [CompletionItem(verb, help=says) for verb, says in verbs(incomplete)]
    job = ctx.params.get("job")
    if job is None:
        return []
    try:
        words = next_words(typed, incomplete, lambda: _names_in(Path(job)))
    except JobFileError:
        return []
    return [CompletionItem(word) for word in words]


@cache
def _names_in(job: Path) -> Names:
    from readiness.desk.names import names_in

    return names_in(job)


def line_options(incomplete: str) -> list[CompletionItem]:
    """Return the options that belong to a line and not to the command."""
    from readiness.desk.completing import options

    return [CompletionItem(word) for word in options(incomplete)]
