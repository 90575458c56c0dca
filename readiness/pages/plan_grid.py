"""Who is where: rooms down, days across, two weeks at a time, as it hangs in the site office.

A cell holds the letters of who works in that room on that day, the number of the step if that sets
the start of board, and a plus sign where somebody else comes as well.

Invariant: every letter is explained below the grid, and a room that a keep-out shuts says so.
"""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

from readiness.pages.columns import wrapped

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readiness.planning.plan_told import DateLine, HereLine, PlannedDay
    from readiness.questions.plan import PlanAnswer
    from readiness.telling.teller import Who

WIDTH = 96
CELL = 6
WEEKS = 2
SATURDAY = 5
OUT = "out"
WEEKDAYS = ("Mo", "Tu", "We", "Th", "Fr", "Sa", "Su")


def grid(answer: PlanAnswer) -> Iterator[str]:
    """Yield the grid of a plan, block by block; nothing where nobody has a place."""
    if not any(here.rooms for day in answer.days for here in day.here):
        return
    letters = letters_of(answer)
    by_day = {day.day: day for day in answer.days}
    yield ""
    yield "Who is where (rooms down, days across):"
    for block in _blocks(answer.days):
        shown = [day for day in block if day in by_day or day.weekday() < SATURDAY]
        yield from _block(answer, letters, shown, by_day)
    told = "; ".join(f"{short}: {who.name}" for who, short in letters.items())
    yield from wrapped(f"{told}.", WIDTH, "  ", "  ")
    yield from wrapped(
        "A number is a step of what sets the start of board; + somebody else comes as well; "
        f"{OUT} the keep-out shuts the room.",
        WIDTH,
        "  ",
        "  ",
    )


def letters_of(answer: PlanAnswer) -> dict[Who, str]:
    """Return two letters for each party with a room on some day, no two alike."""
    taken: dict[Who, str] = {}
    for line in answer.dates:
        if line.who not in taken:
            used = set(taken.values())
            taken[line.who] = next(each for each in _possible(line.who) if each not in used)
    inside = {here.who for day in answer.days for here in day.here if here.rooms}
    return {who: short for who, short in taken.items() if who in inside}


def _possible(who: Who) -> Iterator[str]:
    """Yield two letters for a party: of its trade's name, else with a later letter of it."""
    name = "".join(each for each in (who.trade or who.name) if each.isalpha()) or "X"
    yield from (name[0].upper() + other.lower() for other in name[1:])
    yield from (name[0].upper() + str(number) for number in range(1, 10))
    yield from (f"{number:02}" for number in range(100))


def _blocks(days: tuple[PlannedDay, ...]) -> Iterator[list[date]]:
    """Yield the days of two weeks at a time, each from a Monday; empty stretches are left out."""
    busy = {day.day for day in days if day.shut_rooms or any(here.rooms for here in day.here)}
    first, last = min(busy), max(busy)
    monday = first - timedelta(days=first.weekday())
    while monday <= last:
        block = [monday + timedelta(days=step) for step in range(7 * WEEKS)]
        if busy.isdisjoint(block[:7]):
            monday += timedelta(days=7)
            continue
        yield [day for day in block if first <= day <= last]
        monday += timedelta(days=7 * WEEKS)


def _block(
    answer: PlanAnswer, letters: dict[Who, str], shown: list[date], by_day: dict[date, PlannedDay]
) -> Iterator[str]:
    longest = max(len(room) for room in answer.rooms)
    width = min(longest, WIDTH - CELL * len(shown) - 2) + 2
    yield ""
    first = f"{shown[0]:%b %Y}" if len(f"{shown[0]:%b %Y}") <= width else f"{shown[0]:%b}"
    heads = "".join(f"{WEEKDAYS[day.weekday()]}{day.day}".ljust(CELL) for day in shown)
    yield f"{first.ljust(width)}{heads}".rstrip()
    for room in answer.rooms:
        cells = [_cell(by_day.get(day), room, letters, answer.dates) for day in shown]
        row = "".join(cell.ljust(CELL) for cell in cells)
        yield f"{room[: width - 2].ljust(width)}{row}".rstrip()


def _cell(
    day: PlannedDay | None, room: str, letters: dict[Who, str], dates: tuple[DateLine, ...]
) -> str:
    """Return what stands in one room on one day."""
    if day is None:
        return "."
    here = [line for line in day.here if room in line.rooms]
    if not here:
        return OUT if room in day.shut_rooms else "."
    told = min(here, key=lambda line: _weight(line, dates))
    step = dates[told.date].step
    others = {line.who for line in here} - {told.who}
    return letters[told.who] + (str(step) if step else "") + ("+" if others else "")


def _weight(line: HereLine, dates: tuple[DateLine, ...]) -> tuple[bool, int, float]:
    """Return what orders those in one room: steps first, then whoever is there longest."""
    step = dates[line.date].step
    return not step, step, -(line.ends - line.starts).total_seconds()
