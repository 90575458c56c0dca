"""A referee that times a network by walking from minute to minute.

It shares no code with the schedule and knows none of its ideas: no tables, no searches, no
adjoints. A date is tried, and the next one if it does not do. Endless is `math.inf`.

Invariant: every answer is the first minute, in plain counting, that satisfies the definition.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from readiness.site.task import Link, LinkKind

BACK = 400
"""How many minutes before a limit on a finish the search for a start begins."""


@dataclass(frozen=True, slots=True)
class Pattern:
    """A calendar that repeats: which minutes of its period work, and which are closed for once."""

    works: tuple[bool, ...]
    closed: tuple[tuple[int, int], ...] = ()

    def at(self, minute: int) -> bool:
        """Say whether the minute is worked."""
        shut = any(start <= minute < end for start, end in self.closed)
        return self.works[minute % len(self.works)] and not shut


@dataclass(frozen=True, slots=True)
class SlotPattern:
    """Slots that repeat: offsets and ends within a period."""

    period: int
    slots: tuple[tuple[int, int], ...]

    def starting_at(self, minute: int) -> int | None:
        """Return the end of the slot that starts at the minute, if one does."""
        for start, end in self.slots:
            if minute % self.period == start:
                return minute - start + end
        return None


Timer = Pattern | SlotPattern | None


@dataclass(frozen=True, slots=True)
class Case:
    """A small network with everything that was seen, in plain figures."""

    minutes: tuple[int, ...]
    calendar: tuple[int | None, ...]
    links: tuple[Link, ...]
    timers: tuple[Timer, ...]
    """The first is the job's, on which working gaps count."""
    not_before: Mapping[int, int] = field(default_factory=dict)
    begun: Mapping[int, tuple[int, int, int]] = field(default_factory=dict)
    """Start, instant from which the rest counts, minutes left."""
    finished: Mapping[int, tuple[int, int]] = field(default_factory=dict)
    never: frozenset[int] = frozenset()


Dates = list[tuple[float, float]]


def end_of(timer: Timer, start: int, minutes: int) -> int:
    """Return when so many minutes are worked, counting them one by one."""
    minute = start
    left = minutes
    while left > 0:
        if not isinstance(timer, Pattern) or timer.at(minute):
            left -= 1
        minute += 1
    return minute


def placed(timer: Timer, not_before: float, not_done_before: float, minutes: int) -> Dates:
    """Return the first start and finish that do, as a list of one pair."""
    if math.inf in {not_before, not_done_before}:
        return [(math.inf, math.inf)]
    if not_before == not_done_before == -math.inf:
        return [(-math.inf, -math.inf)]
    if minutes == 0 and not isinstance(timer, SlotPattern):
        at = max(not_before, not_done_before)
        return [(at, at)]
    minute = int(not_before) if not_before > -math.inf else int(not_done_before) - BACK
    while True:
        if isinstance(timer, SlotPattern):
            end = timer.starting_at(minute)
            if end is not None and end >= not_done_before:
                return [(minute, end)]
        elif timer is None or timer.at(minute):
            done = end_of(timer, minute, minutes)
            if done >= not_done_before:
                return [(minute, done)]
        minute += 1


def resumed(
    timer: Timer, waits_until: float, seen: int, not_done_before: float, left: int
) -> float:
    """Return when a task under way is done."""
    if math.inf in {waits_until, not_done_before}:
        return math.inf
    if isinstance(timer, SlotPattern):
        own = placed(timer, -math.inf, seen, left)[0][1]
        waiting = placed(timer, waits_until, not_done_before, left)[0][1]
        return max(own, waiting)
    begin = int(max(waits_until, seen))
    if left == 0:
        return max(begin, not_done_before)
    if timer is None:
        return max(begin + left, not_done_before)
    return placed(timer, begin, not_done_before, left)[0][1]


def after_gap(case: Case, link: Link, instant: float) -> float:
    """Return the instant a link imposes, its gap walked minute by minute."""
    if math.isinf(instant):
        return instant
    timer = None if link.gap_elapsed else case.timers[0]
    return end_of(timer, int(instant), link.gap_minutes)


def dates_of(case: Case, only_from: int | None = None, start: int = 0) -> Dates:
    """Return start and finish of every task, each once all it waits for are known.

    With `only_from` nothing is known but that one task starts at `start`: what then follows for
    the others shows how far it alone pushes them.
    """
    dates: dict[int, tuple[float, float]] = {}
    while len(dates) < len(case.minutes):
        for task in range(len(case.minutes)):
            into = [link for link in case.links if link.target == task]
            if task not in dates and all(link.source in dates for link in into):
                dates[task] = _date(case, task, into, dates, (only_from, start))
    return [dates[task] for task in range(len(case.minutes))]


def _date(
    case: Case,
    task: int,
    into: Sequence[Link],
    dates: Mapping[int, tuple[float, float]],
    pushed: tuple[int | None, int],
) -> tuple[float, float]:
    """Return the dates of one task."""
    index = case.calendar[task]
    timer = None if index is None else case.timers[index]
    only_from, start = pushed
    if only_from is None:
        if task in case.finished:
            return case.finished[task]
        if task in case.never:
            return math.inf, math.inf
    not_before: float = -math.inf
    if only_from is None:
        not_before = case.not_before.get(task, -math.inf)
    elif only_from == task:
        not_before = start
    waits_until, not_done_before = -math.inf, -math.inf
    for link in into:
        leaves_start = link.kind in {LinkKind.START_TO_START, LinkKind.START_TO_END}
        instant = after_gap(case, link, dates[link.source][0 if leaves_start else 1])
        if link.kind in {LinkKind.END_TO_END, LinkKind.START_TO_END}:
            not_done_before = max(not_done_before, instant)
        elif task not in case.begun or link.kind is LinkKind.END_TO_START:
            waits_until = max(waits_until, instant)
    if task in case.begun and only_from is None:
        begun, seen, left = case.begun[task]
        return begun, resumed(timer, waits_until, seen, not_done_before, left)
    return placed(timer, max(not_before, waits_until), not_done_before, case.minutes[task])[0]
