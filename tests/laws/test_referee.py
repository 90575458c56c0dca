"""The passes against a referee that walks from minute to minute and shares no code with them."""

from __future__ import annotations

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from readiness.job.instants import EARLIER, NEVER, is_dated
from readiness.schedule.backward import Targets, backward
from readiness.schedule.chains import all_drivers, chain, drivers_of
from readiness.schedule.forward import forward, imposed
from readiness.schedule.state import Hold
from tests.laws.referee import Case, dates_of
from tests.laws.referee_cases import (
    LONG,
    SHORT,
    calendars_of,
    cases,
    instant_of,
    network_of,
    own_calendar,
    state_of,
)

stretches = st.sampled_from((SHORT, LONG))


def forecast_nodes(case: Case, stretch: tuple[int, int] = SHORT) -> list[tuple[int, int]]:
    forecast = forward(network_of(case), calendars_of(case, stretch), state_of(case))
    return list(zip(forecast.start, forecast.finish, strict=True))


@given(cases())
def test_early_dates_are_those_of_the_referee(case: Case) -> None:
    """However much of the calendars was worked out before."""
    expected = [(instant_of(start), instant_of(finish)) for start, finish in dates_of(case)]
    assert forecast_nodes(case, SHORT) == expected
    assert forecast_nodes(case, LONG) == expected


@given(cases(), st.randoms())
def test_the_order_of_the_links_changes_no_date(case: Case, chooser: object) -> None:
    order = list(range(len(case.links)))
    chooser.shuffle(order)  # type: ignore[attr-defined]
    shuffled = forward(network_of(case, order), calendars_of(case), state_of(case))
    assert list(zip(shuffled.start, shuffled.finish, strict=True)) == forecast_nodes(case)


@given(cases(seen=False), st.integers(20, 140), st.data())
def test_a_task_that_starts_later_than_its_late_start_pushes_the_target_past_its_limit(
    case: Case, limit: int, data: st.DataObject
) -> None:
    """One that starts by it does not: the late start is exact, to the minute."""
    target = data.draw(st.integers(0, len(case.minutes) - 1))
    on_finish = data.draw(st.booleans())
    calendars = calendars_of(case, data.draw(stretches))
    targets = Targets(finish={target: limit}) if on_finish else Targets(start={target: limit})
    late = backward(network_of(case), calendars, targets)
    for task, last in enumerate(late.start):
        if not is_dated(last):
            continue
        finish = dates_of(case, task, last)
        assert finish[task] == (last, late.finish[task])
        assert finish[target][on_finish] <= limit
        pushed = dates_of(case, task, last + 1)
        assert pushed[target][on_finish] > limit


@given(cases(seen=False), st.integers(20, 140), st.data())
def test_a_task_without_a_late_date_does_not_reach_the_target(
    case: Case, limit: int, data: st.DataObject
) -> None:
    target = data.draw(st.integers(0, len(case.minutes) - 1))
    late = backward(network_of(case), calendars_of(case), Targets(start={target: limit}))
    for task, last in enumerate(late.start):
        assert (last == NEVER) == (dates_of(case, task, 10)[target][0] == -float("inf"))


@given(cases(), stretches)
def test_drivers_found_at_once_are_those_found_one_by_one(
    case: Case, stretch: tuple[int, int]
) -> None:
    network, calendars, state = network_of(case), calendars_of(case, stretch), state_of(case)
    forecast = forward(network, calendars, state)
    single = [
        drivers_of(task, network, calendars, forecast, state) for task in range(len(case.minutes))
    ]
    found = all_drivers(network, calendars, forecast, state)
    assert list(zip(found.links, found.holds, strict=True)) == single


@given(cases())
def test_what_has_a_date_has_a_driver(case: Case) -> None:
    """Whatever holds a task is told: a link, as_of, a booking or what was seen."""
    network, calendars, state = network_of(case), calendars_of(case), state_of(case)
    forecast = forward(network, calendars, state)
    for task in range(len(case.minutes)):
        found = drivers_of(task, network, calendars, forecast, state)
        assert bool(found.links or found.holds) == (forecast.finish[task] != EARLIER)


@given(cases())
def test_a_link_drives_exactly_if_its_instant_alone_gives_the_date(case: Case) -> None:
    network, calendars, state = network_of(case), calendars_of(case), state_of(case)
    forecast = forward(network, calendars, state)
    for number, link in enumerate(network.links):
        task = link.target
        if task in case.begun or task in case.finished or task in case.never:
            continue
        at_finish = "to end" in link.kind.value
        instant = imposed(link, network, calendars, forecast)
        limits = (EARLIER, instant) if at_finish else (instant, EARLIER)
        alone = own_calendar(case, calendars, task).earliest(*limits, case.minutes[task])
        found = drivers_of(task, network, calendars, forecast, state)
        same = alone[at_finish] == forecast.nodes[2 * task + at_finish]
        assert (number in found.links) == (same and instant != EARLIER)


@given(cases())
def test_a_told_chain_hangs_together_and_ends_with_a_cause(case: Case) -> None:
    network, calendars, state = network_of(case), calendars_of(case), state_of(case)
    forecast = forward(network, calendars, state)
    for task in range(len(case.minutes)):
        steps = chain(task, network, calendars, forecast, state)
        assert steps[0].task == task
        for step, following in pairwise(steps):
            assert step.link is not None
            link = network.links[step.link]
            assert (link.target, link.source) == (step.task, following.task)
            assert step.imposed == imposed(link, network, calendars, forecast)
        assert steps[-1].link is None
        assert steps[-1].holds or forecast.finish[steps[-1].task] == EARLIER


@given(cases())
def test_an_undated_pull_leaves_everything_behind_it_without_a_date(case: Case) -> None:
    network, calendars, state = network_of(case), calendars_of(case), state_of(case)
    forecast = forward(network, calendars, state)
    for task in network.downstream(case.never):
        if task in case.finished:
            continue
        binding = [
            link
            for link in case.links
            if link.target == task
            and forecast.nodes[2 * link.source + link.kind.value.startswith("end")] == NEVER
            and not (task in case.begun and link.kind.value == "start to start")
        ]
        if binding:
            assert forecast.finish[task] == NEVER
            assert Hold.UNDATED in chain(task, network, calendars, forecast, state)[-1].holds
