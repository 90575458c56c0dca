"""Instants as whole minutes, so that every step of the computation is exact and cheap.

Invariant: an instant is an int, the minutes of UTC since 1970-01-01T00:00; `NEVER` is later than
every instant and `EARLIER` before every instant, and adding to either changes nothing.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

Instant = int

NEVER = 1 << 40
"""Later than every instant; what waits for an undated pull has this date."""

EARLIER = -(1 << 40)
"""Before every instant; what is done without a date has this date."""

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_MINUTE = timedelta(minutes=1)


def is_dated(instant: int) -> bool:
    """Say whether the instant is a real one, neither `NEVER` nor `EARLIER`."""
    return EARLIER < instant < NEVER


def shifted(instant: int, minutes: int) -> int:
    """Return the instant moved on the clock; `NEVER` and `EARLIER` stay what they are."""
    return instant + minutes if EARLIER < instant < NEVER else instant


def instant_of(moment: datetime) -> int:
    """Return the whole minute an aware datetime lies in.

    Raises:
        ValueError: The datetime has no time zone.
    """
    if moment.tzinfo is None:
        message = "a moment without a time zone has no instant"
        raise ValueError(message)
    return (moment - _EPOCH) // _MINUTE


def instant_of_local(wall: datetime, zone: ZoneInfo) -> int:
    """Return the instant of a wall-clock time at the site.

    A time in the spring gap is the first minute after it; one that exists twice is the earlier.
    """
    aware = wall.replace(tzinfo=zone, fold=0)
    instant = instant_of(aware)
    back = moment_of(instant, zone).replace(tzinfo=None)
    if back == wall.replace(second=0, microsecond=0, fold=0):
        return instant
    return _end_of_gap(wall, zone)


def _end_of_gap(wall: datetime, zone: ZoneInfo) -> int:
    """Return the first minute after the gap in which the wall-clock time does not exist."""
    before = instant_of(wall.replace(tzinfo=zone, fold=1))
    after = instant_of(wall.replace(tzinfo=zone, fold=0))
    low, high = min(before, after), max(before, after)
    offset = moment_of(low, zone).utcoffset()
    while low < high:
        middle = (low + high) // 2
        if moment_of(middle, zone).utcoffset() == offset:
            low = middle + 1
        else:
            high = middle
    return low


def moment_of(instant: int, zone: ZoneInfo) -> datetime:
    """Return the aware datetime of a real instant in the zone.

    Raises:
        ValueError: The instant is `NEVER` or `EARLIER`, which no calendar can show.
    """
    if not is_dated(instant):
        message = "NEVER and EARLIER have no date"
        raise ValueError(message)
    return (_EPOCH + instant * _MINUTE).astimezone(zone)
