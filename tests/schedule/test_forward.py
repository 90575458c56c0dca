"""Early dates, link by link, and what was seen."""

from __future__ import annotations

import pytest

from readiness.job.instants import EARLIER, NEVER
from readiness.schedule.calendar import Calendar
from readiness.schedule.forward import Forecast, forward, imposed
from readiness.schedule.network import compiled
from readiness.schedule.slots import Slots
from readiness.schedule.state import Begun, Finished, State
from readiness.site.task import Link, LinkKind, Task
from tests.schedule.builders import DAY, MONDAY, link, task, weekly

EIGHT = MONDAY + 8 * 60
SIXTEEN = MONDAY + 16 * 60
SHIFT: list[Calendar] = [weekly([(8 * 60, 16 * 60)], (0, 1, 2, 3, 4))]
FOUR_HOURS = 240


def dates(tasks: list[Task], links: list[Link], state: State) -> list[tuple[int, int]]:
    found = forward(compiled(tasks, links, 0), SHIFT, state)
    return list(zip(found.start, found.finish, strict=True))


def two(minutes: int = FOUR_HOURS) -> list[Task]:
    return [task(0, FOUR_HOURS, 0), task(1, minutes, 0)]


MORNING = State(bookings={0: EIGHT})
NOON = EIGHT + FOUR_HOURS


@pytest.mark.parametrize(
    ("kind", "expected"),
    [
        (LinkKind.END_TO_START, (NOON, SIXTEEN)),
        (LinkKind.START_TO_START, (EIGHT, NOON)),
        (LinkKind.END_TO_END, (EIGHT, NOON)),
        (LinkKind.START_TO_END, (SIXTEEN - 3 * DAY - 239, EIGHT + 1)),
    ],
)
def test_each_kind_of_link_limits_the_end_it_names(
    kind: LinkKind, expected: tuple[int, int]
) -> None:
    """Start to end: not over before Monday 8:00, it ends in Monday's first minute."""
    assert dates(two(), [link(0, 1, kind)], MORNING)[1] == expected


def test_a_milestone_lies_at_its_largest_limit_even_at_night() -> None:
    tasks = [task(0, 480, 0), task(1, 0), task(2, 0, 0)]
    links = [link(0, 1), link(0, 2, LinkKind.END_TO_END)]
    assert dates(tasks, links, MORNING)[1:] == [(SIXTEEN, SIXTEEN), (SIXTEEN, SIXTEEN)]


def test_a_wait_runs_through_the_night() -> None:
    tasks = [task(0, 480, 0), task(1, 600)]
    assert dates(tasks, [link(0, 1)], MORNING)[1] == (SIXTEEN, SIXTEEN + 600)


def test_a_working_gap_counts_on_the_jobs_calendar_and_an_elapsed_one_on_the_clock() -> None:
    working = dates(two(), [link(0, 1, gap=300)], MORNING)[1]
    elapsed = dates(two(), [link(0, 1, gap=300, elapsed=True)], MORNING)[1]
    assert working[0] == EIGHT + DAY + 60
    assert elapsed[0] == EIGHT + DAY


def test_without_a_job_calendar_working_gaps_count_on_the_clock() -> None:
    found = forward(compiled(two(), [link(0, 1, gap=60)], None), SHIFT, MORNING)
    assert found.start[1] == NOON + 60


def test_slots_cannot_count_a_gap() -> None:
    office = Slots(lambda _low, _high: [], MONDAY, MONDAY + DAY)
    with pytest.raises(TypeError, match="working gaps"):
        forward(compiled([task(0, 5)], [], 0), [office], State())


def test_as_of_holds_work_but_not_a_milestone() -> None:
    state = State(as_of=EIGHT + 60, held_by_as_of=frozenset({0}), bookings={1: EIGHT})
    found = dates([task(0, 60, 0), task(1, 0)], [], state)
    assert found == [(EIGHT + 60, EIGHT + 120), (EIGHT, EIGHT)]


def test_the_latest_of_as_of_booking_and_notice_counts() -> None:
    state = State(
        as_of=EIGHT + 10,
        held_by_as_of=frozenset({0, 1, 2}),
        bookings={0: EIGHT + 20, 1: EIGHT},
        notices={0: EIGHT + 30, 2: EIGHT + 5},
    )
    starts = [start for start, _ in dates([task(n, 5, 0) for n in range(3)], [], state)]
    assert starts == [EIGHT + 30, EIGHT + 10, EIGHT + 10]


def test_what_is_finished_keeps_its_dates_against_every_link() -> None:
    state = State(bookings={0: EIGHT + DAY}, finished={1: Finished(EIGHT, NOON)})
    assert dates(two(), [link(0, 1)], state)[1] == (EIGHT, NOON)


def test_what_has_begun_goes_on_from_when_it_was_seen() -> None:
    state = State(begun={0: Begun(EIGHT, NOON, 300)})
    assert dates(two(), [], state)[0] == (EIGHT, EIGHT + DAY + 60)


def test_what_has_begun_waits_no_more_for_a_start_but_still_for_an_end_with_its_gap() -> None:
    """Out of sequence: the start stands, and what is left waits."""
    state = State(bookings={0: EIGHT}, begun={1: Begun(EIGHT - 3 * DAY, EIGHT, 60)})
    for gap in (0, 400):
        start_link = link(0, 1, LinkKind.START_TO_START, gap)
        later = State(bookings={0: EIGHT + DAY}, begun=state.begun)
        assert dates(two(), [start_link], later)[1][1] == EIGHT + 60
    assert dates(two(), [link(0, 1, gap=60)], state)[1][1] == NOON + 120
    end_link = link(0, 1, LinkKind.END_TO_END, 120)
    assert dates(two(), [end_link], state)[1][1] == NOON + 120


def test_an_undated_pull_has_no_date_and_gives_none() -> None:
    tasks = [*two(), task(2, 30), task(3, 0)]
    links = [link(0, 1), link(1, 2, gap=60, elapsed=True), link(2, 3, gap=60)]
    state = State(bookings={0: EIGHT}, never=frozenset({0}))
    assert dates(tasks, links, state) == [(NEVER, NEVER)] * 4


def test_what_nothing_limits_has_no_date_either() -> None:
    assert dates(two(), [link(0, 1, gap=60)], State()) == [(EARLIER, EARLIER)] * 2


def test_an_imposed_instant_includes_the_gap() -> None:
    gap = link(0, 1, gap=300)
    network = compiled(two(), [gap], 0)
    found = forward(network, SHIFT, MORNING)
    assert imposed(gap, network, SHIFT, found) == EIGHT + DAY + 60
    assert isinstance(found, Forecast)


@pytest.mark.parametrize("minutes", [60, 500])
def test_a_finish_limit_at_the_end_of_a_shift_is_met_by_that_shift(minutes: int) -> None:
    """The limit alone places it: it ends with the shift, and starts a shift earlier if long."""
    tasks = [task(0, 480, 0), task(1, minutes, 0)]
    state = State(bookings={0: EIGHT + DAY})
    found = dates(tasks, [link(0, 1, LinkKind.END_TO_END)], state)[1]
    start = SIXTEEN + DAY - 60 if minutes == 60 else SIXTEEN - 20
    assert found == (start, SIXTEEN + DAY)


def test_a_task_placed_by_its_finish_on_a_boundary_starts_at_the_opening_of_its_shift() -> None:
    """Two shifts that end on Tuesday begin on Monday at 8:00; a shift and a minute at 15:59."""
    tasks = [task(0, 0), task(1, 960, 0)]
    state = State(bookings={0: SIXTEEN + DAY})
    found = dates(tasks, [link(0, 1, LinkKind.END_TO_END)], state)[1]
    assert found == (EIGHT, SIXTEEN + DAY)
    third = dates([task(0, 0), task(1, 481, 0)], [link(0, 1, LinkKind.END_TO_END)], state)[1]
    assert third == (SIXTEEN - 1, SIXTEEN + DAY)
