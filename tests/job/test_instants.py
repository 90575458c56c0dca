"""Instants as whole minutes, and the hours a clock change takes and gives."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from readiness.job.instants import (
    EARLIER,
    NEVER,
    instant_of,
    instant_of_local,
    is_dated,
    moment_of,
    shifted,
)

NEW_YORK = ZoneInfo("America/New_York")
LORD_HOWE = ZoneInfo("Australia/Lord_Howe")


def local(text: str, zone: ZoneInfo = NEW_YORK) -> str:
    """Return what a wall-clock time became, as the clock shows it."""
    return moment_of(instant_of_local(datetime.fromisoformat(text), zone), zone).isoformat()


def test_an_instant_counts_minutes_of_utc_since_1970() -> None:
    assert instant_of(datetime(1970, 1, 1, tzinfo=UTC)) == 0
    assert instant_of(datetime(1970, 1, 2, 0, 1, 59, tzinfo=UTC)) == 1441
    assert instant_of(datetime(1969, 12, 31, 23, 59, tzinfo=UTC)) == -1


def test_a_moment_without_a_zone_has_no_instant() -> None:
    with pytest.raises(ValueError, match="without a time zone"):
        instant_of(datetime(2026, 5, 4, 7))  # noqa: DTZ001


def test_a_time_in_the_spring_gap_is_the_first_minute_after_it() -> None:
    assert local("2026-03-08T01:59") == "2026-03-08T01:59:00-05:00"
    assert local("2026-03-08T02:00") == "2026-03-08T03:00:00-04:00"
    assert local("2026-03-08T02:30") == "2026-03-08T03:00:00-04:00"
    assert local("2026-03-08T02:59") == "2026-03-08T03:00:00-04:00"
    assert local("2026-10-04T02:15", LORD_HOWE) == "2026-10-04T02:30:00+11:00"


def test_a_time_that_exists_twice_is_the_earlier() -> None:
    assert local("2026-11-01T01:30") == "2026-11-01T01:30:00-04:00"
    assert local("2026-04-05T01:45", LORD_HOWE) == "2026-04-05T01:45:00+11:00"


@given(
    st.datetimes(datetime(1990, 1, 1), datetime(2190, 1, 1)),  # noqa: DTZ001
    st.sampled_from(["America/New_York", "Europe/Berlin", "Australia/Lord_Howe", "UTC"]),
)
def test_a_time_that_exists_comes_back_as_itself_and_order_is_kept(
    wall: datetime, name: str
) -> None:
    zone = ZoneInfo(name)
    wall = wall.replace(second=0, microsecond=0)
    instant = instant_of_local(wall, zone)
    shown = moment_of(instant, zone).replace(tzinfo=None)
    assert shown == wall or 0 < shown.timestamp() - wall.timestamp() <= 3600 * 2
    later = wall + timedelta(hours=3)
    assert instant < instant_of_local(later, zone)


def test_never_and_earlier_absorb_every_shift() -> None:
    assert shifted(NEVER, -5) == NEVER
    assert shifted(EARLIER, 5) == EARLIER
    assert shifted(10, 5) == 15
    assert is_dated(0)
    assert not is_dated(NEVER)
    assert not is_dated(EARLIER)


@pytest.mark.parametrize("instant", [NEVER, EARLIER])
def test_never_and_earlier_have_no_date(instant: int) -> None:
    with pytest.raises(ValueError, match="have no date"):
        moment_of(instant, NEW_YORK)
