"""Small networks that hypothesis makes up, in the referee's words and in the schedule's.

Invariant: both forms of a case say the same; days are a dozen minutes long, so that a handful of
tasks crosses many nights.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from hypothesis import strategies as st

from readiness.job.instants import EARLIER, NEVER
from readiness.schedule.calendar import CLOCK, Calendar
from readiness.schedule.network import Network, compiled
from readiness.schedule.slots import Slots, SlotSource
from readiness.schedule.state import Begun, Finished, State
from readiness.schedule.worktime import SpanSource, Worktime
from readiness.site.task import LinkKind
from tests.laws.referee import Case, Pattern, SlotPattern, Timer
from tests.schedule.builders import link, task

patterns = st.builds(
    Pattern,
    st.lists(st.booleans(), min_size=2, max_size=12).filter(any).map(tuple),
    st.lists(
        st.tuples(st.integers(-20, 90), st.integers(1, 25)).map(
            lambda stretch: (stretch[0], stretch[0] + stretch[1])
        ),
        max_size=2,
    ).map(tuple),
)


@st.composite
def slot_patterns(draw: st.DrawFn) -> SlotPattern:
    """Draw slots whose starts and ends both ascend, also from one period into the next."""
    count = draw(st.integers(1, 3))
    starts = sorted(draw(st.sets(st.integers(0, 11), min_size=count, max_size=count)))
    length = draw(st.integers(1, 9))
    return SlotPattern(12, tuple((start, start + length) for start in starts))


@st.composite
def cases(draw: st.DrawFn, *, seen: bool = True, slots: bool = True) -> Case:
    """Draw a network of up to seven tasks; `seen` says whether some are under way or done."""
    count = draw(st.integers(1, 7))
    kinds = st.one_of(patterns, slot_patterns()) if slots else patterns
    timers = (draw(patterns), *draw(st.lists(kinds, max_size=3)))
    tasks = range(count)
    links = (
        [
            link(source, target, kind, gap, elapsed=elapsed)
            for source, target, kind, gap, elapsed in draw(
                st.lists(
                    st.tuples(
                        st.sampled_from(tasks),
                        st.sampled_from(tasks),
                        st.sampled_from(LinkKind),
                        st.sampled_from((0, 0, 1, 3, 7)),
                        st.booleans(),
                    ).filter(lambda row: row[0] < row[1]),
                    max_size=12,
                )
            )
        ]
        if count > 1
        else []
    )
    instants = st.integers(-15, 80)
    case = Case(
        minutes=tuple(draw(st.integers(0, 9)) for _ in tasks),
        calendar=tuple(draw(st.sampled_from((None, *range(len(timers))))) for _ in tasks),
        links=tuple(links),
        timers=timers,
        not_before=draw(st.dictionaries(st.sampled_from(tasks), instants)),
    )
    if not seen:
        return case
    begun, finished, never = {}, {}, set()
    for index in tasks:
        fate = draw(st.sampled_from(("open", "open", "open", "begun", "finished", "never")))
        start = draw(instants)
        length = draw(st.integers(0, 12))
        if fate == "begun":
            begun[index] = (start, start + length, draw(st.integers(0, 9)))
        elif fate == "finished":
            finished[index] = (start, start + length)
        elif fate == "never":
            never.add(index)
    return Case(
        case.minutes,
        case.calendar,
        case.links,
        case.timers,
        case.not_before,
        begun,
        finished,
        frozenset(never),
    )


def network_of(case: Case, order: Sequence[int] | None = None) -> Network:
    """Return the network of a case, its links given in another order if asked."""
    tasks = [
        task(index, minutes, case.calendar[index]) for index, minutes in enumerate(case.minutes)
    ]
    links = case.links if order is None else [case.links[number] for number in order]
    return compiled(tasks, links, 0)


SHORT = (5, 30)
"""A stretch shorter than most cases need, so that their calendars grow."""

LONG = (-500, 900)
"""A stretch that holds every date of most cases, so that tasks are timed in place."""


def calendars_of(case: Case, stretch: tuple[int, int] = SHORT) -> list[Calendar]:
    """Return the calendars of a case, worked out for a stretch at first."""
    return [calendar_of(timer, stretch) for timer in case.timers]


def calendar_of(timer: Timer, stretch: tuple[int, int] = SHORT) -> Worktime | Slots:
    """Return the schedule's form of a repeating pattern."""
    if isinstance(timer, SlotPattern):
        return Slots(_slot_source(timer), *stretch)
    assert timer is not None
    return Worktime(_span_source(timer), *stretch).without(timer.closed)


def state_of(case: Case) -> State:
    """Return what was seen in a case, its lower limits as bookings."""
    return State(
        bookings=case.not_before,
        begun={index: Begun(*row) for index, row in case.begun.items()},
        finished={index: Finished(*row) for index, row in case.finished.items()},
        never=case.never,
    )


def instant_of(date: float) -> int:
    """Return the schedule's instant for the referee's."""
    if math.isinf(date):
        return NEVER if date > 0 else EARLIER
    return int(date)


def own_calendar(case: Case, calendars: Sequence[Calendar], index: int) -> Calendar:
    """Return the calendar of one task of a case."""
    number = case.calendar[index]
    return CLOCK if number is None else calendars[number]


def _span_source(pattern: Pattern) -> SpanSource:
    def spans(low: int, high: int) -> list[tuple[int, int]]:
        period = len(pattern.works)
        return [
            (minute, minute + 1) for minute in range(low, high) if pattern.works[minute % period]
        ]

    return spans


def _slot_source(pattern: SlotPattern) -> SlotSource:
    def slots(low: int, high: int) -> list[tuple[int, int]]:
        found = []
        for minute in range(low, high):
            end = pattern.starting_at(minute)
            if end is not None:
                found.append((minute, end))
        return found

    return slots
