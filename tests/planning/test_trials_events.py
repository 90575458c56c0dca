"""Looks that fail and starts that are held up, against one case worked out by hand or by rule."""

from __future__ import annotations

import random

import numpy as np
import pytest

from readiness.job.durations import Duration
from readiness.job.instants import EARLIER, NEVER
from readiness.planning.trials_assumed import lost_days
from readiness.planning.trials_days import Waiting, mean
from readiness.planning.trials_drawn import Delay, Repeat, Shape, Uncertain, drawn, steps
from readiness.planning.trials_pass import MOST_FAILURES, Office, again_of
from readiness.planning.trials_steps import BEFORE, Timer, later, sooner
from readiness.planning.trials_tables import BEYOND, SlotTable, table_of
from readiness.questions.chance import chance
from readiness.schedule.notice import Asking, earliest_slot
from tests.builders import AS_OF, ROOMS, TRIP, asked, told
from tests.schedule.builders import DAY, MONDAY, nine_calendars, weekly

LOOKED_AT = """
[offices]
town = { visits = "Tue,Thu 09:00-11:00", cut_off = "15:00", notice = "1 d", hours = "Mon-Fri 08:00-16:00" }

[approvals]
wiring-look = []

[work]
wiring = { trade = "electrician", order = "before", takes = "1 d", approval = "wiring-look" }
"""  # noqa: E501 - a line of a table has no break


def opens(share: str) -> list[str]:
    """Return by when the trip is open in 5, 8 and 9 of 10, if looks fail so often."""
    job = asked(ROOMS + LOOKED_AT + TRIP + f'[chances]\nlook_fails = "{share}"\n', AS_OF)
    answer = chance(job.case, trials=2_000, only_own=True)
    return [f"{line.opens:%a %d %H:%M}" for line in answer.opens if line.opens is not None]


def test_a_look_that_fails_is_corrected_and_waits_for_the_next_slot() -> None:
    """Wiring is done on Monday 4, so the look is Tuesday 5 from 9 to 11.

    When it fails, four hours of correction end on Tuesday, notice allows Wednesday, and the office
    comes on Thursday 7, then on Tuesday 12. At four in ten 60 % pass at once and 84 % in two looks.
    """
    assert opens("0 %") == ["Tue 05 11:00"] * 3
    assert opens("40 %") == ["Tue 05 11:00", "Thu 07 11:00", "Tue 12 11:00"]


def office(notice: str = "1 d", minutes: int = 240) -> tuple[Office, SlotTable, int]:
    """Return the office of the job above with its slots as a table."""
    job = asked(ROOMS + LOOKED_AT + TRIP, AS_OF)
    site = job.site
    (look,) = [task for task in site.tasks if task.id == "wiring-look@bath.outer"]
    assert look.calendar is not None
    low = job.outlook.seen.as_of - 3 * DAY
    table = table_of(job.outlook.calendars[look.calendar], low, low + 60 * DAY)
    assert isinstance(table, SlotTable)
    electrician = job.outlook.calendars[site.trade_calendar["electrician"]]
    hours = site.calendars[site.office_calendar["town"]]
    return Office(Asking(Duration.parse(notice), "15:00", hours), electrician, minutes), table, low


@pytest.mark.parametrize(
    ("notice", "minutes", "seen_again"),
    [
        ("1 d", 240, "2026-05-07 09:00"),
        ("3 d", 240, "2026-05-12 09:00"),
        ("1 d", 1_200, "2026-05-12 09:00"),
    ],
)
def test_correction_and_notice_both_hold_up_the_next_look(
    notice: str, minutes: int, seen_again: str
) -> None:
    """After Tuesday 5: three office days of notice, or twenty hours of mending, miss Thursday."""
    where, table, low = office(notice, minutes)
    again = again_of(where, table, low)
    starts = [told(start + low) for start in table.starts[:-1].tolist()]
    tuesday = starts.index("2026-05-05 09:00")
    assert starts[again.slots[again.count + tuesday]] == seen_again


def test_the_slot_after_each_failure_is_the_first_that_correction_and_notice_allow() -> None:
    where, table, low = office()
    again = again_of(where, table, low)
    for number in range(again.count - 6):
        slot = number
        for times in range(MOST_FAILURES + 1):
            assert again.slots[times * again.count + number] == slot
            ended = int(table.ends[slot]) + low
            corrected = where.corrects.earliest(ended, EARLIER, 240)[1]
            noticed = earliest_slot(ended, *where.asking)
            soonest = max(ended, corrected, noticed) - low
            slot = next(n for n, start in enumerate(table.starts.tolist()) if start >= soonest)


def test_a_failed_look_of_tuesday_is_seen_again_on_thursday() -> None:
    where, table, low = office()
    again = again_of(where, table, low)
    tuesday = next(
        n
        for n, start in enumerate(table.starts.tolist())
        if told(start + low) == "2026-05-05 09:00"
    )
    assert told(int(table.starts[again.slots[again.count + tuesday]]) + low) == "2026-05-07 09:00"
    assert (
        told(int(table.starts[again.slots[2 * again.count + tuesday]]) + low) == "2026-05-12 09:00"
    )


@pytest.mark.parametrize("seed", range(20))
def test_a_delay_is_working_time_before_the_start(seed: int) -> None:
    """As if another item of that length came first on the same calendar."""
    chooser = random.Random(seed)
    calendar = chooser.choice(nine_calendars(20))
    low = MONDAY - 30 * DAY
    timer = Timer(calendar, table_of(calendar, low, MONDAY + 100 * DAY), low)
    limits = np.array([chooser.randrange(0, 20 * DAY) for _ in range(30)], dtype=np.int32)
    ends = np.array([chooser.randrange(0, 25 * DAY) for _ in range(30)], dtype=np.int32)
    delay, minutes = chooser.randrange(1, 900), chooser.randrange(1, 1_500)
    start, finish = timer.earliest(
        limits + (MONDAY - low), ends + (MONDAY - low), minutes, np.full(30, delay, dtype=np.int32)
    )
    for number in range(30):
        begins = calendar.earliest(MONDAY + int(limits[number]), EARLIER, delay)[1]
        expected = calendar.earliest(begins, MONDAY + int(ends[number]), minutes)
        assert (start[number] + low, finish[number] + low) == expected  # type: ignore[index]


@pytest.mark.parametrize("seed", range(20))
def test_the_latest_step_is_the_calendar_s_own(seed: int) -> None:
    chooser = random.Random(seed)
    calendar = chooser.choice(nine_calendars(20))
    low = MONDAY - 30 * DAY
    timer = Timer(calendar, table_of(calendar, low, MONDAY + 100 * DAY), low)
    limits = np.array([chooser.randrange(0, 20 * DAY) for _ in range(30)], dtype=np.int32)
    ends = np.array([chooser.randrange(0, 25 * DAY) for _ in range(30)], dtype=np.int32)
    minutes = chooser.randrange(1, 1_500)
    start, finish = timer.latest(limits + (MONDAY - low), ends + (MONDAY - low), minutes)
    gap = timer.before_gap(limits + (MONDAY - low), minutes)
    for number in range(30):
        limit, end = MONDAY + int(limits[number]), MONDAY + int(ends[number])
        expected = calendar.latest(limit, end, minutes)
        assert (start[number] + low, finish[number] + low) == expected  # type: ignore[index]
        assert gap[number] + low == calendar.latest_start(limit, minutes)  # type: ignore[index]


def test_what_has_no_date_stays_so() -> None:
    some = np.array([3, 5], dtype=np.int32)
    assert later(some, BEYOND) == BEYOND
    assert later(BEFORE, some) is some
    assert sooner(some, BEFORE) == BEFORE
    assert sooner(BEYOND, some) is some
    timer = Timer(weekly([(420, 900)], [0, 1, 2, 3, 4]), None, MONDAY)
    assert (timer.outside(BEYOND), timer.outside(BEFORE)) == (NEVER, EARLIER)
    assert (timer.inside(NEVER), timer.inside(EARLIER)) == (BEYOND, BEFORE)


def test_days_lost_are_those_of_a_coin_thrown_each_day() -> None:
    """Two days at one in ten: at least one is lost in 19 of 100, both in one."""
    assert lost_days(2, 0.1) == pytest.approx((0.19, 0.01))
    assert lost_days(1, 0.25) == pytest.approx((0.25,))


def test_chances_happen_as_often_as_they_say() -> None:
    asked_for = Uncertain(
        delays=(Delay("slow", {0: 60}, (0.3, 0.1)),), repeats=(Repeat("look", (1,), (0.2,)),)
    )
    draws = drawn(asked_for, 1, 0, 20_000)
    counts = steps(draws.delays["slow"], (0.3, 0.1))
    for least, share in ((1, 0.3), (2, 0.1)):
        found = mean(counts >= least)
        assert found.value == pytest.approx(share, abs=4 * found.error)
    failed = mean(steps(draws.repeats["look"], (0.2,)))
    assert failed.value == pytest.approx(0.2, abs=4 * failed.error)


def test_blocks_draw_differently_and_a_block_draws_the_same() -> None:
    asked_for = Uncertain(repeats=(Repeat("look", (1,), (0.2,)),), shape=Shape.BETA_PERT)
    one, same, other = (
        drawn(asked_for, 1, block, 100).repeats["look"].tolist() for block in (0, 0, 1)
    )
    assert one == same
    assert one != other


def test_waiting_counts_from_now_even_if_it_has_long_been_open() -> None:
    opens = np.array([MONDAY - 30 * DAY, MONDAY + 2 * DAY, NEVER])
    waiting = Waiting(opens, lambda instant: instant, DAY, MONDAY)
    assert waiting.days(MONDAY + 3 * DAY).tolist() == [3.0, 1.0, 0.0]
