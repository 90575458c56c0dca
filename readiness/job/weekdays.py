"""The names of weekdays and months, as people type and read them.

Invariant: Monday is 0, as in the calendar of the language; January is 1.
"""

from __future__ import annotations

from datetime import date

WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")

_LONG_WEEKDAYS = (
    "monday",
    "tuesday",
    "wednesday",
    "thursday",
    "friday",
    "saturday",
    "sunday",
)
_LONG_MONTHS = (
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
)
SHORTEST = 3
"""Letters from which on a beginning of a name stands for it: `thu`, `thurs`, `thursday`."""


def weekday_of(word: str) -> int | None:
    """Return the number of a weekday, Monday 0, or None if the word names none."""
    return _number(word, _LONG_WEEKDAYS)


def month_of(word: str) -> int | None:
    """Return the number of a month, January 1, or None if the word names none."""
    number = _number(word, _LONG_MONTHS)
    return None if number is None else number + 1


def _number(word: str, names: tuple[str, ...]) -> int | None:
    begun = word.lower().removesuffix(".")
    if len(begun) < SHORTEST:
        return None
    return next((at for at, name in enumerate(names) if name.startswith(begun)), None)


def day_text(day: date) -> str:
    """Return a day as people read it: `Thu 7 May 2026`."""
    return f"{WEEKDAYS[day.weekday()]} {day.day} {MONTHS[day.month - 1]} {day.year}"
