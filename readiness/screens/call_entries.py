"""Whom to call, as entries: the number first, then what to ask, then what is waited for.

Invariant: a person stands above their questions with the number to call, or it says that there is
none.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.pages.anyway_text import today_text
from readiness.pages.check_text import told_who
from readiness.screens.entries_pane import EntriesPane
from readiness.screens.lines import Entry, Line

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.questions.calls import CallLine, CallsAnswer, PersonCalls, WaitedFor
    from readiness.questions.today import TodayAnswer

_INSIDE = 2
_BELOW = 4


def call_entries(answer: CallsAnswer) -> list[tuple[Entry, CallLine | None]]:
    """Return the entries, each with the question it asks if it asks one."""
    found: list[tuple[Entry, CallLine | None]] = []
    trips = {line.trip for person in answer.people for line in person.lines}
    for number, person in enumerate(answer.people):
        found.append((_heading(f"person {number}", _person(person)), None))
        found.extend((_question(line, several=len(trips) > 1), line) for line in person.lines)
        if person.more:
            told = Line(f"and {person.more} more for the next call", indent=_INSIDE)
            found.append((_heading(f"more {number}", told), None))
    if not answer.people:
        found.append((_heading("nobody", Line("Nobody has to be called now.")), None))
    if answer.waiting:
        told = Line("Promised, so nobody asks again before:", is_strong=True)
        found.append((_heading("waiting", told), None))
        found.extend((_waited_for(each), None) for each in answer.waiting)
    return found


def today_entries(answer: TodayAnswer) -> list[Entry]:
    """Return what is still useful today, as the command tells it."""
    _, *lines = today_text(answer).splitlines()
    found: list[Entry] = []
    for number, text in enumerate(lines):
        indent = _INSIDE if text.startswith(" ") else 0
        found.append(_heading(f"today {number}", Line(text.strip(), indent=indent)))
    return found


def _heading(id_: str, *lines: Line) -> Entry:
    return Entry(f"{EntriesPane.HEADING}{id_}", lines)


def _person(person: PersonCalls) -> Line:
    first = "overdue" if person.overdue else "first"
    text = f"{told_who(person.who)}, {first}: {person.until_says}"
    return Line(text, is_strong=True)


def _question(line: CallLine, *, several: bool) -> Entry:
    trip = f"{line.trip} trip: " if several else ""
    where = f": {', '.join(line.places)}" if line.places else ""
    overdue = "OVERDUE, " if line.overdue else ""
    lines = [Line(f"{trip}{line.says}{where}", indent=_INSIDE)]
    lines.append(Line(f"{overdue}{line.until_says}", indent=_BELOW))
    if line.so_far:
        lines.append(Line(line.so_far, indent=_BELOW))
    id_ = f"{line.trip_id} {line.kind} {line.code} {' '.join(line.where)}"
    return Entry(id_, tuple(lines))


def _waited_for(each: WaitedFor) -> Entry:
    return Entry(
        f"waiting {each.trip} {each.code} {' '.join(each.places)}", tuple(_waited_lines(each))
    )


def _waited_lines(each: WaitedFor) -> Iterable[Line]:
    where = f": {', '.join(each.places)}" if each.places else ""
    yield Line(f"{each.by_says}  {each.says}{where}", indent=_INSIDE)
    yield Line(told_who(each.who), indent=_BELOW)
