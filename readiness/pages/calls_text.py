"""The answer of `calls` as text: the number first, then what to ask.

Invariant: a person stands on one line with the number in front, their questions below it; what is
waited for stands at the end.
"""

from __future__ import annotations

from textwrap import wrap
from typing import TYPE_CHECKING

from readiness.pages.moments import told

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.questions.calls import CallLine, CallsAnswer, PersonCalls, WaitedFor
    from readiness.telling.teller import Who

WIDTH = 96


def calls_text(answer: CallsAnswer) -> str:
    """Return the answer as text."""
    instants = answer.instants
    jobs = answer.jobs[0] if len(answer.jobs) == 1 else f"{len(answer.jobs)} jobs"
    moment = f"{told(instants.as_of)} ({instants.time_zone})"
    as_of = moment if answer.one_moment else "the moment that each file fixes"
    lines = [f"{jobs}: calls as of {as_of}"]
    overdue = f", {answer.overdue} overdue" if answer.overdue else ""
    people = "1 person" if len(answer.people) == 1 else f"{len(answer.people)} people"
    lines.append(f"{people} to call{overdue}" if answer.people else "Nobody has to be called now.")
    several = _several(answer)
    for person in answer.people:
        lines += _person(person, several)
    if answer.waiting:
        lines += ["", "Promised, so nobody asks again before:"]
        for each in answer.waiting:
            lines += _waited_for(each, several)
    return "\n".join(lines) + "\n"


def _several(answer: CallsAnswer) -> frozenset[str]:
    """Return the jobs that have to be named, and those of which the trip has to be named."""
    pairs = {(line.job, line.trip) for person in answer.people for line in person.lines}
    pairs |= {(each.job, each.trip) for each in answer.waiting}
    trips = {job for job in answer.jobs if sum(pair[0] == job for pair in pairs) > 1}
    return frozenset(trips | ({""} if len(answer.jobs) > 1 else set()))


def _about(line: CallLine | WaitedFor, several: frozenset[str]) -> str:
    """Return the job and trip a line is about, where there are others."""
    told = [line.job] if "" in several else []
    told += [f"{line.trip} trip"] if line.job in several else []
    return f"[{', '.join(told)}] " if told else ""


def _person(person: PersonCalls, several: frozenset[str]) -> Iterable[str]:
    who = person.who
    first = "overdue" if person.overdue else "first"
    yield ""
    yield f"{who.phone or 'no number':<12} {_named(who)}, {first}: {person.until_says}"
    for number, line in enumerate(person.lines, 1):
        yield from _line(number, line, several)
    if person.more:
        yield f"     and {person.more} more for the next call"


def _named(who: Who) -> str:
    same = who.trade.casefold() in who.name.casefold()
    return who.name if same else f"{who.name} ({who.trade})"


def _line(number: int, line: CallLine, several: frozenset[str]) -> Iterable[str]:
    where = f": {', '.join(line.places)}" if line.places else ""
    mark = " OVERDUE" if line.overdue else ""
    text = f"{number:>3}. {_about(line, several)}{line.says}{where} - {line.until_says}{mark}"
    yield from wrap(text, WIDTH, subsequent_indent="     ")
    if line.so_far:
        yield from wrap(f"     {line.so_far}", WIDTH, subsequent_indent="     ")


def _waited_for(each: WaitedFor, several: frozenset[str]) -> Iterable[str]:
    where = f": {', '.join(each.places)}" if each.places else ""
    text = f"  {each.by_says}  {_about(each, several)}{each.says}{where} - {_named(each.who)}"
    yield from wrap(text, WIDTH, subsequent_indent="     ")
