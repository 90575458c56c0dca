"""Completes lines for the diary in the shell: verbs, then what the form of the verb wants next.

Invariant: a job that can't be read completes nothing and says nothing, for somebody is typing.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING

import click
from click.shell_completion import CompletionItem

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from readiness.desk.names import Names

_TOKEN = re.compile(r'\[[^\]]*\]|"[^"]*"|\S+')
_NO_NAME = re.compile(r"^\[?--|[0-9]")
"""Options and figures of a form: nothing of the job completes them."""
REPEATED = frozenset({"PLACES", "SURFACES"})
"""Words of a form that stand for any number of names."""


def complete_line(
    ctx: click.Context, param: click.Parameter, incomplete: str
) -> list[CompletionItem]:
    """Return what may stand next in a line for the diary."""
    del param
    from readiness.exchange.note_words import FORMS

    typed = [str(word) for word in ctx.params.get("words") or ()]
    if not typed:
        return [
            CompletionItem(verb, help=form.says)
            for verb, form in FORMS.items()
            if verb.startswith(incomplete)
        ]
    form = FORMS.get(typed[0])
    job = ctx.params.get("job")
    if form is None or job is None:
        return []
    wanted = _wanted(form.usage, typed)
    return [
        CompletionItem(word)
        for word in dict.fromkeys(_words(wanted, Path(job)))
        if word.startswith(incomplete) and " " not in word
    ]


def line_options(incomplete: str) -> list[CompletionItem]:
    """Return the options that belong to a line and not to the command."""
    from readiness.exchange.note_words import FLAGS, OPTIONS

    words = (f"--{name}" for name in sorted(OPTIONS | FLAGS))
    return [CompletionItem(word) for word in words if word.startswith(incomplete)]


def _wanted(usage: str, typed: Sequence[str]) -> list[str]:
    """Return what the form of a verb wants next, in the words of its usage."""
    last = typed[-1]
    if last.startswith("--"):
        return [_WANTED_BY_OPTION.get(last[2:], "")]
    plain = _without_options(typed)
    head, *_ = usage.split(" --")
    tokens = [token for token in _TOKEN.findall(head)[1:] if not _NO_NAME.search(token)]
    slots = [token.strip("[]") for token in tokens]
    if not slots:
        return []
    position = len(plain) - 1
    if position >= len(slots):
        return [slots[-1]] if slots[-1] in REPEATED else []
    may_be_skipped = tokens[position].startswith("[") and position + 1 < len(slots)
    return slots[position : position + (2 if may_be_skipped else 1)]


def _without_options(typed: Iterable[str]) -> list[str]:
    """Return the typed words that are neither options of the line nor their values."""
    from readiness.exchange.note_words import OPTIONS

    plain: list[str] = []
    is_value = False
    for word in typed:
        if is_value:
            is_value = False
        elif word.startswith("--"):
            is_value = word[2:] in OPTIONS
        else:
            plain.append(word)
    return plain


_WANTED_BY_OPTION = {
    "works": "WORK",
    "trade": "TRADE",
    "trip": "TRIP",
    "in": "PLACES",
    "is": "KIND",
    "blocks": "PLACES",
    "how": "said|shown|seen|recorded",
}
"""What an option of a line wants behind it, in the words of the usages."""


def _words(wanted: Iterable[str], job: Path) -> Iterable[str]:
    """Yield the names that words of a usage stand for."""
    from readiness.desk.names import names_in
    from readiness.job.problems import JobFileError

    try:
        names = names_in(job)
    except JobFileError:
        return
    for slot in wanted:
        for word in slot.split("|"):
            if word.isupper():
                yield from _names(word, names)
            elif "|" in slot:
                yield word


def _names(word: str, names: Names) -> tuple[str, ...]:
    by_word = {
        "WORK": names.works,
        "APPROVAL": names.approvals,
        "REQUIREMENT": (*names.requirements, *names.works, *names.approvals, *names.things),
        "QUESTION": names.requirements,
        "WHAT": names.requirements,
        "TRIP": names.trips,
        "THING": names.things,
        "TRADE": names.trades,
        "KIND": names.kinds,
        "SURFACE": names.places,
        "SURFACES": names.places,
        "PLACES": names.places,
    }
    return by_word.get(word, ())
