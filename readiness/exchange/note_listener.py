"""How words for the diary are heard: ids completed, places resolved, dates read.

Invariant: a word has one meaning in this job or is refused with the nearest ones.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
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
    names: Mapping[str, str] = field(default_factory=dict)
    """What answers and pages call each place, by its id."""


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
        return ["all but " + ", ".join(_places(text[len("all but ") :], listener))]
    return _places(text, listener)


def _places(text: str, listener: Listener) -> list[str]:
    """Return the places in a text; where a word means none, the text may be like a whole name."""
    try:
        return [place_of(listener, name) for name in _names(text, listener)]
    except NoteRefused:
        known = known_places(listener)
        near = nearest(text.casefold(), known) if " " in text.strip() else None
        if near is None or text.casefold() in known:
            raise
        message = f"{text!r} is no place of this job"
        raise NoteRefused(message, f"did you mean {near}?") from None


def _names(text: str, listener: Listener) -> list[str]:
    """Return the names in a text, a name of several words as one: the longest that is known."""
    known = known_places(listener)
    words = text.replace(",", " , ").split()
    found: list[str] = []
    while words:
        count = next(
            (n for n in range(len(words), 1, -1) if " ".join(words[:n]).casefold() in known), 1
        )
        name, words = " ".join(words[:count]), words[count:]
        if name not in {",", "and"}:
            found.append(name)
    return found


def known_places(listener: Listener) -> dict[str, tuple[str, ...]]:
    """Return the places of every id and of every name, folded; an id means itself alone."""
    job = listener.job
    named: dict[str, set[str]] = {}
    for rows in (job.rooms, job.surfaces):
        for place, row in rows.items():
            named.setdefault((row.name or place).casefold(), set()).add(place)
    for place in sorted(job.place_names.known):
        if place in listener.names:
            named.setdefault(listener.names[place].casefold(), set()).add(place)
    known = {name: tuple(sorted(places)) for name, places in named.items()}
    return known | {place.casefold(): (place,) for place in sorted(job.place_names.known)}


def place_of(listener: Listener, word: str) -> str:
    """Return the place that a word means, by id or by name."""
    known = known_places(listener)
    folded = word.casefold()
    found = known.get(folded) or known.get(folded.replace(" ", "-"))
    if found is None:
        found = known[completed(word, known, "place")]
    if len(found) > 1:
        message = f"{word!r} may mean {' or '.join(found[:4])}"
        raise NoteRefused(message)
    resolve(found[:1], listener.job)
    return found[0]


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
