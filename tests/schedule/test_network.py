"""Order, rows, circles, and what is up- and downstream."""

from __future__ import annotations

import pytest

from readiness.schedule.graph import circles
from readiness.schedule.network import CircleError, compiled
from readiness.site.task import LinkKind
from tests.schedule.builders import link, task


def test_every_task_stands_after_those_it_waits_for() -> None:
    tasks = [task(index, 5) for index in range(5)]
    network = compiled(tasks, [link(4, 1), link(1, 0), link(3, 4), link(0, 2)], None)
    assert network.order == (3, 4, 1, 0, 2)
    assert [network.rank[index] for index in network.order] == [0, 1, 2, 3, 4]


def test_a_row_tells_starts_from_finishes_and_keeps_gaps_apart() -> None:
    links = [
        link(0, 1, LinkKind.END_TO_START),
        link(0, 1, LinkKind.START_TO_START),
        link(0, 1, LinkKind.END_TO_END),
        link(0, 1, LinkKind.START_TO_END, 30, elapsed=True),
    ]
    network = compiled([task(0, 5), task(1, 5)], links, None)
    incoming, outgoing = network.incoming[1], network.outgoing[0]
    assert sorted(incoming.starts) == [0, 1]
    assert incoming.finishes == (1,)
    assert incoming.gaps == ((1, 0, 30, True),)
    assert outgoing.starts == (2,)
    assert sorted(outgoing.finishes) == [2, 3]
    assert outgoing.gaps == ((0, 3, 30, True),)
    assert network.numbered[1].numbers() == [0, 1, 2, 3]


def test_two_equal_links_between_one_pair_both_count() -> None:
    network = compiled([task(0, 5), task(1, 5)], [link(0, 1), link(0, 1)], None)
    assert network.incoming[1].starts == (1, 1)


def test_a_circle_is_told_as_its_shortest_chain_with_the_links_used() -> None:
    """Five tasks wait for each other; the shortest way round takes three of them."""
    tasks = [task(index, 5) for index in range(6)]
    links = [link(0, 1), link(1, 2), link(2, 3), link(3, 4), link(4, 0), link(3, 1), link(4, 5)]
    [circle] = circles(len(tasks), links)
    assert circle.tasks == (1, 2, 3)
    assert circle.links == (1, 2, 5)


def test_a_circle_of_forty_is_told_whole() -> None:
    tasks = [task(index, 5) for index in range(40)]
    links = [link(index, (index + 1) % 40) for index in range(40)]
    [circle] = circles(len(tasks), links)
    assert circle.tasks == tuple(range(40))
    assert circle.links == tuple(range(40))


def test_each_group_of_tasks_has_its_own_circle_and_a_task_may_wait_for_itself() -> None:
    tasks = [task(index, 5) for index in range(5)]
    found = circles(len(tasks), [link(3, 4), link(4, 3), link(0, 0), link(1, 2)])
    assert [circle.tasks for circle in found] == [(0,), (3, 4)]


def test_a_network_with_a_circle_is_refused_with_the_chain() -> None:
    tasks = [task(0, 5), task(1, 5)]
    with pytest.raises(CircleError) as caught:
        compiled(tasks, [link(0, 1), link(1, 0, LinkKind.START_TO_START)], None)
    assert [circle.tasks for circle in caught.value.circles] == [(0, 1)]


def test_without_a_circle_there_is_none_to_tell() -> None:
    assert circles(2, [link(0, 1)]) == ()


def test_upstream_and_downstream_leave_out_the_tasks_themselves() -> None:
    tasks = [task(index, 5) for index in range(5)]
    network = compiled(tasks, [link(0, 1), link(1, 2, gap=4), link(3, 2)], None)
    assert network.upstream([2]) == {0, 1, 3}
    assert network.downstream([0]) == {1, 2}
    assert network.downstream([0, 1]) == {2}
    assert network.upstream([4]) == frozenset()


def test_other_calendars_and_lengths_share_order_and_rows_and_keep_the_base_calendar() -> None:
    network = compiled([task(0, 5, 0), task(1, 7, 1)], [link(0, 1)], 0)
    other = network.with_calendars([2, 1]).with_minutes({1: 9})
    assert (other.calendar, other.base_calendar) == ((2, 1), (0, 1))
    assert other.minutes == (5, 9)
    assert other.incoming is network.incoming
    assert other.outgoing is network.outgoing
    assert network.with_minutes({}) is network


def test_one_calendar_too_few_is_refused() -> None:
    network = compiled([task(0, 5, 0), task(1, 7, 1)], [], 0)
    with pytest.raises(ValueError, match="2 tasks need as many"):
        network.with_calendars([0])


def test_what_lasts_less_than_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="lasts -1 minutes"):
        compiled([task(0, -1)], [], None)
    with pytest.raises(ValueError, match="gap from 0 to 1"):
        compiled([task(0, 1), task(1, 1)], [link(0, 1, gap=-5)], None)
    with pytest.raises(ValueError, match="less than nothing"):
        compiled([task(0, 1)], [], None).with_minutes({0: -1})


def test_a_task_away_from_its_index_is_refused() -> None:
    with pytest.raises(ValueError, match="stands at 0, not at its index 1"):
        compiled([task(1, 5)], [], None)
