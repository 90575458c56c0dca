"""What hangs on what: steps, the waits that matter, and what stands behind a step."""

from __future__ import annotations

import random

import pytest

from readiness.schedule.graph import steps_of
from readiness.schedule.network import compiled
from tests.schedule.builders import link, random_links, random_tasks

SEEDS = range(20)


def named(count: int) -> list[str]:
    return [f"task-{number:03}" for number in range(count)]


def test_a_wait_that_follows_from_others_is_left_out() -> None:
    steps = steps_of(["a", "b", "c"], [link(0, 1), link(1, 2), link(0, 2)], frozenset())
    assert [step.members for step in steps] == [("a",), ("b",), ("c",)]
    assert [step.waits_for for step in steps] == [(), (0,), (1,)]
    assert [step.holds_up for step in steps] == [(1,), (2,), ()]
    assert steps[0].behind == {1, 2}


def test_parts_of_one_stay_are_one_step() -> None:
    links = [link(0, 1), link(1, 2), link(0, 3)]
    steps = steps_of(["cable", "cable", "look", "look"], links, frozenset())
    assert [step.members for step in steps] == [("cable",), ("look",)]


def test_stays_that_take_turns_are_told_together() -> None:
    """The first part of each waits for a part of the other: no order exists, and none is told."""
    steps = steps_of(["a", "b", "a", "c"], [link(0, 1), link(1, 2), link(2, 3)], frozenset())
    assert [step.members for step in steps] == [("a", "b"), ("c",)]
    assert steps[1].waits_for == (0,)


def test_what_is_left_out_leads_nowhere() -> None:
    steps = steps_of(["a", "b", "c"], [link(0, 1), link(1, 2)], frozenset({1}))
    assert [step.members for step in steps] == [("a",), ("c",)]
    assert all(step.waits_for == () and step.behind == frozenset() for step in steps)


def test_a_stage_counts_the_steps_one_after_another() -> None:
    links = [link(0, 2), link(1, 2), link(2, 3)]
    steps = steps_of(["a", "b", "c", "d"], links, frozenset())
    assert [step.stage for step in steps] == [0, 0, 1, 2]


@pytest.mark.parametrize("seed", SEEDS)
def test_what_stands_behind_is_what_the_network_of_the_passes_says(seed: int) -> None:
    rng = random.Random(seed)
    links = random_links(40, 3, rng)
    tasks = random_tasks(40, 3, rng)
    network = compiled(tasks, links, None)
    steps = steps_of(named(40), links, frozenset())
    tasks_of = [named(40).index(step.members[0]) for step in steps]
    for place, step in enumerate(steps):
        behind = {tasks_of[other] for other in step.behind}
        assert behind == network.downstream([tasks_of[place]])
        assert all(other < place for other in step.waits_for)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_waits_that_are_told_are_enough_and_none_is_too_many(seed: int) -> None:
    """Everything behind is reached through them, and without any one of them something is not."""
    rng = random.Random(seed)
    steps = steps_of(named(30), random_links(30, 3, rng), frozenset())

    def reached(place: int, without: tuple[int, int] | None = None) -> set[int]:
        found: set[int] = set()
        waiting = [place]
        while waiting:
            here = waiting.pop()
            for other in steps[here].holds_up:
                if (here, other) != without and other not in found:
                    found.add(other)
                    waiting.append(other)
        return found

    for place, step in enumerate(steps):
        assert reached(place) == step.behind
        for other in step.holds_up:
            assert other not in reached(place, (place, other))
