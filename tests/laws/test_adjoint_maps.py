"""The adjoint law for every map of instants: a limit is kept exactly up to the latest input."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from readiness.job.instants import EARLIER, NEVER
from readiness.schedule.backward import gap_start
from readiness.schedule.calendar import CLOCK, Calendar, Clock
from readiness.schedule.forward import gap_end
from readiness.schedule.network import Gap
from readiness.schedule.worktime import Worktime
from tests.laws.referee import Pattern, SlotPattern, placed
from tests.laws.referee_cases import calendar_of, instant_of, patterns, slot_patterns

instants = st.one_of(st.integers(-60, 160), st.sampled_from((EARLIER, NEVER)))
lengths = st.integers(0, 30)


CALENDARS: tuple[st.SearchStrategy[Calendar], ...] = (
    st.just(CLOCK),
    patterns.map(calendar_of),
    slot_patterns().map(calendar_of),
)
each_calendar = pytest.mark.parametrize(
    "calendars", CALENDARS, ids=("clock", "working time", "slots")
)


def worktime_of(pattern: Pattern) -> Worktime:
    worktime = calendar_of(pattern)
    assert isinstance(worktime, Worktime)
    return worktime


@given(patterns, instants, instants, lengths)
def test_work_ends_by_a_limit_exactly_if_it_starts_by_the_latest_start(
    pattern: Pattern, start: int, limit: int, minutes: int
) -> None:
    worktime = worktime_of(pattern)
    ends_in_time = worktime.finish(start, minutes) <= limit
    assert ends_in_time == (start <= worktime.latest_start(limit, minutes))


@given(patterns, instants, instants)
def test_the_next_and_the_last_working_minute_are_adjoint(
    pattern: Pattern, instant: int, limit: int
) -> None:
    worktime = worktime_of(pattern)
    assert (worktime.next_minute(instant) <= limit) == (instant <= worktime.last_minute(limit))


@given(patterns, st.integers(-60, 160), lengths)
def test_a_finish_is_the_least_end_by_which_the_minutes_are_worked(
    pattern: Pattern, start: int, minutes: int
) -> None:
    worktime = worktime_of(pattern)
    end = worktime.finish(start, minutes)
    assert worktime.before(end) - worktime.before(start) == minutes
    assert minutes == 0 or worktime.before(end - 1) - worktime.before(start) < minutes


@given(patterns, st.integers(-60, 160), lengths)
def test_a_latest_start_is_the_greatest_from_which_the_minutes_fit(
    pattern: Pattern, end: int, minutes: int
) -> None:
    worktime = worktime_of(pattern)
    start = worktime.latest_start(end, minutes)
    assert worktime.before(end) - worktime.before(start) == minutes
    assert minutes == 0 or worktime.before(end) - worktime.before(start + 1) < minutes


@given(patterns, st.integers(-60, 160), st.integers(-60, 160))
def test_minutes_before_an_instant_are_counted_one_by_one(
    pattern: Pattern, early: int, late: int
) -> None:
    worktime = worktime_of(pattern)
    counted = sum(pattern.at(minute) for minute in range(early, late))
    counted -= sum(pattern.at(minute) for minute in range(late, early))
    assert worktime.minutes_between(early, late) == counted


pairs = st.tuples(instants, instants)


@each_calendar
@given(st.data(), pairs, pairs, lengths)
def test_an_item_keeps_two_upper_limits_exactly_if_its_lower_limits_keep_the_latest_dates(
    calendars: st.SearchStrategy[Calendar],
    data: st.DataObject,
    lower: tuple[int, int],
    upper: tuple[int, int],
    minutes: int,
) -> None:
    calendar = data.draw(calendars)
    start, finish = calendar.earliest(*lower, minutes)
    last_start, last_finish = calendar.latest(*upper, minutes)
    kept = start <= upper[0] and finish <= upper[1]
    assert kept == (lower[0] <= last_start and lower[1] <= last_finish)


@each_calendar
@given(st.data(), pairs, st.tuples(st.integers(-60, 160), lengths), instants)
def test_what_is_under_way_ends_by_a_limit_exactly_if_what_it_waits_for_does(
    calendars: st.SearchStrategy[Calendar],
    data: st.DataObject,
    lower: tuple[int, int],
    rest: tuple[int, int],
    limit: int,
) -> None:
    """Provided that what was seen does not break the limit already."""
    calendar = data.draw(calendars)
    seen, left = rest
    alone = calendar.resumed(EARLIER, seen, EARLIER, left) <= limit
    last_start, last_finish = calendar.latest_resumption(limit, left)
    kept = calendar.resumed(lower[0], seen, lower[1], left) <= limit
    assert kept == (alone and lower[0] <= last_start and lower[1] <= last_finish)


@given(
    st.one_of(st.just(CLOCK), patterns.map(worktime_of)),
    instants,
    instants,
    st.builds(Gap, st.just(0), st.just(0), lengths, st.booleans()),
)
def test_a_gap_is_over_by_a_limit_exactly_if_it_begins_by_the_latest_instant(
    calendar: Worktime | Clock, instant: int, limit: int, gap: Gap
) -> None:
    over = gap_end(calendar, instant, gap) <= limit
    assert over == (instant <= gap_start(calendar, limit, gap))


@given(st.one_of(patterns, slot_patterns()), instants, instants, st.integers(1, 9))
def test_an_item_lies_where_trying_minute_after_minute_puts_it(
    timer: Pattern | SlotPattern, lower: int, lower_finish: int, minutes: int
) -> None:
    infinite = {EARLIER: -float("inf"), NEVER: float("inf")}
    first = infinite.get(lower, lower)
    first_finish = infinite.get(lower_finish, lower_finish)
    expected = placed(timer, first, first_finish, minutes)[0]
    found = calendar_of(timer).earliest(lower, lower_finish, minutes)
    assert found == (instant_of(expected[0]), instant_of(expected[1]))
