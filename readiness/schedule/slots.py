"""Slots of an office: a look takes one slot, whatever its length.

Invariant: starts and ends both ascend, so the first slot that keeps two lower limits and the last
slot that keeps two upper limits are adjoint.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterable, Sequence
from itertools import pairwise

from readiness.job.instants import EARLIER, NEVER, is_dated
from readiness.schedule.calendar import difference
from readiness.schedule.horizon import horizon_of, merged

SlotSource = Callable[[int, int], Sequence[tuple[int, int]]]
"""Gives the slots (start, end) that start in [low, high), ascending at both ends."""

_LONGEST_MINUTES = 24 * 60
"""A slot lasts a day at most, so none reaches further into the known stretch than that."""


class Slots:
    """The slots of one office; like worktime it only gets to know more of itself."""

    __slots__ = ("_ends", "_horizon", "_source", "_starts", "_worked")

    def __init__(self, source: SlotSource, low: int, high: int) -> None:
        """Work out the slots for [low, high).

        Raises:
            ValueError: The stretch is empty, or the slots do not ascend or last over a day.
        """
        self._source = source
        self._horizon = horizon_of(low, high)
        self._learn(_ascending(source(low, high)))

    def earliest(self, start_limit: int, finish_limit: int, minutes: int) -> tuple[int, int]:
        """Return the first slot that neither starts nor ends before its limits."""
        del minutes
        limit = max(start_limit, finish_limit)
        if not is_dated(limit):
            return limit, limit
        index = self._first(start_limit, finish_limit)
        while index == len(self._starts):
            if not self._grow_later():
                return NEVER, NEVER
            index = self._first(start_limit, finish_limit)
        return self._starts[index], self._ends[index]

    def latest(self, start_limit: int, finish_limit: int, minutes: int) -> tuple[int, int]:
        """Return the last slot that keeps both upper limits."""
        del minutes
        limit = min(start_limit, finish_limit)
        if not is_dated(limit):
            return limit, limit
        index = self._last(start_limit, finish_limit)
        while index < 0:
            if not self._grow_earlier():
                return EARLIER, EARLIER
            index = self._last(start_limit, finish_limit)
        return self._starts[index], self._ends[index]

    def resumed(self, start_limit: int, seen: int, finish_limit: int, minutes: int) -> int:
        """Return the end of a look under way: of this slot, or of the next it must wait for."""
        return max(
            self.earliest(start_limit, finish_limit, minutes)[1],
            self.earliest(EARLIER, seen, minutes)[1],
        )

    def latest_resumption(self, finish_limit: int, minutes: int) -> tuple[int, int]:
        """Return the last limits with which a look under way ends by the limit."""
        return self.latest(NEVER, finish_limit, minutes)

    def minutes_between(self, early: int, late: int) -> int:
        """Return the minutes of the slots that start from one instant up to the other."""
        undated = difference(early, late)
        if undated is not None:
            return undated
        self._reaching(min(early, late), max(early, late))
        first, last = bisect_left(self._starts, early), bisect_left(self._starts, late)
        return self._worked[last] - self._worked[first]

    def slots(self, low: int, high: int) -> list[tuple[int, int]]:
        """Return the slots that start in [low, high)."""
        self._reaching(low, high)
        first, last = bisect_left(self._starts, low), bisect_left(self._starts, high)
        return list(zip(self._starts[first:last], self._ends[first:last], strict=True))

    def without(self, closures: Iterable[tuple[int, int]]) -> Slots:
        """Return the same office without the slots that overlap a closed stretch."""
        closed = merged(list(closures))

        def opened(low: int, high: int) -> list[tuple[int, int]]:
            return [slot for slot in self.slots(low, high) if not _overlaps(slot, closed)]

        return Slots(opened, self._horizon.low, self._horizon.high)

    def _first(self, start_limit: int, finish_limit: int) -> int:
        """Return the index of the first known slot that keeps both lower limits."""
        self._covering(*(limit for limit in (start_limit, finish_limit) if is_dated(limit)))
        return max(bisect_left(self._starts, start_limit), bisect_left(self._ends, finish_limit))

    def _last(self, start_limit: int, finish_limit: int) -> int:
        """Return the index of the last known slot that keeps both upper limits."""
        self._covering(*(limit for limit in (start_limit, finish_limit) if is_dated(limit)))
        return (
            min(bisect_right(self._starts, start_limit), bisect_right(self._ends, finish_limit)) - 1
        )

    def _covering(self, *instants: int) -> None:
        """Learn the slots around the instants, as far as the hard limits allow.

        A slot that starts before an instant may last beyond it.
        """
        for instant in instants:
            while instant >= self._horizon.high and self._grow_later():
                pass
            while instant - _LONGEST_MINUTES <= self._horizon.low and self._grow_earlier():
                pass

    def _reaching(self, low: int, high: int) -> None:
        """Learn every slot that starts in [low, high), as far as the hard limits allow."""
        while high > self._horizon.high and self._grow_later():
            pass
        while low < self._horizon.low and self._grow_earlier():
            pass

    def _learn(self, slots: list[tuple[int, int]]) -> None:
        """Keep the slots as columns."""
        self._starts = [start for start, _ in slots]
        self._ends = [end for _, end in slots]
        self._worked = [0]
        for start, end in slots:
            self._worked.append(self._worked[-1] + end - start)

    def _grow_later(self) -> bool:
        """Learn the slots of as much time again, upward; say whether there was any left."""
        longer = self._horizon.later()
        if longer is None:
            return False
        known = list(zip(self._starts, self._ends, strict=True))
        more = self._source(self._horizon.high, longer.high)
        self._learn(_ascending([*known, *more]))
        self._horizon = longer
        return True

    def _grow_earlier(self) -> bool:
        """Learn the slots of as much time again, downward; say whether there was any left."""
        longer = self._horizon.earlier()
        if longer is None:
            return False
        known = list(zip(self._starts, self._ends, strict=True))
        more = self._source(longer.low, self._horizon.low)
        self._learn(_ascending([*more, *known]))
        self._horizon = longer
        return True


def _ascending(slots: Sequence[tuple[int, int]]) -> list[tuple[int, int]]:
    """Return the slots, having made sure that both ends ascend."""
    for (start, end), (next_start, next_end) in pairwise(slots):
        if next_start <= start or next_end <= end:
            message = f"slots do not ascend at minute {next_start}"
            raise ValueError(message)
    if any(not 0 < end - start <= _LONGEST_MINUTES for start, end in slots):
        message = "a slot must last more than nothing and a day at most"
        raise ValueError(message)
    return list(slots)


def _overlaps(slot: tuple[int, int], closed: Sequence[tuple[int, int]]) -> bool:
    """Say whether a slot and any closed stretch have a minute in common."""
    index = bisect_right(closed, slot[0], key=lambda stretch: stretch[1])
    return index < len(closed) and closed[index][0] < slot[1]
