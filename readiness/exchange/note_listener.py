"""How words for the diary are heard: ids completed, places resolved, dates read.

Invariant: a word has one meaning in this job or is refused with the nearest ones.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from readiness.facts.rows import Facts
from readiness.job.job import Job
from readiness.job.places import resolve
from readiness.job.problems import nearest

Fields = dict[str, Any]


class NoteRefused(ValueError):  # noqa: N818  it is told as a refusal
    """A line that says nothing the diary can keep."""

    def __init__(self, what: str, hint: str = "") -> None:
        """Keep what is wrong apart from what to do."""
        self.what = what
        self.hint = hint
        super().__init__(f"{what}; {hint}" if hint else what)


@dataclass(frozen=True, slots=True)
class Listener:
    """What is needed to understand a line: the names of the job and how dates are read."""

    job: Job
    facts: Facts
    works: tuple[str, ...]
    approvals: tuple[str, ...]
    requirements: tuple[str, ...]
    trips: tuple[str, ...]
    read_when: Callable[[str], date | datetime]
    """Reads words for a day or moment; raises ValueError with a sentence."""
    later_by: Callable[[str, str], date | datetime]
    """Returns the booking of a work or trip moved by a duration in words."""
    questions: tuple[str, ...] = ()
    """What is asked beside the requirements: questions that speak for several, and works."""


@dataclass(frozen=True, slots=True)
class Form:
    """One way to say something."""

    usage: str
    says: str
    build: Callable[[Listener, list[str], Mapping[str, str]], Fields]


Build = Callable[[Listener, list[str], Mapping[str, str]], Fields]
"""Builds the fields of an entry from the words behind a verb and the options beside them."""


def completed(word: str, known: Iterable[str], what: str) -> str:
    """Return the id that a word means: itself, or the only one it begins.

    Raises:
        NoteRefused: None fits, or several do.
    """
    names = list(dict.fromkeys(known))
    if word in names:
        return word
    folded = word.casefold()
    begun = [name for name in names if name.casefold().startswith(folded)]
    if len(begun) == 1:
        return begun[0]
    if begun:
        message = f"{word!r} may mean {' or '.join(begun[:4])}"
        raise NoteRefused(message)
    near = nearest(word, names)
    message = f"{word!r} is no {what} of this job"
    raise NoteRefused(message, f"did you mean {near}?" if near else "")


def question_of(listener: Listener, word: str) -> str:
    """Return the requirement that a word means, else the question or the work.

    A requirement comes first, so that a question with the same beginning does not hide it.
    """
    if word not in listener.questions:
        folded = word.casefold()
        if any(name.casefold().startswith(folded) for name in listener.requirements):
            return completed(word, listener.requirements, "question")
    return completed(word, (*listener.requirements, *listener.questions), "question")


def places_of(listener: Listener, words: list[str]) -> list[str]:
    """Return the places that words name; none means everywhere.

    Words may be joined by commas or `and`; `all but` takes what follows it.
    """
    text = " ".join(words).strip()
    if not text:
        return ["all"]
    if text.casefold().startswith("all but "):
        rest = [place_of(listener, name) for name in _names(text[len("all but ") :])]
        return ["all but " + ", ".join(rest)]
    return [place_of(listener, name) for name in _names(text, listener)]


def _names(text: str, listener: Listener | None = None) -> list[str]:
    pieces = [piece.strip() for piece in re.split(r",| and ", text) if piece.strip()]
    if listener is None:
        return pieces
    known = _known_places(listener)
    found: list[str] = []
    for piece in pieces:
        found += [piece] if piece.casefold() in known or " " not in piece else piece.split()
    return found


def _known_places(listener: Listener) -> dict[str, str]:
    """Return the id of every place by its id and by its name, folded."""
    job = listener.job
    known = {name.casefold(): name for name in job.place_names.known}
    for rows in (job.rooms, job.surfaces):
        known.update({row.name.casefold(): name for name, row in rows.items() if row.name})
    return known


def place_of(listener: Listener, word: str) -> str:
    """Return the place that a word means, by id or by name."""
    known = _known_places(listener)
    folded = word.casefold()
    name = known.get(folded) or known.get(folded.replace(" ", "-"))
    if name is None:
        name = known[completed(folded, known, "place")]
    resolve((name,), listener.job)
    return name


def when_of(listener: Listener, text: str) -> date | datetime:
    """Return the day or moment that words mean."""
    try:
        return listener.read_when(text)
    except ValueError as error:
        raise NoteRefused(str(error)) from None


def trip_of(listener: Listener, word: str) -> str:
    """Return the trip that a word means."""
    return completed(word, listener.trips, "trip")


def named_places(listener: Listener, words: list[str]) -> list[str]:
    """Return places that must be named; everywhere is not meant by saying nothing."""
    if not words:
        raise IndexError
    return places_of(listener, words)


def trip_or_only(listener: Listener, words: list[str]) -> tuple[str, list[str]]:
    """Return the named trip and what follows it; a job's only trip need not be named."""
    if words and words[0] in listener.trips:
        return words[0], words[1:]
    if len(listener.trips) == 1:
        return listener.trips[0], words
    if not words:
        raise IndexError
    return trip_of(listener, words[0]), words[1:]
