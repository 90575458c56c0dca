"""The steps of a calendar for many trials at once: the same maps as one at a time.

A value is one minute for all trials, or an array with one for each; what is the same in all trials
stays a plain number and goes through the calendar itself.

Invariant: with plain numbers a step is the calendar's own, and with arrays it gives for each trial
what the calendar gives for that trial's numbers.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from readiness.job.instants import EARLIER, NEVER
from readiness.planning.trials_tables import BEYOND, Minutes, SlotTable, SpanTable

if TYPE_CHECKING:
    from readiness.planning.trials_tables import Table
    from readiness.schedule.calendar import Calendar, Clock
    from readiness.schedule.worktime import Worktime

BEFORE = -BEYOND
"""Before every minute of the tables: `EARLIER` within the trials."""

Value = int | Minutes


def later(one: Value, other: Value) -> Value:
    """Return the later of two values, trial by trial."""
    if isinstance(one, int):
        if isinstance(other, int):
            return max(one, other)
        one, other = other, one
    if isinstance(other, int):
        if other <= BEFORE:
            return one
        if other >= BEYOND:
            return BEYOND
    latest: Minutes = np.maximum(one, other)
    return latest


def sooner(one: Value, other: Value) -> Value:
    """Return the earlier of two values, trial by trial."""
    if isinstance(one, int):
        if isinstance(other, int):
            return min(one, other)
        one, other = other, one
    if isinstance(other, int):
        if other >= BEYOND:
            return one
        if other <= BEFORE:
            return BEFORE
    earliest: Minutes = np.minimum(one, other)
    return earliest


def moved(value: Value, minutes: Value) -> Value:
    """Return a value moved on the clock; what has no date stays so."""
    if isinstance(value, int) and not BEFORE < value < BEYOND:
        return value
    return value + minutes


@dataclass(frozen=True, slots=True)
class Timer:
    """One calendar with its table."""

    calendar: Calendar
    table: Table
    low: int
    """The instant from which the minutes of the trials are counted."""

    def outside(self, value: int) -> int:
        """Return the instant that a plain number of the trials means."""
        if value >= BEYOND:
            return NEVER
        return EARLIER if value <= BEFORE else value + self.low

    def inside(self, instant: int) -> int:
        """Return the plain number by which the trials know an instant."""
        return min(max(instant - self.low, BEFORE), BEYOND)

    def earliest(
        self, start_limit: Value, finish_limit: Value, minutes: Value, delay: Value = 0
    ) -> tuple[Value, Value]:
        """Return start and finish of an item that neither starts nor ends before its limits.

        Args:
            start_limit: The largest limit of its start.
            finish_limit: The largest limit of its finish.
            minutes: How long it lasts, on its calendar.
            delay: Working minutes that pass before it starts; only for spans of working time.
        """
        if all(isinstance(each, int) for each in (start_limit, finish_limit, minutes, delay)):
            assert isinstance(start_limit, int)  # noqa: S101  just looked at
            assert isinstance(finish_limit, int)  # noqa: S101
            assert isinstance(minutes, int)  # noqa: S101
            if not delay:
                opened, ended = self.calendar.earliest(
                    self.outside(start_limit), self.outside(finish_limit), minutes
                )
                return self.inside(opened), self.inside(ended)
        if _has(start_limit, BEYOND) or _has(finish_limit, BEYOND):
            return BEYOND, BEYOND
        if _has(start_limit, BEFORE) and _has(finish_limit, BEFORE):
            return BEFORE, BEFORE
        if isinstance(minutes, int) and minutes == 0:
            both = later(start_limit, finish_limit)
            return both, both
        if isinstance(self.table, SpanTable):
            return self._earliest_work(self.table, start_limit, finish_limit, minutes, delay)
        if isinstance(self.table, SlotTable):
            number = self.slot(self.table, start_limit, finish_limit)
            return self.table.starts[number], self.table.ends[number]
        start: Value = later(start_limit, moved(finish_limit, -minutes))
        return start, moved(start, minutes)

    def _earliest_work(
        self,
        table: SpanTable,
        start_limit: Value,
        finish_limit: Value,
        minutes: Value,
        delay: Value,
    ) -> tuple[Value, Value]:
        """Return start and finish of work, found by the count of working minutes at its end."""
        end = self.count_at_end(table, start_limit, finish_limit, minutes, delay)
        finish = table.ended.take(end, mode="clip")
        start = table.ended.take(end - minutes + 1, mode="clip") - 1
        return start, finish

    def count_at_end(
        self,
        table: SpanTable,
        start_limit: Value,
        finish_limit: Value,
        minutes: Value,
        delay: Value,
    ) -> Value:
        """Return the working minutes before the end of work with these limits."""
        count: Value | None = None
        if not _has(start_limit, BEFORE):
            count = self.worked(table, start_limit) + delay + minutes
        if not _has(finish_limit, BEFORE):
            to_finish = self.worked(table, moved(finish_limit, -1)) + 1
            count = to_finish if count is None else np.maximum(count, to_finish)
        assert count is not None  # noqa: S101  the caller has looked
        return count

    def worked(self, table: SpanTable, value: Value) -> Value:
        """Return the working minutes before a value, counted from the low end of the table."""
        if not isinstance(value, int):
            return table.worked.take(value, mode="clip")
        if 0 <= value < len(table.worked):
            return int(table.worked[value])
        return self.calendar.minutes_between(self.low, self.outside(value))

    @staticmethod
    def slot(table: SlotTable, start_limit: Value, finish_limit: Value) -> Value:
        """Return the number of the first slot that keeps both limits."""
        number: Value = 0
        if not _has(start_limit, BEFORE):
            number = table.from_start.take(start_limit, mode="clip")
        if not _has(finish_limit, BEFORE):
            number = np.maximum(number, table.from_end.take(finish_limit, mode="clip"))
        return number

    def resumed(self, start_limit: Value, seen: int, finish_limit: Value, minutes: Value) -> Value:
        """Return the finish of an item under way with so much left."""
        if all(isinstance(each, int) for each in (start_limit, finish_limit, minutes)):
            finish = self.calendar.resumed(
                self.outside(int(start_limit)),
                self.outside(seen),
                self.outside(int(finish_limit)),
                int(minutes),
            )
            return self.inside(finish)
        if isinstance(self.table, SpanTable):
            return self.earliest(later(start_limit, seen), finish_limit, minutes)[1]
        if isinstance(self.table, SlotTable):
            first = self.earliest(start_limit, finish_limit, minutes)[1]
            return later(first, self.earliest(BEFORE, seen, 1)[1])
        return later(moved(later(start_limit, seen), minutes), finish_limit)

    def latest(
        self, start_limit: Value, finish_limit: Value, minutes: Value
    ) -> tuple[Value, Value]:
        """Return the last start and finish of an item that keeps both upper limits."""
        if all(isinstance(each, int) for each in (start_limit, finish_limit, minutes)):
            opened, ended = self.calendar.latest(
                self.outside(int(start_limit)), self.outside(int(finish_limit)), int(minutes)
            )
            return self.inside(opened), self.inside(ended)
        if _has(start_limit, BEFORE) or _has(finish_limit, BEFORE):
            return BEFORE, BEFORE
        if isinstance(minutes, int) and minutes == 0:
            both = sooner(start_limit, finish_limit)
            return both, both
        if isinstance(self.table, SpanTable):
            return self._latest_work(self.table, start_limit, finish_limit, minutes)
        if isinstance(self.table, SlotTable):
            number = self.last_slot(self.table, start_limit, finish_limit)
            return self._slot_or_never(self.table, number)
        start: Value = sooner(start_limit, moved(finish_limit, -minutes))
        return start, moved(start, minutes)

    def _latest_work(
        self, table: SpanTable, start_limit: Value, finish_limit: Value, minutes: Value
    ) -> tuple[Value, Value]:
        """Return the last start and finish of work, by the count of minutes before its start."""
        count: Value | None = None
        if not _has(start_limit, BEYOND):
            count = self.worked(table, moved(start_limit, 1)) - 1
        if not _has(finish_limit, BEYOND):
            to_finish = self.worked(table, finish_limit) - minutes
            count = to_finish if count is None else np.minimum(count, to_finish)
        if count is None:
            return BEYOND, BEYOND
        start = table.ended.take(count + 1, mode="clip") - 1
        return start, table.ended.take(count + minutes, mode="clip")

    @staticmethod
    def last_slot(table: SlotTable, start_limit: Value, finish_limit: Value) -> Value:
        """Return the number of the last slot that keeps both upper limits; -1 if none does."""
        number: Value = len(table.starts) - 2
        if not _has(start_limit, BEYOND):
            number = table.from_start.take(moved(start_limit, 1), mode="clip") - 1
        if not _has(finish_limit, BEYOND):
            last = table.from_end.take(moved(finish_limit, 1), mode="clip") - 1
            number = np.minimum(number, last)
        return number

    @staticmethod
    def _slot_or_never(table: SlotTable, number: Value) -> tuple[Value, Value]:
        found = np.asarray(number)
        start = np.where(found < 0, np.int32(-1), table.starts[found])
        return start, np.where(found < 0, np.int32(-1), table.ends[found])

    def after_gap(self, value: Value, minutes: int) -> Value:
        """Return the value after a gap in the working time of this calendar, or on its clock."""
        calendar: Worktime | Clock = self.calendar  # type: ignore[assignment]
        if isinstance(value, int):
            return self.inside(calendar.finish(self.outside(value), minutes))
        if not isinstance(self.table, SpanTable):
            return value + minutes
        return self.table.ended.take(
            self.table.worked.take(value, mode="clip") + minutes, mode="clip"
        )

    def before_gap(self, value: Value, minutes: int) -> Value:
        """Return the latest value from which a gap is over by the given one."""
        calendar: Worktime | Clock = self.calendar  # type: ignore[assignment]
        if isinstance(value, int):
            return self.inside(calendar.latest_start(self.outside(value), minutes))
        if not isinstance(self.table, SpanTable):
            return value - minutes
        count = self.table.worked.take(value, mode="clip") - minutes
        return self.table.ended.take(count + 1, mode="clip") - 1


def _has(value: Value, mark: int) -> bool:
    """Say whether a value is a plain number at or past a mark that has no date."""
    if not isinstance(value, int):
        return False
    return value >= mark if mark > 0 else value <= mark
