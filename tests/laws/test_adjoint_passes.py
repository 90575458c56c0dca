"""The adjoint law for whole passes, what was seen included, and what the floats promise."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import assume, given
from hypothesis import strategies as st

from readiness.job.instants import EARLIER, NEVER, is_dated
from readiness.schedule.backward import Late, Targets, backward
from readiness.schedule.floats import Floats, floats
from readiness.schedule.forward import Forecast, forward
from tests.laws.referee import Case
from tests.laws.referee_cases import (
    LONG,
    SHORT,
    calendars_of,
    cases,
    network_of,
    own_calendar,
    state_of,
)

limits = st.integers(10, 140)


def forecast_of(case: Case) -> Forecast:
    return forward(network_of(case), calendars_of(case), state_of(case))


def moved(case: Case, task: int, instant: int) -> Forecast:
    return forecast_of(replace(case, not_before={**case.not_before, task: instant}))


@given(cases(), limits, st.data())
def test_arriving_later_crosses_a_limit_exactly_past_the_latest_arrival(
    case: Case, limit: int, data: st.DataObject
) -> None:
    """With what was seen counted on both ways, as long as nothing else breaks the limit."""
    tasks = range(len(case.minutes))
    target, arrival = data.draw(st.sampled_from(tasks)), data.draw(st.sampled_from(tasks))
    assume(arrival not in case.begun and arrival not in case.finished)
    case = replace(case, never=frozenset())
    assume(forecast_of(case).finish[target] <= limit and target not in case.finished)
    late = backward(
        network_of(case), calendars_of(case), Targets(finish={target: limit}), state=state_of(case)
    )
    instant = data.draw(st.integers(-15, 140))
    kept = moved(case, arrival, instant).finish[target] <= limit
    assert kept == (instant <= late.start[arrival])


@given(cases(), limits, st.data())
def test_working_back_within_a_set_is_working_back_through_its_links_alone(
    case: Case, limit: int, data: st.DataObject
) -> None:
    target = data.draw(st.integers(0, len(case.minutes) - 1))
    network, calendars = network_of(case), calendars_of(case)
    within = data.draw(st.frozensets(st.sampled_from(range(len(case.minutes))))) | {target}
    targets = Targets(start={target: limit})
    late = backward(network, calendars, targets, within=within)
    inner = replace(
        case,
        links=tuple(link for link in case.links if link.source in within and link.target in within),
    )
    alone = backward(network_of(inner), calendars, targets)
    assert [late.start[task] for task in sorted(within)] == [
        alone.start[task] for task in sorted(within)
    ]
    assert all(late.start[task] == NEVER for task in range(len(case.minutes)) if task not in within)


@given(cases(), limits, st.data())
def test_tasks_without_a_path_take_the_other_limit_and_hand_it_to_nobody_else(
    case: Case, limit: int, data: st.DataObject
) -> None:
    target = data.draw(st.integers(0, len(case.minutes) - 1))
    network, calendars = network_of(case), calendars_of(case)
    targets = Targets(start={target: limit})
    plain = backward(network, calendars, targets)
    filled = backward(network, calendars, targets, otherwise=200)
    for task, last in enumerate(plain.start):
        if last != NEVER:
            assert filled.start[task] == last
        else:
            assert is_dated(filled.start[task])
            assert filled.finish[task] <= 200


def all_floats(
    case: Case, limit: int, stretch: tuple[int, int] = LONG
) -> tuple[Forecast, Late, Floats]:
    network, calendars, state = network_of(case), calendars_of(case, stretch), state_of(case)
    forecast = forward(network, calendars, state)
    last = {task: limit for task in range(len(case.minutes)) if not network.downstream([task])}
    late = backward(network, calendars, Targets(finish=last), state=state)
    return forecast, late, floats(network, calendars, forecast, late, state)


@given(cases(seen=False), limits, st.sampled_from((SHORT, LONG)))
def test_total_float_is_the_working_time_from_early_to_late_start(
    case: Case, limit: int, stretch: tuple[int, int]
) -> None:
    forecast, late, found = all_floats(case, limit, stretch)
    for task, total in enumerate(found.total_float):
        assert total == min(found.start_float[task], found.finish_float[task])
        own = own_calendar(case, calendars_of(case), task)
        assert total == own.minutes_between(forecast.start[task], late.start[task])


@given(cases(seen=False, slots=False))
def test_a_task_may_slip_by_its_free_float_and_not_by_a_minute_more(case: Case) -> None:
    """Not one task that waits for it moves; a minute further, at least one does."""
    assume(case.not_before)
    forecast, _, found = all_floats(case, 300)
    network, calendars = network_of(case), calendars_of(case)
    for task, free in enumerate(found.free_float):
        start, followers = forecast.start[task], network.downstream([task])
        if not followers or not is_dated(start):
            continue
        own = own_calendar(case, calendars, task)
        assert free >= 0
        if free < NEVER and case.minutes[task]:
            last = _after(own, start, free)
            kept = moved(case, task, last)
            assert [kept.start[other] for other in followers] == [
                forecast.start[other] for other in followers
            ]
            pushed = moved(case, task, _after(own, start, free + 1))
            assert pushed.nodes != kept.nodes
            assert any(
                pushed.nodes[2 * other + end] != forecast.nodes[2 * other + end]
                for other in followers
                for end in (0, 1)
            )


def _after(calendar: object, start: int, minutes: int) -> int:
    """Return the working minute so many working minutes after a working minute."""
    finish = calendar.earliest(start, EARLIER, minutes + 1)[1]  # type: ignore[attr-defined]
    assert isinstance(finish, int)
    return finish - 1


@given(cases(), limits)
def test_what_is_finished_has_no_float_and_what_is_under_way_only_one(
    case: Case, limit: int
) -> None:
    _, _, found = all_floats(case, limit)
    for task in case.finished:
        assert found.total_float[task] == found.free_float[task] == NEVER
    for task in case.begun:
        assert found.start_float[task] == NEVER
        assert found.total_float[task] == found.finish_float[task]
