"""Who works when: the shifts of the job and the trades, the hours and slots of the offices.

Invariant: a calendar tells its open spans for any range of instants and knows nothing of the
network; a public holiday is a closed day for all unless the job opens it.
"""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from functools import cache
from typing import TYPE_CHECKING, NamedTuple
from zoneinfo import ZoneInfo

from readiness.job.instants import instant_of_local, moment_of
from readiness.site.countries import holidays_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readiness.job.hours import DaysOff, Hours, Spans

MINUTES_A_DAY = 1440
_EPOCH_DAY = date(1970, 1, 1).toordinal()

Span = tuple[int, int]


class ZoneDays:
    """Converts wall-clock minutes of whole days quickly, remembering the offset of each day."""

    def __init__(self, zone: ZoneInfo) -> None:
        """Remember the zone; days are looked up when first asked for."""
        self.zone = zone
        self._midnight: dict[int, int | None] = {}
        self._offset: dict[int, timedelta | None] = {}

    def instant(self, day: date, minute: int) -> int:
        """Return the instant of a minute of the local day; 1440 is the next midnight."""
        if minute == MINUTES_A_DAY:
            return self.instant(day + timedelta(days=1), 0)
        ordinal = day.toordinal()
        if ordinal not in self._midnight:
            self._midnight[ordinal] = self._plain_midnight(day)
        midnight = self._midnight[ordinal]
        if midnight is not None:
            return midnight + minute
        return instant_of_local(datetime.combine(day, time(minute // 60, minute % 60)), self.zone)

    def _plain_midnight(self, day: date) -> int | None:
        """Return the instant of midnight, or None if the offset changes on that day."""
        ordinal = day.toordinal()
        offset = self._offset_at(ordinal)
        if offset is None or offset != self._offset_at(ordinal + 1):
            return None
        seconds = int(offset.total_seconds())
        if seconds % 60:
            return None
        return (ordinal - _EPOCH_DAY) * MINUTES_A_DAY - seconds // 60

    def _offset_at(self, ordinal: int) -> timedelta | None:
        """Return the offset at the midnight with which a day begins; two days ask for each."""
        if ordinal not in self._offset:
            midnight = datetime.fromordinal(ordinal).replace(tzinfo=self.zone)
            self._offset[ordinal] = midnight.utcoffset()
        return self._offset[ordinal]


@cache
def zone_days(name: str) -> ZoneDays:
    """Return the converter of a zone, one per process.

    Raises:
        zoneinfo.ZoneInfoNotFoundError: The zone is not known.
    """
    return ZoneDays(ZoneInfo(name))


@cache
def public_holidays(country: str, state: str, year: int) -> frozenset[date]:
    """Return the public holidays of a year in a state or province.

    Raises:
        NotImplementedError: The library knows no such country or state.
    """
    return holidays_of(country, state, year)


class ClosedDays(NamedTuple):
    """The days on which a calendar does not open, whatever its hours say."""

    country: str
    state: str
    holidays: bool
    off: tuple[DaysOff, ...]
    open: frozenset[date]
    extra: frozenset[date] = frozenset()
    """Worked in spite of all that, and of the hours, for one usual shift."""

    def within(self, first: date, last: date) -> frozenset[date]:
        """Return the closed days from the first to the last day, both included."""
        closed: set[date] = set()
        if self.holidays:
            for year in range(first.year, last.year + 1):
                closed |= public_holidays(self.country, self.state, year)
        closed -= self.open
        for off in self.off:
            closed |= off.covers(first, last)
        return frozenset(day for day in closed if first <= day <= last) - self.extra


class Calendar(NamedTuple):
    """The shifts of one party, or the slots of one office."""

    id: str
    hours: Hours
    closed: ClosedDays
    zone: str
    day_minutes: int
    """Length of `1 d`."""
    slots: bool = False
    """Each span is a slot of an office, not working time."""
    late: tuple[datetime, ...] = ()
    """Evenings: the last span of that day lasts until then."""

    def spans(self, low: int, high: int) -> list[Span]:
        """Return the spans [open, shut) that touch the range of instants, ascending.

        A slot is whole or not at all, so slots are those that begin in the range.
        """
        days = zone_days(self.zone)
        return [
            (opens, shuts)
            for day in self._days(low, high)
            for opens, shuts in self._spans_on(day, days)
            if opens < high and (low <= opens if self.slots else low < shuts)
        ]

    def shift_on(self, day: date) -> Span | None:
        """Return the first opening and last shutting of a day, or None on a day off."""
        if day in self.closed.within(day, day):
            return None
        spans = list(self._spans_on(day, zone_days(self.zone)))
        return (spans[0][0], spans[-1][1]) if spans else None

    def spans_on(self, day: date) -> tuple[Span, ...]:
        """Return the spans of one day, none on a day off."""
        if day in self.closed.within(day, day):
            return ()
        return tuple(self._spans_on(day, zone_days(self.zone)))

    def _days(self, low: int, high: int) -> Iterator[date]:
        zone = zone_days(self.zone).zone
        first = moment_of(low, zone).date() - timedelta(days=1)
        last = moment_of(high, zone).date()
        closed = self.closed.within(first, last)
        for ordinal in range(first.toordinal(), last.toordinal() + 1):
            day = date.fromordinal(ordinal)
            if day not in closed:
                yield day

    def _spans_on(self, day: date, days: ZoneDays) -> Iterator[Span]:
        told = self.hours.spans_on(day)
        if not told and day in self.closed.extra:
            told = self.hours.usual_spans()
        if self.late:
            told = self._into_the_evening(day, told)
        for opens, shuts in told:
            start = days.instant(day, opens.hour * 60 + opens.minute)
            stop = days.instant(day, (shuts.hour * 60 + shuts.minute) or MINUTES_A_DAY)
            if start < stop:
                yield start, stop

    def _into_the_evening(self, day: date, told: Spans) -> Spans:
        """Return the spans of a day with its last one as long as an evening makes it."""
        evening = max((each.time() for each in self.late if each.date() == day), default=None)
        if not told or evening is None or told[-1][1] == time() or evening <= told[-1][1]:
            return told
        return (*told[:-1], (told[-1][0], evening))


def midnight_after(day: date, zone: str) -> int:
    """Return the instant at which the local day ends."""
    return zone_days(zone).instant(day, MINUTES_A_DAY)


def midnight_of(day: date, zone: str) -> int:
    """Return the instant at which the local day begins."""
    return zone_days(zone).instant(day, 0)
