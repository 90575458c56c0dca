"""The days that edge lines are drawn over, and the sign of each quarter of a day.

A working day has four quarters, so that "opens at noon" is seen. The picture in text and the one
on paper are drawn from the same signs.
Invariant: a quarter has the sign of an open one exactly when an arrival in it lies inside the spray
window.
"""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readiness.telling.window_lines import WindowLine

QUARTER_ENDS = (9, 12, 15)
"""Hours of the day at which the first three quarters of a working day end; the rest is the last."""
DAY_COLUMNS = 4
WEEK_COLUMNS = 2
"""The stroke between two weeks."""
FRIDAY = 4
"""The last weekday that is drawn without a reason."""

_SHORT = ("Mo", "Tu", "We", "Th", "Fr", "Sa", "Su")
_TWO_DIGITS = 10


def day_label(day: date) -> str:
    """Return a day in three signs: `Mo4`, `M11`."""
    letters = _SHORT[day.weekday()]
    return f"{letters}{day.day}" if day.day < _TWO_DIGITS else f"{letters[0]}{day.day}"


def edge_days(window: WindowLine | None) -> set[date]:
    """Return the days on which a spray window has an edge."""
    if window is None:
        return set()
    return {edge.date() for edge in (window.opens, window.last_start) if edge is not None}


def shown_days(first: date, last: date, wanted: set[date], columns: int) -> list[date]:
    """Return the days drawn: working days and those with something to show, as far as they fit."""
    days: list[date] = []
    day = first
    used = 0
    while day <= last:
        if day.weekday() <= FRIDAY or day in wanted:
            used += DAY_COLUMNS + (WEEK_COLUMNS if begins_week(day, days) else 0)
            if used > columns:
                break
            days.append(day)
        day += timedelta(days=1)
    return days


def begins_week(day: date, earlier: Sequence[date]) -> bool:
    """Say whether another week than that of the day drawn before begins."""
    return bool(earlier) and day.isocalendar()[:2] != earlier[-1].isocalendar()[:2]


def signs_of(window: WindowLine, days: Sequence[date]) -> list[str]:
    """Return one sign for each quarter of each day, up to the one that is closed."""
    signs: list[str] = []
    for day in days:
        for quarter in range(DAY_COLUMNS):
            sign = _sign(window, (day, quarter))
            signs.append(sign)
            if sign == "]":
                return signs + ["."] * DAY_COLUMNS
    return signs


def _sign(window: WindowLine, here: tuple[date, int]) -> str:
    """Return the sign of one quarter of a day."""
    opens, last = _quarter(window.opens), _quarter(window.last_start)
    if window.is_closed_for_ever or (last is not None and here > last):
        return "]"
    if window.has_no_opening_date or (opens is not None and here < opens):
        return "."
    if opens == here:
        return "["
    costs = _quarter(window.costs_from)
    return "$" if costs is not None and here > costs else "="


def _quarter(moment: datetime | None) -> tuple[date, int] | None:
    """Return the day and the quarter of it in which a moment lies."""
    if moment is None:
        return None
    return moment.date(), sum(moment.hour >= end for end in QUARTER_ENDS)
