"""The answer of `calls` as text: the number first, then what to ask.

Invariant: a person stands on one line with the number in front, their questions below it.
"""

from __future__ import annotations

from textwrap import wrap
from typing import TYPE_CHECKING

from readiness.pages.moments import told

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.questions.calls import CallLine, CallsAnswer, PersonCalls

WIDTH = 96


def calls_text(answer: CallsAnswer) -> str:
    """Return the answer as text."""
    instants = answer.instants
    jobs = answer.jobs[0] if len(answer.jobs) == 1 else f"{len(answer.jobs)} jobs"
    lines = [f"{jobs}: calls as of {told(instants.as_of)} ({instants.time_zone})"]
    overdue = f", {answer.overdue} overdue" if answer.overdue else ""
    lines.append(f"{len(answer.people)} people to call{overdue}")
    for person in answer.people:
        lines += _person(person, several=len(answer.jobs) > 1)
    return "\n".join(lines) + "\n"


def _person(person: PersonCalls, *, several: bool) -> Iterable[str]:
    who = person.who
    trade = "" if who.trade.casefold() in who.name.casefold() else f" ({who.trade})"
    first = "overdue" if person.overdue else "first"
    yield ""
    yield f"{who.phone or 'no number':<12} {who.name}{trade}, {first}: {person.lines[0].until_says}"
    for number, line in enumerate(person.lines, 1):
        yield from _line(number, line, several=several)
    if person.more:
        yield f"     and {person.more} more for the next call"


def _line(number: int, line: CallLine, *, several: bool) -> Iterable[str]:
    where = f": {', '.join(line.places)}" if line.places else ""
    mark = " OVERDUE" if line.overdue else ""
    job = f"[{line.job}] " if several else ""
    text = f"{number:>3}. {job}{line.says}{where} - {line.until_says}{mark}"
    yield from wrap(text, WIDTH, subsequent_indent="     ")
