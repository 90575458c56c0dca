"""What may stand next in a line for the diary: verbs, then what the form of the verb wants.

Invariant: only names of this job and words of the form are offered, and nothing is guessed.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from readiness.exchange.note_words import FLAGS, FORMS, OPTIONS

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from readiness.desk.names import Names

_TOKEN = re.compile(r'\[[^\]]*\]|"[^"]*"|\S+')
_NO_NAME = re.compile(r"^\[?--|[0-9]")
"""Options and figures of a form: nothing of the job completes them."""
REPEATED = frozenset({"PLACES", "SURFACES"})
"""Words of a form that stand for any number of names."""


def verbs(incomplete: str) -> list[tuple[str, str]]:
    """Return the verbs that a line may begin with, each with what it says."""
    return [(verb, form.says) for verb, form in FORMS.items() if verb.startswith(incomplete)]


def next_words(typed: Sequence[str], incomplete: str, names: Callable[[], Names]) -> list[str]:
    """Return the words that may stand behind those typed, the verb being among them."""
    form = FORMS.get(typed[0])
    if form is None:
        return []
    wanted = _wanted(form.usage, typed)
    return [
        word
        for word in dict.fromkeys(_words(wanted, names))
        if word.startswith(incomplete) and " " not in word
    ]


def options(incomplete: str) -> list[str]:
    """Return the options that belong to a line."""
    words = (f"--{name}" for name in sorted(OPTIONS | FLAGS))
    return [word for word in words if word.startswith(incomplete)]


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


def _words(wanted: Iterable[str], names: Callable[[], Names]) -> Iterable[str]:
    """Yield the names that words of a usage stand for."""
    for slot in wanted:
        for word in slot.split("|"):
            if word.isupper():
                yield from _names(word, names())
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
