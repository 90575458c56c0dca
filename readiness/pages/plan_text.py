"""The answer of `plan` as text: what it comes to, what changes, then day by day who works where.

Invariant: what cannot be held and what is not proven stand above the first date.
"""

from __future__ import annotations

from datetime import datetime, time
from typing import TYPE_CHECKING

from readiness.pages.columns import wrapped
from readiness.pages.moments import day_told, told
from readiness.pages.plan_grid import grid

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from readiness.planning.plan_told import DateLine, HereLine, PlannedDay
    from readiness.questions.plan import PlanAnswer

WIDTH = 96
MOST_PLACES = 4


def plan_text(answer: PlanAnswer, *, why: bool = False) -> str:
    """Return the answer as text; `why` adds what holds every date, and what would be written."""
    year = answer.instants.as_of.year
    lines = [
        f"{answer.job}: as of {told(answer.instants.as_of)} ({answer.instants.time_zone})",
        *wrapped(answer.sentence, WIDTH),
    ]
    lines += _listed("Agreed, and not possible together:", answer.broken)
    lines += _listed("Without a date:", answer.undated)
    lines += _listed("Needs the earlier trip:", answer.phases)
    for level in levels_told(answer):
        lines += wrapped(level, WIDTH, "  ", "")
    lines += grid(answer)
    if answer.chain:
        lines += ["", "What sets the start of board, nearest first:"]
        for number, step in enumerate(answer.chain, 1):
            lines += wrapped(step, WIDTH, "     ", f"{number:>3}. ")
    lines += _listed("Board earlier, for money:", answer.faster)
    lines += _changes(answer, year)
    for stretch in _stretches(answer.days):
        lines += _day(stretch, answer.dates, year)
    if why:
        lines += _why(answer, year)
    if answer.notes:
        lines.append("")
        for note in answer.notes:
            lines += wrapped(note, WIDTH, "  ", "")
    return "\n".join(lines) + "\n"


def levels_told(answer: PlanAnswer) -> Iterator[str]:
    """Yield what is not proven, with what no plan can beat, then what is."""
    open_levels = [level for level in answer.levels if not level.is_proven]
    for level in open_levels:
        yield f"Not proven: {level.says}; no plan is better than {level.at_best}."
    proven = "; ".join(level.says for level in answer.levels if level.is_proven)
    if proven:
        head = "Also proven" if open_levels else "Proven, no plan does better"
        yield f"{head}: {proven}."


def move_told(line: DateLine, year: int) -> str:
    """Return a date that moves, with where it is booked or agreed now."""
    assert line.was is not None  # noqa: S101  what moves was booked
    how = "agreed" if line.was_agreed else "booked"
    return f"{line.what}: {how} {told(line.was, year)}, now {told(line.starts, year)}"


def people_told(answer: PlanAnswer) -> str:
    """Return whom to tell because a date moves."""
    return ", ".join(f"{who.name} {who.phone}".strip() for who in answer.tell)


def state_told(line: DateLine) -> str:
    """Return what becomes of a date, in a word; nothing of a new one."""
    stays = "agreed" if line.was_agreed else "booked"
    return {"new": "", "stays": stays}.get(line.change, line.change)


def _why(answer: PlanAnswer, year: int) -> Iterator[str]:
    yield ""
    yield "What holds each date:"
    for line in answer.dates:
        text = f"{line.what} {told(line.starts, year)}: {line.because or 'nothing'}"
        yield from wrapped(text, WIDTH, "      ", "  ")
    for level in answer.levels:
        proven = "proven" if level.is_proven else "not proven"
        yield from wrapped(f"{level.level}: {level.says} ({proven})", WIDTH, "      ", "  ")


def _listed(head: str, said: Iterable[str]) -> Iterator[str]:
    found = list(said)
    if not found:
        return
    yield head
    for each in found:
        yield from wrapped(each, WIDTH, "    ", "  ")


def _changes(answer: PlanAnswer, year: int) -> Iterator[str]:
    """Yield what moves against what is booked, then who is told."""
    moved = [line for line in answer.dates if line.change == "moves"]
    if not moved:
        return
    yield ""
    yield "Moves:"
    for line in moved:
        yield from wrapped(move_told(line, year), WIDTH, "    ", "  ")
    yield from wrapped(f"tell: {people_told(answer)}", WIDTH, "    ", "  ")


def _stretches(days: Iterable[PlannedDay]) -> list[list[PlannedDay]]:
    """Return days that follow each other and look alike as one stretch."""
    found: list[list[PlannedDay]] = []
    for day in days:
        if found and _alike(found[-1][-1], day):
            found[-1].append(day)
        else:
            found.append([day])
    return found


def _alike(one: PlannedDay, other: PlannedDay) -> bool:
    return one.kept_out == other.kept_out and [_seen(h) for h in one.here] == [
        _seen(h) for h in other.here
    ]


def _seen(here: HereLine) -> tuple[object, ...]:
    return here.date, here.places, here.starts.time(), here.ends.time()


def _day(stretch: list[PlannedDay], dates: tuple[DateLine, ...], year: int) -> Iterator[str]:
    first, last = (datetime.combine(day.day, time()) for day in (stretch[0], stretch[-1]))
    shut = ", ".join(stretch[0].kept_out)
    until = f" to {day_told(last, year)}" if len(stretch) > 1 else ""
    yield ""
    yield f"{day_told(first, year)}{until}" + (f", keep-out: {shut} trip" if shut else "")
    for here in stretch[0].here:
        yield from _here(here, dates[here.date])


def _here(here: HereLine, line: DateLine) -> Iterator[str]:
    mark = "*" if line.drives else " "
    hours = f"{here.starts:%H:%M}-{here.ends:%H:%M}"
    places = _places(here.places)
    state = state_told(line)
    text = f"{here.who.name}: {here.what}{places}" + (f" ({state})" if state else "")
    yield from wrapped(text, WIDTH, " " * 16, f" {mark} {hours}  ")


def _places(places: tuple[str, ...]) -> str:
    if not places:
        return ""
    more = f" and {len(places) - MOST_PLACES} more" if len(places) > MOST_PLACES else ""
    return f", {', '.join(places[:MOST_PLACES])}{more}"
