"""Who is where, as entries: who is in a place on a day, and what sets the start of board.

Invariant: every step of the chain stands with the number that its cells have, and a caution stands
where the plan needs it.
"""

from __future__ import annotations

from datetime import datetime, time
from typing import TYPE_CHECKING

from readiness.pages.check_text import told_who
from readiness.pages.moments import day_told, told
from readiness.pages.plan_cells import (
    crews_at_once,
    hours_in,
    letters_of,
    letters_told,
    row_told,
    rows_of,
    there,
    told_in,
)
from readiness.pages.plan_text import levels_told, move_told, people_told, state_told
from readiness.screens.entries_pane import EntriesPane
from readiness.screens.lines import Entry, Line

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from datetime import date

    from readiness.pages.plan_cells import Cell
    from readiness.planning.plan_told import DateLine, HereLine
    from readiness.questions.plan import PlanAnswer
    from readiness.telling.teller import Who

STEP, MOVE, DATE = "step ", "move ", "date "
"""Ids of steps, of dates that move and of dates begin so."""
_INSIDE = 2
KEPT_OUT = "nobody else inside until a named person lets workers in again, by the product sheet"
NO_ROOM = "Nobody has a room in this plan, so there is no grid; who comes when stands below."
NOTHING = "Nothing is left to be dated."


def place_told(cell: Cell, year: int) -> str:
    """Return a cell in words: `Bath, Mon 24 Aug`."""
    return f"{row_told(cell[0])}, {day_told(datetime.combine(cell[1], time()), year)}"


# Above the grid


def says_entry(answer: PlanAnswer) -> Entry:
    """Return what the plan comes to: sentence, what is not proven, what moves."""
    lines = [Line(answer.sentence, is_strong=True)]
    lines += (Line(level) for level in levels_told(answer) if level.startswith("Not proven"))
    moves = _moves(answer)
    if moves:
        what = "one booked date" if len(moves) == 1 else f"{len(moves)} booked dates"
        agreed = sum(line.was_agreed for line in moves)
        among = f", {agreed} of them agreed" if agreed else ""
        lines.append(Line(f"It moves {what}{among}: the list says which (s)."))
    elif answer.undated:
        lines.append(Line("Something gets no date: the list says what (s)."))
    return Entry("says", tuple(lines))


def _moves(answer: PlanAnswer) -> list[DateLine]:
    return [line for line in answer.dates if line.change == "moves"]


# A cell


def cell_entries(answer: PlanAnswer, cell: Cell) -> list[Entry]:
    """Return who is in a place on a day: hours, number to call, what for, why then."""
    row, at = cell
    day = next((each for each in answer.days if each.day == at), None)
    here = [line for line, _ in there(day, row, answer.dates)]
    here.sort(key=lambda line: (*hours_in(line, row), line.who.name, line.what))
    found: list[Entry] = []
    if day is not None and row in day.shut_rooms:
        trips = " and ".join(day.kept_out)
        says = f"out: the keep-out of the {trips} trip; {KEPT_OUT}."
        found.append(_entry("out", Line(says, is_strong=True)))
    crews = crews_at_once(here, row, answer)
    for number, line in enumerate(here):
        found.append(_entry(f"here {number}", *_here(answer, line, row)))
    for who, count in crews.items():
        if count > 1:
            found.append(_entry(f"crews {who.id}", Line(f"{count} crews of {who.name} at once.")))
    return found or [_entry("nobody", Line("Nobody is planned here on this day."))]


def _here(answer: PlanAnswer, line: HereLine, row: str) -> Iterable[Line]:
    year = answer.instants.as_of.year
    of = answer.dates[line.date]
    starts, ends = hours_in(line, row)
    yield Line(f"{starts:%H:%M}-{ends:%H:%M}  {_who(answer, line.who)}", is_strong=True)
    state = state_told(of)
    if of.change == "moves" and of.was is not None:
        how = "agreed" if of.was_agreed else "booked"
        state = f"moves: {how} for {told(of.was, year)}"
    where = "" if row else _places(line.places)
    yield Line(f"{line.what}{where}" + (f" ({state})" if state else ""), indent=_INSIDE)
    yield Line(_step(of), indent=_INSIDE)
    whole = f"{told(of.starts, year)} to {told(of.ends, year)}"
    why = f"; why then: {of.because}" if of.because else ""
    yield Line(f"all of it: {whole}{why}", indent=_INSIDE)


def _who(answer: PlanAnswer, who: Who) -> str:
    people = next((line.people for line in answer.crews if line.who == who), None)
    return told_who(who) + (f", a crew of {people}" if people is not None else "")


def _places(places: Sequence[str]) -> str:
    return f", {', '.join(places)}" if places else ""


def _step(line: DateLine) -> str:
    if line.step:
        return f"step {line.step} of what sets the start of board"
    if line.drives:
        return "on the way to the start of board, between the steps that are told"
    return "no step of what sets the start of board"


# Everything else


def list_entries(answer: PlanAnswer) -> list[Entry]:
    """Return what sets the start of board, what moves, and what else the plan says."""
    year = answer.instants.as_of.year
    found: list[Entry] = []
    if answer.chain:
        found.append(_heading("steps", "What sets the start of board, nearest first"))
        found += (
            _entry(f"{STEP}{number}", Line(f"{number:>2}. {says}", indent=_INSIDE))
            for number, says in enumerate(answer.chain, 1)
        )
    found += _listed("broken", "Agreed, and not possible together", answer.broken)
    moves = _moves(answer)
    if moves:
        found.append(_heading("moves", "Moves against what is booked"))
        found += (
            _entry(f"{MOVE}{line.id}", Line(move_told(line, year), indent=_INSIDE))
            for line in moves
        )
        found.append(_entry("tell", Line(f"tell: {people_told(answer)}", indent=_INSIDE)))
    found += _listed("undated", "Without a date", answer.undated)
    found += _listed("phases", "Needs the earlier trip", answer.phases)
    found += _listed("faster", "Board earlier, for money", answer.faster)
    found += _listed("levels", "What no plan does better", tuple(levels_told(answer)))
    found += _listed("notes", "To know", answer.notes)
    if rows_of(answer):
        found.append(_heading("letters", "Letters in the grid"))
        found.append(_entry("letters", Line(letters_told(answer, letters_of(answer)))))
    return found


def date_entries(answer: PlanAnswer) -> list[Entry]:
    """Return every date, where there is no grid to show them."""
    year = answer.instants.as_of.year
    return [
        _entry(
            f"{DATE}{line.id}",
            Line(f"{told(line.starts, year)} to {told(line.ends, year)}  {_who(answer, line.who)}"),
            Line(f"{line.what}{_places(line.places)}", indent=_INSIDE),
        )
        for line in answer.dates
    ]


def without_grid(answer: PlanAnswer) -> list[Entry]:
    """Return why there is no grid, in a sentence, and every date there is."""
    why = NO_ROOM if answer.dates else NOTHING if answer.board is not None else answer.sentence
    return [_heading("none", why), *date_entries(answer)]


def cell_of_entry(id_: str, answer: PlanAnswer, rows: Sequence[str]) -> Cell | None:
    """Return the first cell of what an entry of the list is about; None if it has none."""
    days = {day.day: day for day in answer.days}
    found = []
    for cell, told_there in told_in(answer).items():
        row, day = cell
        here = (answer.dates[line.date] for line, _ in there(days[day], row, answer.dates))
        is_step = any(id_ == f"{STEP}{step}" for step in told_there.steps)
        if is_step or any(id_ == f"{MOVE}{line.id}" for line in here):
            found.append((day, rows.index(row), cell))
    return min(found)[-1] if found else None


def begin_at(answer: PlanAnswer, rows: Sequence[str], days: Sequence[date]) -> Cell | None:
    """Return where the cursor is at first: today or the next day, at somebody who is there."""
    if not rows or not days:
        return None
    today = answer.instants.as_of.date()
    at = next((day for day in days if day >= today), days[-1])
    day = next((each for each in answer.days if each.day == at), None)
    return next((row for row in rows if there(day, row, answer.dates)), rows[0]), at


def _listed(id_: str, head: str, said: Sequence[str]) -> Iterable[Entry]:
    if said:
        yield _heading(id_, head)
    for number, each in enumerate(said):
        yield _entry(f"{id_} {number}", Line(each, indent=_INSIDE))


def _heading(id_: str, text: str) -> Entry:
    return Entry(f"{EntriesPane.HEADING}{id_}", (Line(text, is_strong=True),))


def _entry(id_: str, *lines: Line) -> Entry:
    return Entry(id_, lines)
