"""The cells of who is where: which rows and weeks there are, and what stands in a room on a day.

A cell holds how many crews of a party are in the room at once, if there are several, the letters of
the party, the number of the step if that sets the start of board, and a plus sign where somebody
else comes as well. How many people a crew has is told beside its letters, where it is written;
nobody's usual head count is guessed.

Invariant: the paper and the screen show the same cells, and nobody who comes is in no row.
"""

from __future__ import annotations

from collections import Counter
from datetime import date, timedelta
from itertools import product
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping
    from datetime import datetime

    from readiness.planning.plan_told import DateLine, HereLine, PlannedDay
    from readiness.questions.plan import PlanAnswer
    from readiness.telling.teller import Who

Cell = tuple[str, date]
"""A row and a day."""

WEEK = 7
SATURDAY = 5
OUT = "out"
FREE = "."
ELSEWHERE = ""
"""The row of whoever comes and works in no room."""
WEEKDAYS = ("Mo", "Tu", "We", "Th", "Fr", "Sa", "Su")


class Told(NamedTuple):
    """Who is told in a cell."""

    line: HereLine
    steps: tuple[int, ...]
    """Of what sets the start of board."""


def rows_of(answer: PlanAnswer) -> tuple[str, ...]:
    """Return the rooms, and a row for whoever works in none; none where nobody has a room."""
    here = [line for day in answer.days for line in day.here]
    if not any(line.rooms for line in here):
        return ()
    return (*answer.rooms, ELSEWHERE) if any(not line.rooms for line in here) else answer.rooms


def row_told(row: str) -> str:
    """Return what stands in front of a row."""
    return row or "(elsewhere)"


def day_head(day: date) -> str:
    """Return what stands above a day: `Mo8`."""
    return f"{WEEKDAYS[day.weekday()]}{day.day}"


def weeks_of(answer: PlanAnswer) -> tuple[tuple[date, ...], ...]:
    """Return the days of each week in which anybody comes, weekends only if they are used."""
    busy = {day.day for day in answer.days}
    first, last = min(busy), max(busy)
    found: dict[date, list[date]] = {}
    for day in sorted(busy):
        found.setdefault(day - timedelta(days=day.weekday()), [])
    for monday, days in found.items():
        week = (monday + timedelta(days=step) for step in range(WEEK))
        days += [
            day
            for day in week
            if first <= day <= last and (day in busy or day.weekday() < SATURDAY)
        ]
    return tuple(tuple(days) for days in found.values())


def letters_of(answer: PlanAnswer) -> dict[Who, str]:
    """Return two letters for each party that comes on some day, no two alike."""
    taken: dict[Who, str] = {}
    for line in answer.dates:
        if line.who not in taken:
            used = set(taken.values())
            taken[line.who] = next(each for each in _possible(line.who) if each not in used)
    come = {here.who for day in answer.days for here in day.here}
    return {who: short for who, short in taken.items() if who in come}


def _possible(who: Who) -> Iterator[str]:
    """Yield two letters for a party: of its trade's name, else with a later letter of it."""
    name = "".join(each for each in (who.trade or who.name) if each.isalpha()) or "X"
    yield from (name[0].upper() + other.lower() for other in name[1:])
    yield from (name[0].upper() + str(number) for number in range(1, 10))
    yield from (f"{number:02}" for number in range(100))


def letters_told(answer: PlanAnswer, letters: Mapping[Who, str]) -> str:
    """Return whose letters are whose, and how many people a crew has where it is written."""
    people = {line.who: line.people for line in answer.crews if line.people is not None}
    told = (
        f"{short}: {who.name}" + (f" (a crew of {people[who]})" if who in people else "")
        for who, short in letters.items()
    )
    return f"{'; '.join(told)}."


SIGNS = (
    "A number behind the letters is a step of what sets the start of board, one before them how"
    f" many crews are there at once; + somebody else comes as well; {OUT} the keep-out shuts the"
    " room."
)
"""What stands in a cell."""


def there(
    day: PlannedDay | None, row: str, dates: tuple[DateLine, ...]
) -> list[tuple[HereLine, int]]:
    """Return who is in a row on a day, each with the number of its step, steps first."""
    if day is None:
        return []
    here = [line for line in day.here if (row in line.rooms if row else not line.rooms)]
    found = [(line, dates[line.date].step) for line in here]
    return sorted(found, key=lambda each: _weight(each[0], each[1], row))


def _weight(line: HereLine, step: int, row: str) -> tuple[bool, int, float]:
    """Return what orders those in one room: steps first, then whoever is there longest."""
    starts, ends = hours_in(line, row)
    return not step, step, -(ends - starts).total_seconds()


def hours_in(line: HereLine, row: str) -> tuple[datetime, datetime]:
    """Return from when to when somebody is in a row."""
    hours = next((each for each in line.hours if each.room == row), None)
    return (line.starts, line.ends) if hours is None else (hours.starts, hours.ends)


def crews_at_once(lines: Iterable[HereLine], row: str, answer: PlanAnswer) -> dict[Who, int]:
    """Return how many crews of each party are in a row at once, at most as many as it has."""
    most = {line.who: line.crews for line in answer.crews}
    events: dict[Who, list[tuple[datetime, int]]] = {}
    for line in lines:
        starts, ends = hours_in(line, row)
        events.setdefault(line.who, []).extend(((starts, 1), (ends, -1)))
    found = {}
    for who, changes in events.items():
        now = at_once = 0
        for _, step in sorted(changes):
            now += step
            at_once = max(at_once, now)
        found[who] = min(at_once, most.get(who, 1))
    return found


def told_in(answer: PlanAnswer) -> dict[Cell, Told]:
    """Return who is told in each cell in which somebody is, so that each step stands in one.

    Where several steps meet in a cell the nearest to the start of board is told, but for one that
    no other cell tells; where it can't be helped a cell tells several.
    """
    every = {
        (row, day.day): here
        for day in answer.days
        for row in rows_of(answer)
        if (here := there(day, row, answer.dates))
    }
    told = {cell: here[0] for cell, here in every.items()}
    count = Counter(step for _, step in told.values())
    more: dict[Cell, list[int]] = {}
    for can_share in (False, True):
        for cell, here in every.items():
            for line, step in here:
                if not step or count[step]:
                    continue
                at = told[cell][1]
                if count[at] > 1:
                    count[at] -= 1
                    told[cell] = (line, step)
                elif can_share:
                    more.setdefault(cell, []).append(step)
                else:
                    continue
                count[step] += 1
    return {
        cell: Told(line, tuple(filter(None, (step, *more.get(cell, ())))))
        for cell, (line, step) in told.items()
    }


def cells_of(answer: PlanAnswer, letters: Mapping[Who, str]) -> dict[Cell, str]:
    """Return what stands in every cell."""
    by_day, told = {day.day: day for day in answer.days}, told_in(answer)
    found: dict[Cell, str] = {}
    for row, week in product(rows_of(answer), weeks_of(answer)):
        for at in week:
            day, cell = by_day.get(at), (row, at)
            is_out = day is not None and bool(row) and row in day.shut_rooms
            if cell in told and day is not None:
                found[cell] = _text(told[cell], day, row, letters, answer)
            else:
                found[cell] = OUT if is_out else FREE
    return found


def _text(
    told: Told, day: PlannedDay, row: str, letters: Mapping[Who, str], answer: PlanAnswer
) -> str:
    here = [line for line, _ in there(day, row, answer.dates)]
    who = told.line.who
    crews = crews_at_once(here, row, answer)[who]
    steps = ",".join(str(step) for step in told.steps)
    others = "+" if {line.who for line in here} - {who} else ""
    return f"{crews if crews > 1 else ''}{letters[who]}{steps}{others}"
