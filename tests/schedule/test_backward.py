"""Late dates: from targets, through begun work, and for what leads to no target."""

from __future__ import annotations

from readiness.job.instants import NEVER
from readiness.schedule.backward import Late, Targets, backward
from readiness.schedule.calendar import Calendar
from readiness.schedule.network import compiled
from readiness.schedule.state import Begun, Finished, State
from readiness.site.task import Link, LinkKind, Task
from tests.schedule.builders import DAY, MONDAY, link, task, weekly

EIGHT = MONDAY + 8 * 60
SIXTEEN = MONDAY + 16 * 60
SHIFT: list[Calendar] = [weekly([(8 * 60, 16 * 60)], (0, 1, 2, 3, 4))]


def late(
    tasks: list[Task], links: list[Link], targets: Targets, state: State | None = None
) -> Late:
    return backward(compiled(tasks, links, 0), SHIFT, targets, state=state)


def test_late_dates_on_a_shift_boundary_are_the_next_opening_and_the_evening_before() -> None:
    """What must be over by Tuesday 8:00 may end on Monday at 16:00 and no later."""
    tasks = [task(0, 480, 0), task(1, 480, 0)]
    found = late(tasks, [link(0, 1)], Targets(start={1: EIGHT + DAY}))
    assert (found.start[1], found.finish[1]) == (EIGHT + DAY, SIXTEEN + DAY)
    assert (found.start[0], found.finish[0]) == (EIGHT, SIXTEEN)


def test_a_target_at_night_is_kept_by_the_last_minute_before_it() -> None:
    found = late([task(0, 60, 0)], [], Targets(start={0: SIXTEEN + 300}))
    assert found.start[0] == SIXTEEN - 1


def test_both_targets_of_one_task_count() -> None:
    targets = Targets(start={0: EIGHT + 300}, finish={0: EIGHT + 100})
    assert late([task(0, 60, 0)], [], targets).start[0] == EIGHT + 40


def test_a_milestone_and_a_wait_are_late_on_the_clock() -> None:
    tasks = [task(0, 600), task(1, 0), task(2, 60, 0)]
    found = late(tasks, [link(0, 1), link(1, 2)], Targets(start={2: EIGHT + DAY}))
    assert found.start[:2] == [EIGHT + DAY - 600, EIGHT + DAY]


def test_limits_over_starts_and_over_finishes_are_told_apart() -> None:
    tasks = [task(0, 60, 0), task(1, 60, 0), task(2, 60, 0)]
    links = [link(0, 1, LinkKind.START_TO_START), link(0, 2)]
    found = late(tasks, links, Targets(start={1: EIGHT + 10, 2: EIGHT + 200}))
    assert (found.start_limit[0], found.finish_limit[0]) == (EIGHT + 10, EIGHT + 200)
    assert found.start[0] == EIGHT + 10


def test_what_leads_to_no_target_has_no_late_date() -> None:
    tasks = [task(0, 60, 0), task(1, 60, 0)]
    assert late(tasks, [], Targets(start={1: EIGHT})).start == [NEVER, EIGHT]


def test_what_leads_to_no_target_takes_the_other_limit_and_keeps_it_to_itself() -> None:
    """Task 1 leads to the target and to task 2, which does not: only the target limits it."""
    tasks = [task(index, 60, 0) for index in range(4)]
    links = [link(1, 0), link(1, 2), link(2, 3)]
    found = backward(
        compiled(tasks, links, 0),
        SHIFT,
        Targets(start={0: EIGHT + 300}),
        otherwise=EIGHT + 200,
    )
    assert found.start == [EIGHT + 300, EIGHT + 240, EIGHT + 80, EIGHT + 140]


def test_the_start_of_what_has_begun_limits_nothing_and_its_rest_does() -> None:
    tasks = [task(0, 60, 0), task(1, 480, 0)]
    state = State(begun={1: Begun(EIGHT, EIGHT, 30)})
    targets = Targets(finish={1: SIXTEEN})
    links = [link(0, 1, LinkKind.START_TO_START), link(0, 1, LinkKind.START_TO_START, 30)]
    assert late(tasks, links, targets, state).start[0] == NEVER
    assert late(tasks, [link(0, 1)], targets, state).start == [SIXTEEN - 90, SIXTEEN - 30]
    assert late(tasks, [link(0, 1)], targets).start == [EIGHT - 3 * DAY + 420, EIGHT]


def test_what_is_finished_limits_nothing() -> None:
    state = State(finished={1: Finished(EIGHT, SIXTEEN)})
    tasks = [task(0, 60, 0), task(1, 480, 0)]
    assert late(tasks, [link(0, 1)], Targets(finish={1: EIGHT}), state).start == [NEVER, NEVER]


def test_an_undated_pull_still_has_a_date_by_which_it_must_be_done() -> None:
    state = State(never=frozenset({0}))
    tasks = [task(0, 60, 0), task(1, 480, 0)]
    assert late(tasks, [link(0, 1)], Targets(start={1: SIXTEEN}), state).start[0] == SIXTEEN - 61


def test_a_start_limit_beyond_the_known_stretch_is_worked_out() -> None:
    """Even for a task of a minute, which the last known minute would hold."""
    limit = EIGHT + 3_000 * DAY
    calendar = weekly([(8 * 60, 16 * 60)], range(7))
    found = backward(compiled([task(0, 1, 0)], [], 0), [calendar], Targets(start={0: limit}))
    assert found.start == [limit]
