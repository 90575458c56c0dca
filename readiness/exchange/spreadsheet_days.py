"""Days as they come back from spreadsheet programs, each written once more as `2026-05-07`.

A program that opens a table of text turns its days into the spelling of its country, so `5/7/2026`
in a whole column is one day in one country and another in the next. The rows that nobody changed
tell which: their days are known.

Invariant: a day with two readings that the file itself does not settle is refused with both.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

from readiness.exchange.spreadsheet_rows import BY, cell_text
from readiness.job.bookings import Booking
from readiness.job.weekdays import day_text, month_of
from readiness.job.written import MisreadError, shown

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.exchange.grid import Value

STRUCK = "struck"
"""Written in `from`, it takes the date off."""

ReadWords = Callable[[str], date | datetime]

_NUMBERS = re.compile(r"([0-9]{1,4})([/.\-])([0-9]{1,2})\2([0-9]{1,4})\.?(?=[ T,]|$)")
_ORDERS = {"month/day/year": (1, 0), "day/month/year": (0, 1)}
"""Where day and month stand, counted from the left."""
_FIRST_DAY_OF_NUMBERS = date(1899, 12, 30)
_NUMBERS_OF_DAYS = range(30_000, 80_000)
_SHORT_YEAR = 100
_HALF = re.compile(r"(.+?) (?:in the )?(morning|afternoon)")


@dataclass(frozen=True, slots=True)
class DayReader:
    """Reads the days of one file."""

    order: str
    """Order of numbers in it; empty where nothing settles that."""
    read_words: ReadWords
    """Reads words for a day; raises ValueError with a sentence."""

    def text(self, value: Value) -> str:
        """Return a cell of `from` or `to` as this program would write it.

        Raises:
            MisreadError: It is no day, or one with two readings.
        """
        if value is None:
            return ""
        if isinstance(value, (date, datetime)):
            return cell_text(Booking.from_written(value).last) + _clock(value)
        if isinstance(value, (int, float)):
            raise MisreadError(f"{value:g}", "a day", _number_hint(value))
        said = " ".join(value.split())
        if said.casefold() in {"", BY, STRUCK}:
            return said.casefold()
        if half := _HALF.fullmatch(said.casefold()):
            return f"{self._day(half[1])} {half[2]}"
        return self._day(said)

    def _day(self, said: str) -> str:
        numbers = _NUMBERS.match(said)
        if numbers is not None:
            day = _day_of(numbers, self.order)
            said = f"{day.isoformat()} {said[numbers.end() :].lstrip(' T,')}".strip()
        elif not _names_a_month(said):
            hint = "write the day itself, e.g. 2026-05-07 or 7 May 2026"
            raise MisreadError(shown(said), "a day", hint)
        return cell_text(_plain(self.read_words(said)))


def order_of_numbers(cells: Iterable[tuple[Value, str]]) -> str:
    """Return the order in which a file writes days as numbers; empty where nothing settles it.

    Args:
        cells: What stands in each cell of a day, and what was written there.
    """
    seen = [
        (numbers, known)
        for value, known in cells
        if isinstance(value, str) and (numbers := _NUMBERS.match(value.strip())) is not None
    ]
    seen = [(numbers, known) for numbers, known in seen if len(numbers[1]) < len("2026")]
    hits = {
        order: sum(str(_in_order(numbers, order)) == known[:10] for numbers, known in seen)
        for order in _ORDERS
    }
    told = [order for order, count in hits.items() if count > 0]
    if not told:
        told = [order for order in _ORDERS if all(_in_order(numbers, order) for numbers, _ in seen)]
    return told[0] if len(told) == 1 and seen else ""


def _day_of(numbers: re.Match[str], order: str) -> date:
    if len(numbers[1]) == len("2026"):
        found = _day_or_none(int(numbers[1]), int(numbers[3]), int(numbers[4]))
        if found is None:
            raise MisreadError(shown(numbers[0]), "a day", "there is no such day")
        return found
    if order and (day := _in_order(numbers, order)) is not None:
        return day
    days = sorted({day for each in _ORDERS if (day := _in_order(numbers, each)) is not None})
    if len(days) == 1:
        return days[0]
    if not days:
        raise MisreadError(shown(numbers[0]), "a day", "there is no such day")
    hint = f"{day_text(days[0])} or {day_text(days[1])}? write {days[0]} or {days[1]}"
    raise MisreadError(shown(numbers[0]), "a day with one reading", hint)


def _in_order(numbers: re.Match[str], order: str) -> date | None:
    pieces = (int(numbers[1]), int(numbers[3]))
    year = int(numbers[4])
    day, month = (pieces[at] for at in _ORDERS[order])
    return _day_or_none(year + 2000 if year < _SHORT_YEAR else year, month, day)


def _day_or_none(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None


def _names_a_month(said: str) -> bool:
    """Say whether words name a day of the calendar, not one counted from today."""
    words = re.findall(r"[^\W\d_]+|[0-9]+", said)
    return any(month_of(word) for word in words) and any(word.isdecimal() for word in words)


def _plain(day: date | datetime) -> date | datetime:
    return day.replace(tzinfo=None) if isinstance(day, datetime) else day


def _clock(value: date | datetime) -> str:
    return f" {value:%H:%M}" if isinstance(value, datetime) else ""


def _number_hint(value: float) -> str:
    if int(value) in _NUMBERS_OF_DAYS:
        day = _FIRST_DAY_OF_NUMBERS + timedelta(days=int(value))
        return f"it may be the number of {day_text(day)}: format the cell as a date"
    return "write it like 2026-05-07"
