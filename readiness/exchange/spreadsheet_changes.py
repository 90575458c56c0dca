"""What a spreadsheet that came back would change, as entries for the diary.

Each cell is compared with what was written there and with what stands there now: what only the
person changed is taken, what only the job changed is left, and where both did, nobody guesses.

Invariant: a change names its row, what stood there and what would; a cell that was emptied takes
nothing out.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import TYPE_CHECKING

from readiness.exchange.grid import unguarded
from readiness.exchange.note_listener import NoteRefused
from readiness.exchange.spreadsheet_days import STRUCK, DayReader, order_of_numbers
from readiness.exchange.spreadsheet_reading import row_problem
from readiness.exchange.spreadsheet_rows import BY, COLUMNS, EDITED, cell_text
from readiness.exchange.spreadsheet_seen import seen_cell
from readiness.exchange.text import clean_line
from readiness.job.written import MisreadError, shown
from readiness.questions.dates import RowKind

if TYPE_CHECKING:
    from readiness.exchange.note_listener import Fields, Listener
    from readiness.exchange.spreadsheet_days import ReadWords
    from readiness.exchange.spreadsheet_reading import CameBack, Reading
    from readiness.exchange.spreadsheet_rows import Row
    from readiness.job.problems import Problem
    from readiness.questions.dates import DateRow

DAYS = ("from", "to")
BY_WHOM = "confirmed by"


@dataclass(frozen=True, slots=True)
class Change:
    """One row that somebody changed."""

    row: int
    title: str
    """What the row is about, with its id."""
    says: tuple[str, ...]
    """Each changed cell: what stood there and what would."""
    entries: tuple[Fields, ...]
    author: str
    """Who says so, as the cell has it; empty for whoever sends the file."""
    seen: date | datetime | None = None
    """When what was seen was so."""


@dataclass(frozen=True, slots=True)
class Compared:
    """A spreadsheet held against the job."""

    changes: tuple[Change, ...]
    problems: tuple[Problem, ...]
    remarks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Comparing:
    """What a spreadsheet is held against."""

    file: str
    now: Mapping[str, Row]
    """What the job says now, by id."""
    then: Mapping[str, Row]
    """What it said when the file was written."""
    listener: Listener
    read_words: ReadWords
    clock: datetime
    """Wall-clock time at the site; nobody has seen anything later."""


def compared(reading: Reading, comparing: Comparing) -> Compared:
    """Return what the rows of a spreadsheet would change, and what is wrong with them."""
    cells = [
        (row.values[column], cell_text(comparing.then[row.id].cells[column]))
        for row in reading.rows
        for column in DAYS
        if column in row.values and row.id in comparing.then
    ]
    order = order_of_numbers(cells)
    days = DayReader(order, comparing.read_words)
    changes, problems = [], list(reading.problems)
    for row in reading.rows:
        held = _Held(row, comparing, days)
        change = held.change()
        problems += held.problems
        if change is not None:
            changes.append(change)
    remarks = list(reading.remarks)
    if order:
        remarks.append(f"days in numbers are read as {order}, as its unchanged rows or days show")
    return Compared(tuple(changes), tuple(problems), tuple(remarks))


@dataclass(frozen=True, slots=True)
class _Texts:
    """The cells of one row as texts: as written, as they stand now, as they came back."""

    was: Mapping[str, str]
    now: Mapping[str, str]
    read: Mapping[str, str]
    """As written where the file lacks the column."""

    def changed(self, column: str) -> bool:
        """Say whether the person changed a cell."""
        return self.read[column] != self.was[column]

    def is_news(self, column: str) -> bool:
        """Say whether the person changed a cell to what the job does not say yet."""
        return self.changed(column) and self.read[column] != self.now[column]

    def moved_on(self, column: str) -> bool:
        """Say whether the job changed a cell meanwhile to something else than was read."""
        return self.now[column] not in (self.was[column], self.read[column])


@dataclass(slots=True)
class _Held:
    """One row held against what was written there and what stands there now."""

    came: CameBack
    comparing: Comparing
    days: DayReader
    problems: list[Problem] = field(default_factory=list)

    def change(self) -> Change | None:
        """Return what the row changes; None if nothing, or if something is wrong with it."""
        now = self.comparing.now[self.came.id]
        texts = self._texts(now)
        for column in COLUMNS:
            if texts.changed(column):
                self._check(column, texts)
        if self.problems or not any(texts.is_news(column) for column in COLUMNS):
            return None
        try:
            return self._change(now, texts)
        except (NoteRefused, MisreadError) as error:
            column = next(column for column in COLUMNS if texts.is_news(column))
            self._tell(column, str(error))
            return None

    def _texts(self, now: Row) -> _Texts:
        then = self.comparing.then.get(self.came.id, now)
        was = {column: _folded(cell_text(then.cells[column])) for column in COLUMNS}
        read = dict(was)
        for column, value in self.came.values.items():
            text = "" if value is None else _folded(cell_text(value))
            if column in DAYS and text != was[column]:
                try:
                    text = self.days.text(value)
                except ValueError as error:
                    self._tell(column, str(error))
                    continue
            read[column] = text
        return _Texts(was, {c: _folded(cell_text(now.cells[c])) for c in COLUMNS}, read)

    def _check(self, column: str, texts: _Texts) -> None:
        """Tell what must not be changed, was emptied, or was changed by the job meanwhile too."""
        was, read = texts.was[column], texts.read[column]
        if column not in EDITED:
            if _same(read, was) or _same(read, texts.now[column]):
                return
            what = f"it was changed to {shown(read)!r}" if read else "it was emptied"
            hint = f"put {was!r} back" if was else "empty it"
            self._tell(column, what, f"{hint}: the job file says this, and is changed there")
        elif texts.moved_on(column):
            self._tell_moved_on(column, texts)
        elif not read and column in DAYS and not (column == "to" and texts.changed("from")):
            self._tell(column, f"it was emptied, and was {was}", f"write {STRUCK} under from")
        elif not read and column == "seen":
            self._tell(column, f"it was emptied, and was {was}", "write not done, or put it back")

    def _tell_moved_on(self, column: str, texts: _Texts) -> None:
        was, now, read = (each[column] or "empty" for each in (texts.was, texts.now, texts.read))
        what = f"the job moved on meanwhile: it was {was}, is {now} now, and {read} is read"
        self._tell(column, what, "write the spreadsheet anew and look at this row again")

    def _tell(self, column: str, what: str, hint: str = "") -> None:
        file = self.comparing.file
        self.problems.append(row_problem(file, self.came.number, column, what, hint))

    def _change(self, now: Row, texts: _Texts) -> Change | None:
        """Return the change that a row makes; None if something is wrong with it.

        Raises:
            NoteRefused: It says nothing that can be noted.
        """
        about, author = now.about, ""
        if texts.is_news(BY_WHOM):
            author = texts.read[BY_WHOM]
        entries: list[Fields] = []
        at = None
        moved = any(texts.is_news(column) for column in DAYS)
        if texts.is_news("seen") or (author and not moved and _tells_seen(about, texts)):
            said = seen_cell(texts.read["seen"], about, self.comparing.listener, self.days)
            self._check_seen(said.at)
            entries.append(said.fields)
            at = said.at
        if moved or (author and not entries and about.kind in _BOOKED):
            for column in DAYS:
                if texts.moved_on(column) and not texts.changed(column):
                    self._tell_moved_on(column, texts)
            entries.append(_dated(about, _when(texts), agreed=bool(author)))
        if author and about.kind is RowKind.TRIP:
            entries.append({"kind": "confirmed", "trip": about.name, "yes": True, "reason": ""})
        if not entries:
            message = "there is nothing here that this name could confirm, or take back"
            raise NoteRefused(message, "write a date or what was seen beside it")
        if self.problems:
            return None
        says = tuple(
            f"{c} {texts.now[c] or 'empty'} -> {texts.read[c] or 'empty'}"
            for c in COLUMNS
            if texts.is_news(c)
        )
        return Change(self.came.number, str(now.cells["work"]), says, tuple(entries), author, at)

    def _check_seen(self, at: date | datetime | None) -> None:
        clock = self.comparing.clock.replace(tzinfo=None)
        if at is not None and (at if isinstance(at, datetime) else _first_minute(at)) > clock:
            self._tell("seen", f"{cell_text(at)} has not come yet", "write it when it was seen")


_BOOKED = frozenset({RowKind.WORK, RowKind.BOARD})
"""Rows whose date is agreed with somebody."""


def _first_minute(day: date) -> datetime:
    return datetime(day.year, day.month, day.day)  # noqa: DTZ001  wall clock


def _tells_seen(about: DateRow, texts: _Texts) -> bool:
    return about.kind not in (RowKind.TRIP, RowKind.BOARD) and bool(texts.read["seen"])


def _when(texts: _Texts) -> str | None:
    """Return the booking that `from` and `to` say together; None strikes it.

    Raises:
        NoteRefused: They do not go together, or say nothing.
    """
    first, last = texts.read["from"], texts.read["to"]
    if first == STRUCK:
        return None
    if first in ("", BY):
        if not last:
            raise NoteRefused("there is no date that could be confirmed", "write it under from")
        return f"by {last}"
    day, beside = first[:10], first[11:]
    was_one_day = texts.was["to"] == texts.was["from"][:10]
    if last in ("", day) or (was_one_day and texts.changed("from") and not texts.changed("to")):
        return first
    if len(last) > len(day):
        raise NoteRefused("to is the last day, without an hour", "write the hour under from")
    if last < day:
        raise NoteRefused(f"it ends {last}, before it starts {day}", "correct one of them")
    if beside:
        hint = "write the first day alone, or leave to empty"
        raise NoteRefused("a date has an hour or several days, not both", hint)
    return f"{day} to {last}"


def _dated(about: DateRow, when: str | None, *, agreed: bool) -> Fields:
    """Return the entry that sets, or strikes, the date of a row.

    Raises:
        NoteRefused: A row of its kind has no such date.
    """
    if about.kind in _BOOKED:
        return {"kind": "dated", "what": about.name, "when": when, "agreed": agreed}
    if when is not None and _ONE_MOMENT.fullmatch(when) is None:
        raise NoteRefused("it is one day or one hour", "write it under from and leave to empty")
    if about.kind is RowKind.TRIP:
        return {"kind": "dated", "what": about.name, "when": when, "agreed": agreed}
    if when is None:
        raise NoteRefused("such a date is not struck", "write the new one")
    if about.kind is RowKind.PULL:
        return {"kind": "thing-dated", "thing": about.name, "pull": when.replace(" ", "T")}
    if ":" not in when:
        raise NoteRefused("a slot of an office needs its hour", "write it like 2026-05-07 09:00")
    slot = when.replace(" ", "T")
    return {"kind": "requested", "approval": about.name, "surfaces": ["all"], "slot": slot}


_ONE_MOMENT = re.compile(r"[0-9-]{10}(?: [0-9:]{5})?")


def _folded(text: str) -> str:
    """Return a text as it is compared: on one line, without what keeps it from being a formula."""
    return clean_line(unguarded(text))


def _same(read: str, was: str) -> bool:
    """Say whether two texts differ in nothing but what programs correct by themselves."""
    return _typed(read) == _typed(was)


def _typed(text: str) -> str:
    same = str.maketrans({"’": "'", "‘": "'", "“": '"', "”": '"', "–": "-", "—": "-"})
    return text.translate(same).replace("...", "…").casefold()
