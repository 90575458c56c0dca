"""Floats in working minutes of the task's own calendar."""

from __future__ import annotations

from readiness.job.instants import EARLIER, NEVER
from readiness.schedule.backward import Targets, backward
from readiness.schedule.calendar import Calendar
from readiness.schedule.floats import Floats, floats
from readiness.schedule.forward import forward
from readiness.schedule.network import compiled
from readiness.schedule.state import Begun, Finished, State
from readiness.site.task import Link, LinkKind, Task
from tests.schedule.builders import DAY, MONDAY, link, task, weekly

EIGHT = MONDAY + 8 * 60
SIXTEEN = MONDAY + 16 * 60
SHIFT: list[Calendar] = [
    weekly([(8 * 60, 16 * 60)], (0, 1, 2, 3, 4)),
    weekly([(8 * 60, 12 * 60)], (0, 2)),
]


def found(tasks: list[Task], links: list[Link], targets: Targets, state: State) -> Floats:
    network = compiled(tasks, links, 0)
    forecast = forward(network, SHIFT, state)
    late = backward(network, SHIFT, targets, state=state)
    return floats(network, SHIFT, forecast, late, state)


START = State(bookings={0: EIGHT})


def test_a_float_counts_working_minutes_of_the_own_calendar_only() -> None:
    """From Monday 8:00 to Wednesday 10:00 there are 18 hours on one calendar, 6 on the other."""
    state = State(bookings={0: EIGHT, 1: EIGHT})
    tasks = [task(0, 60, 0), task(1, 60, 1)]
    limit = EIGHT + 2 * DAY + 120
    floats_found = found(tasks, [], Targets(start={0: limit, 1: limit}), state)
    assert floats_found.total_float == [18 * 60, 6 * 60]


def test_a_start_limit_at_night_leaves_a_minute_less_than_the_shift() -> None:
    assert found([task(0, 60, 0)], [], Targets(start={0: SIXTEEN + 9}), START).total_float == [479]


def test_a_late_task_has_a_negative_float() -> None:
    assert found([task(0, 60, 0)], [], Targets(finish={0: EIGHT + 20}), START).total_float == [-40]


def test_start_and_finish_float_differ_and_the_smaller_is_the_total() -> None:
    tasks = [task(0, 60, 0), task(1, 60, 0), task(2, 60, 0)]
    links = [link(0, 1, LinkKind.START_TO_START), link(0, 2)]
    result = found(tasks, links, Targets(start={1: EIGHT + 30, 2: EIGHT + 90}), START)
    assert (result.start_float[0], result.finish_float[0], result.total_float[0]) == (30, 30, 30)
    result = found(tasks, links, Targets(start={1: EIGHT + 50, 2: EIGHT + 90}), START)
    assert (result.start_float[0], result.finish_float[0], result.total_float[0]) == (50, 30, 30)


def test_free_float_is_what_moves_no_follower_and_total_float_where_none_follows() -> None:
    tasks = [task(0, 60, 0), task(1, 60, 0)]
    state = State(bookings={0: EIGHT, 1: EIGHT + 200})
    result = found(tasks, [link(0, 1, gap=40)], Targets(finish={1: SIXTEEN}), state)
    assert result.free_float == [100, 220]
    assert result.total_float == [320, 220]


def test_a_wait_has_its_float_on_the_clock() -> None:
    result = found([task(0, 60)], [], Targets(finish={0: EIGHT + DAY}), START)
    assert result.total_float == [DAY - 60]


def test_without_a_limit_there_is_no_end_to_the_float() -> None:
    result = found([task(0, 60, 0)], [], Targets(), START)
    assert result.total_float == result.free_float == [NEVER]


def test_what_has_no_date_is_late_without_measure() -> None:
    state = State(never=frozenset({0}))
    assert found([task(0, 60, 0)], [], Targets(start={0: EIGHT}), state).total_float == [EARLIER]


def test_what_has_begun_has_a_finish_float_and_what_is_finished_has_none() -> None:
    state = State(
        begun={0: Begun(EIGHT, EIGHT + 60, 60)}, finished={1: Finished(EIGHT, EIGHT + 60)}
    )
    result = found([task(0, 60, 0), task(1, 60, 0)], [], Targets(finish={0: SIXTEEN}), state)
    assert (result.start_float[0], result.finish_float[0]) == (NEVER, 360)
    assert result.total_float == [360, NEVER]


def test_a_task_may_slip_as_far_as_the_rest_of_what_has_begun_allows() -> None:
    """Its follower goes on at 10:00 for an hour, so the wait before it may last until 10:00."""
    state = State(bookings={0: EIGHT}, begun={1: Begun(EIGHT - DAY, EIGHT + 120, 60)})
    tasks = [task(0, 60, 0), task(1, 300, 0)]
    result = found(tasks, [link(0, 1)], Targets(finish={1: SIXTEEN}), state)
    assert result.free_float == [60, 300]


def test_what_is_finished_out_of_turn_holds_nothing_before_it() -> None:
    """Its dates stand, so that only the other limit is left to the task before it."""
    state = State(bookings={0: EIGHT + 60}, finished={1: Finished(EIGHT, EIGHT + 30)})
    network = compiled([task(0, 60, 0), task(1, 30, 0)], [link(0, 1)], 0)
    forecast = forward(network, SHIFT, state)
    late = backward(network, SHIFT, Targets(), state=state, otherwise=SIXTEEN)
    result = floats(network, SHIFT, forecast, late, state)
    assert (result.total_float[0], result.free_float[0]) == (360, 360)


def test_a_limit_beyond_the_known_stretch_is_counted_to_its_end() -> None:
    """The other limit is near, so that nothing had to work out the calendar so far before."""
    for far_start in (True, False):
        far, near = EIGHT + 3_000 * DAY, EIGHT + 60
        calendar = weekly([(8 * 60, 16 * 60)], range(7))
        start, finish = (far, near + 60) if far_start else (near, far + 60)
        network = compiled([task(0, 60, 0)], [], 0)
        forecast = forward(network, [calendar], START)
        late = backward(network, [calendar], Targets(start={0: start}, finish={0: finish}))
        result = floats(network, [calendar], forecast, late, START)
        assert result.total_float == [60]
        endless = result.start_float if far_start else result.finish_float
        assert endless == [3_000 * 480]


def test_a_follower_beyond_the_known_stretch_leaves_all_the_time_up_to_it() -> None:
    """The follower runs on another calendar, so that only the float looks so far ahead."""
    state = State(bookings={0: EIGHT, 1: EIGHT + 3_000 * DAY})
    shifts = 3_000 * 480
    for kind, free in ((LinkKind.START_TO_START, shifts), (LinkKind.END_TO_START, shifts - 60)):
        calendars = [weekly([(8 * 60, 16 * 60)], range(7)) for _ in range(2)]
        network = compiled([task(0, 60, 0), task(1, 60, 1)], [link(0, 1, kind)], None)
        forecast = forward(network, calendars, state)
        late = backward(network, calendars, Targets())
        result = floats(network, calendars, forecast, late, state)
        assert result.free_float[0] == free
