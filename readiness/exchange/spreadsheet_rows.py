"""The dates of a job as rows of a spreadsheet, with what each waits for and holds up.

The last row is a stamp: of which job, as of when and after which entries the rows were written. It
survives every spreadsheet program and a paste into another file, which no hidden property does.

Invariant: nothing but what people set and saw, and what the job says of it, stands in a row; equal
jobs give equal rows.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING

from readiness.exchange.text import clean_line

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.questions.dates import DateRow, DatesAnswer
    from readiness.questions.sequence import SequenceAnswer, StepLine

COLUMNS = (
    "work",
    "trade",
    "place",
    "from",
    "to",
    "waits for",
    "holds up",
    "seen",
    "confirmed by",
)
EDITED = frozenset({"from", "to", "seen", "confirmed by"})
"""Columns in which something may be written; the job says the others."""

BY = "by"
"""Stands in `from` where only the last day was set."""

MOST_PLACES = 6
LONGEST_CELL = 2_000
_ID = re.compile(r"\[([^\[\]]+)\]\s*$")
_STAMP = re.compile(
    r"as of (?P<at>[0-9]{4}-[0-9]{2}-[0-9]{2} [0-9]{2}:[0-9]{2}); job (?P<job>[0-9a-f]{8}); "
    r"after (?P<after>[^;]*); state (?P<state>[0-9a-f]{8})"
)
_NOTHING = "nothing"

Cell = str | date | datetime
"""What is written into one cell; a day without a time is a `date`."""


@dataclass(frozen=True, slots=True)
class Row:
    """One row of the spreadsheet."""

    about: DateRow
    cells: Mapping[str, Cell]
    """By column; an empty text where nothing stands."""


@dataclass(frozen=True, slots=True)
class Stamp:
    """Of which job and of which moment a spreadsheet is."""

    at: datetime
    """Wall-clock time at the site."""
    job: str
    after: Mapping[str, int]
    """The last entry of each writer that its rows knew."""
    state: str
    """Digest of the rows."""


def spreadsheet_rows(dates: DatesAnswer, order: SequenceAnswer) -> tuple[Row, ...]:
    """Return the rows of a job: what is open in its order, then what is over."""
    steps = {name: step for step in order.steps for name in step.ids}
    place = {name: number for number, name in enumerate(steps)}
    rows = [
        Row(about, _cells(about, steps.get(about.id)))
        for about in dates.rows
        if about.id in steps or about.kind.value != "pull" or about.first or about.seen
    ]
    return tuple(sorted(rows, key=lambda row: place.get(row.about.id, len(place))))


def _cells(about: DateRow, step: StepLine | None) -> dict[str, Cell]:
    first: Cell = about.first if about.first is not None else ""
    if about.half and about.first is not None:
        first = f"{about.first.isoformat()} {about.half}"
    if about.first is None and about.last is not None:
        first = BY
    return {
        "work": f"{_cell(about.title)} [{about.id}]",
        "trade": _cell(about.who.name),
        "place": _cell(_places(about.places)),
        "from": first,
        "to": about.last if about.last is not None else "",
        "waits for": _cell("; ".join(wait.title for wait in step.waits_for) if step else ""),
        "holds up": _cell("; ".join(wait.title for wait in step.holds_up) if step else ""),
        "seen": _cell(about.seen),
        "confirmed by": _cell(about.by),
    }


def _places(places: tuple[str, ...]) -> str:
    if len(places) <= MOST_PLACES:
        return ", ".join(places)
    return f"{', '.join(places[:MOST_PLACES])} and {len(places) - MOST_PLACES} more"


def _cell(text: str) -> str:
    """Return a text as one cell can hold it."""
    line = clean_line(text)
    return line if len(line) <= LONGEST_CELL else line[: LONGEST_CELL - 4] + " ..."


def cell_text(cell: object) -> str:
    """Return what a cell says as text, days and moments written year first."""
    if isinstance(cell, datetime):
        return f"{cell:%Y-%m-%d %H:%M}"
    return cell.isoformat() if isinstance(cell, date) else str(cell)


def id_in(work: str) -> str:
    """Return the id in brackets at the end of a cell of work, or nothing."""
    found = _ID.search(work)
    return found[1].strip() if found else ""


def state_of_rows(rows: Iterable[Row]) -> str:
    """Return a short digest of rows, the same whatever their order."""
    lines = sorted("\x1f".join(cell_text(row.cells[column]) for column in COLUMNS) for row in rows)
    return hashlib.sha256("\x1e".join(lines).encode()).hexdigest()[:8]


def job_mark(key: str) -> str:
    """Return a short mark that tells a job from others without telling its key."""
    return hashlib.sha256(key.encode()).hexdigest()[:8]


def stamp_text(name: str, stamp: Stamp) -> str:
    """Return the stamp as the row that people see."""
    after = ", ".join(f"{writer}#{number}" for writer, number in sorted(stamp.after.items()))
    return (
        f"Leave this row as it is: {clean_line(name).replace(';', ',')} as of "
        f"{stamp.at:%Y-%m-%d %H:%M}; job {stamp.job}; after {after or _NOTHING}; "
        f"state {stamp.state}"
    )


def stamp_in(text: str) -> Stamp | None:
    """Return the stamp that a cell holds, if it is one."""
    found = _STAMP.search(" ".join(text.split()))
    if found is None:
        return None
    after: dict[str, int] = {}
    for piece in found["after"].split(", ") if found["after"] != _NOTHING else ():
        writer, _, number = piece.rpartition("#")
        if not number.isdecimal():
            return None
        after[writer] = int(number)
    try:
        at = datetime.fromisoformat(found["at"])
    except ValueError:
        return None
    return Stamp(at, found["job"], after, found["state"])
