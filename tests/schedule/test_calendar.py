"""The clock: waits and milestones."""

from __future__ import annotations

from readiness.job.instants import EARLIER, NEVER
from readiness.schedule.calendar import CLOCK


def test_a_wait_begins_at_its_start_limit_or_late_enough_for_its_finish_limit() -> None:
    assert CLOCK.earliest(10, 20, 5) == (15, 20)
    assert CLOCK.earliest(18, 20, 5) == (18, 23)


def test_the_latest_wait_keeps_both_limits() -> None:
    assert CLOCK.latest(10, 20, 5) == (10, 15)
    assert CLOCK.latest(18, 20, 5) == (15, 20)


def test_a_wait_under_way_is_over_when_its_rest_is_and_not_before_its_finish_limit() -> None:
    assert CLOCK.resumed(EARLIER, 10, EARLIER, 5) == 15
    assert CLOCK.resumed(12, 10, EARLIER, 5) == 17
    assert CLOCK.resumed(12, 10, 30, 5) == 30


def test_the_rest_of_a_wait_must_go_on_early_enough() -> None:
    assert CLOCK.latest_resumption(20, 5) == (15, 20)


def test_what_has_no_date_has_no_wait() -> None:
    assert CLOCK.earliest(NEVER, EARLIER, 5) == (NEVER, NEVER)
    assert CLOCK.latest(NEVER, NEVER, 5) == (NEVER, NEVER)
    assert CLOCK.minutes_between(NEVER, 5) == EARLIER
    assert CLOCK.minutes_between(5, 9) == 4
