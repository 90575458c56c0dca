"""Working time at the edges: nights, boundaries, closed stretches, dates far away."""

from __future__ import annotations

import pytest

from readiness.job.instants import EARLIER, NEVER
from readiness.schedule.horizon import HARD_LIMIT_MINUTES, horizon_of, merged
from readiness.schedule.worktime import Worktime
from tests.schedule.builders import DAY, MONDAY, weekly

EIGHT = MONDAY + 8 * 60
SIXTEEN = MONDAY + 16 * 60


def day_shift() -> Worktime:
    """Return 8:00 to 16:00 on weekdays."""
    return weekly([(8 * 60, 16 * 60)], (0, 1, 2, 3, 4))


def test_work_ends_at_the_end_of_the_shift_not_at_the_next_opening() -> None:
    assert day_shift().finish(EIGHT, 480) == SIXTEEN


def test_a_late_start_on_a_shift_boundary_is_the_next_opening() -> None:
    """Monday's shift must be over when Tuesday noon is the limit: four hours start Tuesday at 8."""
    noon = EIGHT + DAY + 4 * 60
    assert day_shift().latest_start(noon, 240) == EIGHT + DAY
    assert day_shift().latest_start(noon, 241) == SIXTEEN - 1


def test_no_minutes_end_where_they_start_even_at_night() -> None:
    night = SIXTEEN + 60
    assert day_shift().finish(night, 0) == night
    assert day_shift().latest_start(night, 0) == night


def test_the_next_minute_of_a_friday_evening_is_on_monday() -> None:
    friday_evening = SIXTEEN + 4 * DAY
    assert day_shift().next_minute(friday_evening) == EIGHT + 7 * DAY
    assert day_shift().next_minute(EIGHT) == EIGHT


def test_the_last_minute_of_a_sunday_is_the_one_before_fridays_end() -> None:
    sunday = MONDAY + 6 * DAY
    assert day_shift().last_minute(sunday) == SIXTEEN + 4 * DAY - 1
    assert day_shift().last_minute(EIGHT) == EIGHT


@pytest.mark.parametrize("instant", [NEVER, EARLIER])
def test_what_has_no_date_stays_without_one(instant: int) -> None:
    calendar = day_shift()
    assert calendar.finish(instant, 60) == instant
    assert calendar.latest_start(instant, 60) == instant
    assert calendar.next_minute(instant) == instant
    assert calendar.last_minute(instant) == instant
    assert calendar.earliest(instant, instant, 60) == (instant, instant)
    assert calendar.latest(instant, instant, 60) == (instant, instant)


def test_the_minutes_between_undated_instants_are_endless() -> None:
    assert day_shift().minutes_between(EIGHT, NEVER) == NEVER
    assert day_shift().minutes_between(NEVER, EIGHT) == EARLIER
    assert day_shift().minutes_between(NEVER, NEVER) == NEVER


def test_a_finish_limit_at_night_is_met_in_the_first_minute_of_the_next_shift() -> None:
    start, finish = day_shift().earliest(EIGHT, SIXTEEN + 60, 60)
    assert (start, finish) == (SIXTEEN - 59, EIGHT + DAY + 1)


def test_dates_far_outside_the_stretch_are_worked_out_on_demand() -> None:
    """Ten years on, and ten years back, the answer is that of a calendar made for those years."""
    near = day_shift()
    weeks = 520
    assert near.finish(EIGHT, weeks * 5 * 480) == SIXTEEN + (weeks * 7 - 3) * DAY
    assert near.latest_start(SIXTEEN, weeks * 5 * 480 - 4 * 480) == EIGHT - (weeks * 7 - 7) * DAY
    assert near.minutes_between(EIGHT - weeks * 7 * DAY, EIGHT) == weeks * 5 * 480


def test_growing_changes_no_answer_given_before() -> None:
    calendar = day_shift()
    before = [calendar.finish(MONDAY + minute, 700) for minute in range(0, DAY, 60)]
    calendar.finish(EIGHT + 900 * DAY, 60)
    calendar.latest_start(EIGHT - 900 * DAY, 60)
    assert [calendar.finish(MONDAY + minute, 700) for minute in range(0, DAY, 60)] == before


def test_a_calendar_without_a_working_minute_ends_instead_of_searching_for_ever() -> None:
    never_open = Worktime(lambda _low, _high: [], MONDAY, MONDAY + DAY)
    assert never_open.finish(EIGHT, 1) == NEVER
    assert never_open.latest_start(EIGHT, 1) == EARLIER
    assert never_open.next_minute(EIGHT) == NEVER
    assert never_open.last_minute(EIGHT) == EARLIER
    assert never_open.earliest(EIGHT, EARLIER, 5) == (NEVER, NEVER)
    assert never_open.latest(EIGHT, NEVER, 5) == (EARLIER, EARLIER)


def test_a_date_past_the_hard_limit_never_comes() -> None:
    year_9999 = MONDAY + 2 * HARD_LIMIT_MINUTES + 4000 * 366 * DAY
    assert Worktime(lambda _low, _high: [], MONDAY, MONDAY + DAY).finish(year_9999, 1) == NEVER


def test_a_closed_stretch_is_not_worked() -> None:
    """Closed from Monday noon to Wednesday noon: a day begun on Monday ends on Wednesday."""
    noon = MONDAY + 12 * 60
    closed = day_shift().without([(noon, noon + 2 * DAY)])
    assert closed.finish(EIGHT, 480) == SIXTEEN + 2 * DAY
    assert closed.latest_start(SIXTEEN + 2 * DAY, 480) == EIGHT
    assert closed.next_minute(noon) == noon + 2 * DAY
    assert day_shift().finish(EIGHT, 480) == SIXTEEN


def test_closed_stretches_may_overlap_and_split_a_shift() -> None:
    closed = day_shift().without(
        [(EIGHT + 60, EIGHT + 90), (EIGHT + 80, EIGHT + 120), (EIGHT + 200, EIGHT + 210)]
    )
    assert closed.spans(MONDAY, MONDAY + DAY) == [
        (EIGHT, EIGHT + 60),
        (EIGHT + 120, EIGHT + 200),
        (EIGHT + 210, SIXTEEN),
    ]


def test_a_stretch_closed_for_ever_ends_all_work() -> None:
    closed = day_shift().without([(EIGHT + 60, NEVER)])
    assert closed.finish(EIGHT, 60) == EIGHT + 60
    assert closed.finish(EIGHT, 61) == NEVER


def test_spans_that_overlap_are_refused() -> None:
    with pytest.raises(ValueError, match="overlap"):
        Worktime(
            lambda _low, _high: [(MONDAY, MONDAY + 9), (MONDAY + 5, MONDAY + 20)], MONDAY, EIGHT
        )


def test_an_empty_stretch_is_refused() -> None:
    with pytest.raises(ValueError, match="at least one minute"):
        horizon_of(5, 5)


def test_merged_stretches_are_joined_where_they_touch_and_empty_ones_dropped() -> None:
    assert merged([(9, 12), (1, 3), (3, 5), (7, 7), (10, 11)]) == [(1, 5), (9, 12)]


def test_a_minute_that_begins_as_the_known_stretch_ends_is_found() -> None:
    end = MONDAY + DAY
    always = Worktime(lambda low, high: [(low, high)], MONDAY, end)
    assert always.last_minute(end) == end


def test_a_stretch_doubles_until_the_hard_limit() -> None:
    longer = horizon_of(0, 10).later()
    assert longer is not None
    assert (longer.low, longer.high) == (0, 20)
    earlier = longer.earlier()
    assert earlier is not None
    assert (earlier.low, earlier.high) == (-20, 20)
    last, steps = earlier, 0
    while (following := last.later()) is not None:
        last = following
        steps += 1
    assert last.high == last.ceiling == 10 + HARD_LIMIT_MINUTES
    assert steps < 30
