"""Calendars as dense tables of minutes, so that a step of ten thousand trials is a look-up.

Within the trials an instant is counted from the low end of the tables. A search per trial would
cost five times as much as the arithmetic it serves; a look-up costs about as much.

Invariant: every look-up gives what the calendar itself gives, minute for minute, as long as the
instant lies in the tables; what lies past their end is `BEYOND`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from readiness.schedule.slots import Slots
from readiness.schedule.worktime import Worktime

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.schedule.calendar import Calendar

BEYOND = 1 << 29
"""Later than every minute of the tables: what the end of a table, or of time itself, gives."""

Minutes = npt.NDArray[np.int32]


@dataclass(frozen=True, slots=True)
class SpanTable:
    """Working time: how much is worked before a minute, and by when so much is worked."""

    worked: Minutes
    """By minute: the working minutes before it."""
    ended: Minutes
    """By working minutes: the least end by which they are worked; `BEYOND` past the last."""


@dataclass(frozen=True, slots=True)
class SlotTable:
    """The slots of an office by number, and which is the first from a minute on."""

    starts: Minutes
    ends: Minutes
    from_start: Minutes
    """By minute: the first slot that starts then or later."""
    from_end: Minutes
    """By minute: the first slot that ends then or later."""


CLOCK_TABLE = None
"""The clock needs no table: every minute counts."""

Table = SpanTable | SlotTable | None


def table_of(calendar: Calendar, low: int, high: int) -> Table:
    """Return the table of a calendar for the minutes from `low` to `high`."""
    if isinstance(calendar, Worktime):
        return _span_table(calendar, low, high)
    if isinstance(calendar, Slots):
        return _slot_table(calendar, low, high)
    return CLOCK_TABLE


def _span_table(calendar: Worktime, low: int, high: int) -> SpanTable:
    steps = np.zeros(high - low + 1, dtype=np.int32)
    for opened, shut in calendar.spans(low, high):
        steps[opened - low] += 1
        steps[shut - low] -= 1
    working = np.cumsum(steps[:-1], dtype=np.int32)
    worked = np.concatenate(([0], np.cumsum(working, dtype=np.int32)))
    ends = np.flatnonzero(working) + 1
    return SpanTable(
        worked=worked.astype(np.int32),
        ended=np.concatenate(([0], ends, [BEYOND])).astype(np.int32),
    )


def _slot_table(calendar: Slots, low: int, high: int) -> SlotTable:
    slots = [slot for slot in calendar.slots(low, high) if slot[1] <= high]
    starts = np.array([start - low for start, _ in slots], dtype=np.int32)
    ends = np.array([end - low for _, end in slots], dtype=np.int32)
    minutes = np.arange(high - low + 1)
    return SlotTable(
        starts=np.append(starts, np.int32(BEYOND)),
        ends=np.append(ends, np.int32(BEYOND)),
        from_start=np.searchsorted(starts, minutes, side="left").astype(np.int32),
        from_end=np.searchsorted(ends, minutes, side="left").astype(np.int32),
    )


@dataclass(frozen=True, slots=True)
class Tables:
    """The tables of the calendars of a network, all from the same minute on."""

    low: int
    high: int
    of: tuple[Table, ...]
    """Parallel to the calendars; those that nobody asked for are None."""
    gaps: SpanTable | None
    """The job's calendar, on which working gaps count; None is the clock."""


def tables_of(
    calendars: tuple[Calendar, ...],
    wanted: Iterable[int],
    gap_calendar: Calendar,
    stretch: tuple[int, int],
) -> Tables:
    """Return the tables of the calendars that are wanted, for a stretch of instants.

    Calendars that are one and the same share a table.
    """
    low, high = stretch
    made: dict[int, Table] = {}

    def table(calendar: Calendar) -> Table:
        if id(calendar) not in made:
            made[id(calendar)] = table_of(calendar, low, high)
        return made[id(calendar)]

    asked = set(wanted)
    gaps = table(gap_calendar)
    assert not isinstance(gaps, SlotTable)  # noqa: S101  gaps count on spans or the clock
    return Tables(
        low=low,
        high=high,
        of=tuple(
            table(calendar) if index in asked else None for index, calendar in enumerate(calendars)
        ),
        gaps=gaps,
    )
