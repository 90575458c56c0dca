"""An office's slots: the first that keeps two lower limits, the last that keeps two upper ones."""

from __future__ import annotations

import pytest

from readiness.job.instants import EARLIER, NEVER
from readiness.schedule.slots import Slots
from tests.schedule.builders import DAY, MONDAY

NINE, TEN = MONDAY + 9 * 60, MONDAY + 10 * 60


def daily(low: int = MONDAY - DAY, high: int = MONDAY + 7 * DAY) -> Slots:
    """Return one slot from 9:00 to 11:00 each day, and one from 10:00 to 12:00."""

    def slots(first: int, last: int) -> list[tuple[int, int]]:
        days = range((first - MONDAY) // DAY - 1, (last - MONDAY) // DAY + 1)
        starts = [opening + day * DAY for day in days for opening in (NINE, TEN)]
        return [(start, start + 120) for start in starts if first <= start < last]

    return Slots(slots, low, high)


def test_a_look_takes_the_first_slot_that_starts_late_enough_whatever_its_length() -> None:
    assert daily().earliest(NINE, EARLIER, 0) == (NINE, NINE + 120)
    assert daily().earliest(NINE + 1, EARLIER, 999) == (TEN, TEN + 120)
    assert daily().earliest(TEN + 1, EARLIER, 5) == (NINE + DAY, NINE + DAY + 120)


def test_a_look_must_also_end_late_enough() -> None:
    assert daily().earliest(NINE, NINE + 121, 0) == (TEN, TEN + 120)


def test_the_last_slot_is_the_one_that_ends_by_the_limit() -> None:
    assert daily().latest(NEVER, TEN + 120, 0) == (TEN, TEN + 120)
    assert daily().latest(NEVER, TEN + 119, 0) == (NINE, NINE + 120)
    assert daily().latest(TEN - 1, NEVER, 0) == (NINE, NINE + 120)


@pytest.mark.parametrize("instant", [NEVER, EARLIER])
def test_what_has_no_date_takes_no_slot(instant: int) -> None:
    assert daily().earliest(instant, instant, 0) == (instant, instant)
    assert daily().latest(instant, instant, 0) == (instant, instant)


def test_slots_far_away_are_found_on_demand() -> None:
    far = NINE + 3_000 * DAY
    assert daily().earliest(far, EARLIER, 0) == (far, far + 120)
    assert daily().latest(NINE - 3_000 * DAY, NEVER, 0)[0] == NINE - 3_000 * DAY


def test_an_office_that_never_opens_gives_no_slot() -> None:
    closed = Slots(lambda _low, _high: [], MONDAY, MONDAY + DAY)
    assert closed.earliest(NINE, EARLIER, 0) == (NEVER, NEVER)
    assert closed.latest(NINE, NEVER, 0) == (EARLIER, EARLIER)


def test_a_slot_that_overlaps_a_closed_stretch_is_gone() -> None:
    """One minute of overlap is enough; a slot that ends as the stretch begins stays."""
    closed = daily().without([(NINE + 120, NINE + 121)])
    assert closed.earliest(NINE, EARLIER, 0) == (NINE, NINE + 120)
    assert closed.earliest(TEN, EARLIER, 0) == (NINE + DAY, NINE + DAY + 120)


def test_minutes_between_count_the_slots_that_start_in_between() -> None:
    assert daily().minutes_between(NINE, NINE) == 0
    assert daily().minutes_between(NINE, NINE + DAY) == 240
    assert daily().minutes_between(NINE + DAY, TEN) == -120
    assert daily().minutes_between(NINE, NEVER) == NEVER


@pytest.mark.parametrize(
    "slots", [[(5, 9), (5, 10)], [(5, 9), (6, 9)], [(5, 5)], [(0, 24 * 60 + 1)]]
)
def test_slots_that_do_not_ascend_or_last_too_long_are_refused(
    slots: list[tuple[int, int]],
) -> None:
    with pytest.raises(ValueError, match="slot"):
        Slots(lambda _low, _high: slots, 0, 10 * DAY)


def test_a_look_under_way_ends_with_its_own_slot_unless_it_waits_for_something_later() -> None:
    assert daily().resumed(EARLIER, NINE + 30, EARLIER, 0) == NINE + 120
    assert daily().resumed(TEN + 5, NINE + 30, EARLIER, 0) == NINE + DAY + 120


def test_a_slot_that_begins_before_the_known_stretch_and_ends_in_it_is_found() -> None:
    """From 23:00 to 1:00, the calendar being worked out from midnight on."""

    def nightly(low: int, high: int) -> list[tuple[int, int]]:
        days = range((low - MONDAY) // DAY - 1, (high - MONDAY) // DAY + 1)
        starts = [MONDAY + day * DAY + 23 * 60 for day in days]
        return [(start, start + 120) for start in starts if low <= start < high]

    offices = Slots(nightly, MONDAY, MONDAY + 7 * DAY)
    assert offices.earliest(EARLIER, MONDAY + 30, 0) == (MONDAY - 60, MONDAY + 60)


def test_a_slot_that_begins_as_the_known_stretch_ends_is_found() -> None:
    offices = daily(NINE - DAY, NINE)
    assert offices.latest(NINE, NEVER, 0) == (NINE, NINE + 120)


def test_closing_a_stretch_asks_for_no_more_slots_than_are_known() -> None:
    """The bounds of the known stretch are no limits that a slot might reach across."""
    asked: list[tuple[int, int]] = []

    def slots(low: int, high: int) -> list[tuple[int, int]]:
        asked.append((low, high))
        return [(start, start + 60) for start in (NINE, TEN) if low <= start < high]

    Slots(slots, MONDAY, MONDAY + DAY).without([(NINE, NINE + 30)])
    assert asked == [(MONDAY, MONDAY + DAY)]


def test_slots_are_counted_and_listed_beyond_the_known_stretch() -> None:
    known = daily(MONDAY, MONDAY + DAY)
    assert known.minutes_between(MONDAY - 2 * DAY, MONDAY + 3 * DAY) == 5 * 2 * 120
    known = daily(MONDAY, MONDAY + DAY)
    assert known.minutes_between(MONDAY + 3 * DAY, MONDAY - 2 * DAY) == -5 * 2 * 120
    known = daily(MONDAY, MONDAY + DAY)
    assert len(known.slots(MONDAY - 2 * DAY, MONDAY + 3 * DAY)) == 10
