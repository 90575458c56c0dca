"""Working time of a trade, a site or an office, counted in whole minutes.

Every duration and every working gap goes through here, so the two directions must undo each other
exactly: a late start on a shift boundary is the next shift's opening, not the evening before.

Invariant: `finish(t, d) <= y` exactly when `t <= latest_start(y, d)`, whatever the calendar.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterable, Sequence
from itertools import chain
from typing import NamedTuple

from readiness.job.instants import EARLIER, NEVER, is_dated, shifted
from readiness.schedule.calendar import difference
from readiness.schedule.horizon import Horizon, horizon_of, merged

SpanSource = Callable[[int, int], Sequence[tuple[int, int]]]
"""Gives the working spans [open, shut) that lie in [low, high), ascending and disjoint."""

_FAR = 1 << 60


class Table(NamedTuple):
    """The spans of a horizon as columns, with a guard on either side.

    The guards make every search hit something: what lands in the first one is before `low`, what
    lands in the last one is `NEVER` or later, and both mean that the horizon is too short.
    """

    low: int
    high: int
    opens: tuple[int, ...]
    shuts: tuple[int, ...]
    bases: tuple[int, ...]
    """What to take off an instant of the span to get the working minutes before it."""
    afters: tuple[int, ...]
    """Working minutes before the end of the span."""


class Worktime:
    """A calendar of disjoint working spans; it never changes, it only gets to know more of itself.

    Working minutes are counted from the start of the stretch given first, so only differences mean
    anything. Beyond about sixty years there is no work: `NEVER` after it, `EARLIER` before it.
    """

    __slots__ = ("_horizon", "_source", "_spans", "table")

    def __init__(self, source: SpanSource, low: int, high: int) -> None:
        """Work out the calendar for [low, high).

        Raises:
            ValueError: The stretch is empty, or the source gives spans that overlap.
        """
        self._source = source
        self._horizon = horizon_of(low, high)
        self._spans = _clipped(source(low, high), low, high)
        self.table = _table(self._spans, self._horizon, 0)

    def before(self, instant: int) -> int:
        """Return the working minutes before the instant."""
        if not is_dated(instant):
            return instant
        table = self._covering(instant)
        at = min(max(instant, table.low), table.high)
        index = bisect_right(table.opens, at) - 1
        return min(at, table.shuts[index]) - table.bases[index]

    def finish(self, instant: int, minutes: int) -> int:
        """Return the least end by which so many minutes are worked from the instant on.

        With no minutes that is the instant itself, so work ends at the end of a shift.
        """
        if minutes == 0:
            return instant
        low, high, opens, shuts, bases, afters = self.table
        if low <= instant < high:
            span = bisect_right(shuts, instant)
            end = max(instant, opens[span]) + minutes
            if end > shuts[span]:
                end -= bases[span]
                end += bases[bisect_left(afters, end)]
            if end <= high:
                return end
        return self._finish_beyond(instant, minutes)

    def _finish_beyond(self, instant: int, minutes: int) -> int:
        """Return the end of work that may lie outside the known stretch."""
        if not is_dated(instant):
            return instant
        done = self.before(instant) + minutes
        table = self.table
        while done > table.afters[-2]:
            if not self._grow_later():
                return NEVER
            table = self.table
        return done + table.bases[bisect_left(table.afters, done, 1)]

    def latest_start(self, instant: int, minutes: int) -> int:
        """Return the greatest instant from which so many minutes end by the given one.

        With no minutes that is the instant itself; `EARLIER` if there was never enough work.
        """
        if minutes == 0:
            return instant
        low, high, opens, shuts, bases, afters = self.table
        if low <= instant <= high:
            span = bisect_left(shuts, instant)
            opened = opens[span]
            start = max(instant, opened) - minutes
            if start < opened:
                start -= bases[span]
                start += bases[bisect_right(afters, start)]
            if low <= start:
                return start
        return self._latest_start_beyond(instant, minutes)

    def _latest_start_beyond(self, instant: int, minutes: int) -> int:
        """Return the latest start of work that may lie outside the known stretch."""
        if not is_dated(instant):
            return instant
        done = self.before(instant) - minutes
        table = self.table
        while done < table.afters[0]:
            if not self._grow_earlier():
                return EARLIER
            table = self.table
        return done + table.bases[bisect_right(table.afters, done, 1)]

    def next_minute(self, instant: int) -> int:
        """Return the first working minute at or after the instant."""
        if not is_dated(instant):
            return instant
        table = self._covering(instant)
        at = max(instant, table.low)
        index = bisect_right(table.shuts, at, 1)
        while index == len(table.shuts) - 1:
            if not self._grow_later():
                return NEVER
            table = self.table
            index = bisect_right(table.shuts, at, 1)
        return max(at, table.opens[index])

    def last_minute(self, instant: int) -> int:
        """Return the last working minute that starts at or before the instant."""
        if not is_dated(instant):
            return instant
        table = self._covering(instant + 1)
        at = min(instant, table.high)
        index = bisect_right(table.opens, at) - 1
        while index == 0:
            if not self._grow_earlier():
                return EARLIER
            table = self.table
            index = bisect_right(table.opens, at) - 1
        return min(at, table.shuts[index] - 1)

    def earliest(self, start_limit: int, finish_limit: int, minutes: int) -> tuple[int, int]:
        """Return start and finish of work that neither starts nor ends before its limits."""
        if minutes == 0:
            at = max(start_limit, finish_limit)
            return at, at
        start = self.next_minute(start_limit)
        finish = self.finish(start, minutes)
        if finish < finish_limit:
            finish = shifted(self.next_minute(shifted(finish_limit, -1)), 1)
            start = self.latest_start(finish, minutes)
        return start, finish

    def latest(self, start_limit: int, finish_limit: int, minutes: int) -> tuple[int, int]:
        """Return the last start and finish of work that keeps both upper limits."""
        if minutes == 0:
            at = min(start_limit, finish_limit)
            return at, at
        start = min(self.last_minute(start_limit), self.latest_start(finish_limit, minutes))
        return start, self.finish(start, minutes)

    def resumed(self, start_limit: int, seen: int, finish_limit: int, minutes: int) -> int:
        """Return the finish of work under way with so many minutes left."""
        return self.earliest(max(start_limit, seen), finish_limit, minutes)[1]

    def latest_resumption(self, finish_limit: int, minutes: int) -> tuple[int, int]:
        """Return the last limits with which work under way ends by the limit."""
        return self.latest(NEVER, finish_limit, minutes)

    def minutes_between(self, early: int, late: int) -> int:
        """Return the working minutes from one instant to another, negative if reversed."""
        undated = difference(early, late)
        return self.before(late) - self.before(early) if undated is None else undated

    def spans(self, low: int, high: int) -> list[tuple[int, int]]:
        """Return the working spans that lie in [low, high)."""
        self._covering(low)
        self._covering(high)
        return _clipped(self._spans, low, high)

    def without(self, closures: Iterable[tuple[int, int]]) -> Worktime:
        """Return the same calendar with the closed stretches [from, until) taken out."""
        closed = merged(list(closures))

        def opened(low: int, high: int) -> list[tuple[int, int]]:
            return _subtracted(self.spans(low, high), closed)

        return Worktime(opened, self._horizon.low, self._horizon.high)

    def _covering(self, instant: int) -> Table:
        """Return a table that holds the instant, as far as the hard limits allow."""
        while instant > self.table.high and self._grow_later():
            pass
        while instant < self.table.low and self._grow_earlier():
            pass
        return self.table

    def _grow_later(self) -> bool:
        """Learn the spans of as much time again, upward; say whether there was any left."""
        longer = self._horizon.later()
        if longer is None:
            return False
        high = self._horizon.high
        self._spans = self._spans + _clipped(self._source(high, longer.high), high, longer.high)
        self.table = _table(self._spans, longer, self.table.afters[0])
        self._horizon = longer
        return True

    def _grow_earlier(self) -> bool:
        """Learn the spans of as much time again, downward; say whether there was any left."""
        longer = self._horizon.earlier()
        if longer is None:
            return False
        low = self._horizon.low
        more = _clipped(self._source(longer.low, low), longer.low, low)
        worked = sum(shut - opened for opened, shut in more)
        self._spans = more + self._spans
        self.table = _table(self._spans, longer, self.table.afters[0] - worked)
        self._horizon = longer
        return True


def _table(spans: Sequence[tuple[int, int]], horizon: Horizon, worked: int) -> Table:
    """Return the columns for the spans, `worked` being the count at the low end."""
    bases = [horizon.low - worked]
    afters = [worked]
    for opened, shut in spans:
        bases.append(opened - worked)
        worked += shut - opened
        afters.append(worked)
    return Table(
        horizon.low,
        horizon.high,
        (-_FAR, *(opened for opened, _ in spans), NEVER),
        (horizon.low, *(shut for _, shut in spans), _FAR),
        (*bases, NEVER - worked),
        (*afters, _FAR),
    )


def _clipped(spans: Iterable[tuple[int, int]], low: int, high: int) -> list[tuple[int, int]]:
    """Return the spans cut to [low, high), empty ones dropped."""
    kept: list[tuple[int, int]] = []
    last = low
    for opened, shut in spans:
        begin, end = max(opened, low), min(shut, high)
        if begin >= end:
            continue
        if begin < last:
            message = f"working spans overlap or are out of order at minute {begin}"
            raise ValueError(message)
        last = end
        kept.append((begin, end))
    return kept


def _subtracted(
    spans: Iterable[tuple[int, int]], closed: Sequence[tuple[int, int]]
) -> list[tuple[int, int]]:
    """Return what is left of ascending spans outside the merged closed stretches."""
    return list(chain.from_iterable(_opened_parts(span, closed) for span in spans))


def _opened_parts(
    span: tuple[int, int], closed: Sequence[tuple[int, int]]
) -> Iterable[tuple[int, int]]:
    """Give the parts of one span that no closed stretch covers."""
    begin, end = span
    index = bisect_right(closed, begin, key=lambda stretch: stretch[1])
    while index < len(closed) and closed[index][0] < end:
        if begin < closed[index][0]:
            yield begin, closed[index][0]
        begin = closed[index][1]
        index += 1
    if begin < end:
        yield begin, end
