"""The clock changes of a time zone as rules that every calendar reader understands.

The usual way to write a zone, a list of dates, is misread by some readers: summer time vanishes for
every year but one. A yearly rule is read alike everywhere, so a rule is looked for first; where the
changes follow none (a fasting month moves through the year), each change stands for itself.

Invariant: what is written gives the same offset as the zone's own data for every minute from the
first instant asked for until the last.
"""

from __future__ import annotations

from calendar import monthrange
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from zoneinfo import ZoneInfo

YEARS_SEEN = 28
"""After 28 years weekdays and dates repeat, so a rule that fits them fits for good."""

RULES_BEGIN = 1970
"""Year of the first onset of a rule; readers of old programs expect it."""

_STEP = timedelta(days=5)
_MINUTE = timedelta(minutes=1)
_WEEKDAYS = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")
_DAYS_A_WEEK = 7


@dataclass(frozen=True, slots=True)
class Change:
    """One change of the offset."""

    at: datetime
    """In UTC."""
    before: timedelta
    after: timedelta
    name: str
    """What the time is called afterwards."""

    @property
    def onset(self) -> datetime:
        """Return the wall-clock time of the change, by the clock that was right before it."""
        return (self.at + self.before).replace(tzinfo=None)


@dataclass(frozen=True, slots=True)
class YearlyRule:
    """Month, weekday and days of the month of a yearly change."""

    month: int
    weekday: int
    """0 is Monday."""
    ordinal: int | None
    """1 to 4 from the start of the month, -1 the last; None: on `days`."""
    days: tuple[int, ...] = ()

    def parts(self) -> dict[str, object]:
        """Return the parts of a recurrence rule."""
        weekday = _WEEKDAYS[self.weekday]
        if self.ordinal is not None:
            day = f"{self.ordinal}{weekday}"
            return {"FREQ": "YEARLY", "BYMONTH": self.month, "BYDAY": day}
        return {
            "FREQ": "YEARLY",
            "BYMONTH": self.month,
            "BYMONTHDAY": list(self.days),
            "BYDAY": weekday,
        }

    def day_in(self, year: int) -> int:
        """Return the day of the month on which the change falls in a year."""
        if self.ordinal is None:
            candidates: Iterable[int] = self.days
        elif self.ordinal > 0:
            first = _DAYS_A_WEEK * (self.ordinal - 1) + 1
            candidates = range(first, first + _DAYS_A_WEEK)
        else:
            last = monthrange(year, self.month)[1]
            candidates = range(last - _DAYS_A_WEEK + 1, last + 1)
        return next(
            day
            for day in candidates
            if datetime(year, self.month, day).weekday() == self.weekday  # noqa: DTZ001
        )


@dataclass(frozen=True, slots=True)
class Observance:
    """One sub-component of a zone: from its onset on, and yearly if it has a rule."""

    summer: bool
    onset: datetime
    before: timedelta
    after: timedelta
    name: str
    rule: YearlyRule | None = None


def observances(zone: ZoneInfo, first: datetime, last: datetime) -> tuple[Observance, ...]:
    """Return what has to be written of a zone so that it is right from first to last.

    Source: RFC 5545, section 3.6.5 (onsets in the local time before the change).
    """
    begin = datetime(first.astimezone(UTC).year - 1, 1, 1, tzinfo=UTC)
    end = datetime(max(last.astimezone(UTC).year + 1, begin.year + YEARS_SEEN), 12, 31, tzinfo=UTC)
    seen = changes(zone, begin, end)
    by_rule = _as_rules(seen)
    if by_rule:
        return by_rule
    last_year = last.astimezone(UTC).year + 1
    return _one_by_one(zone, begin, [change for change in seen if change.at.year <= last_year])


def changes(zone: ZoneInfo, begin: datetime, end: datetime) -> list[Change]:
    """Return the changes of offset or name between two instants, ascending."""
    found: list[Change] = []
    low = begin
    while low < end:
        high = min(low + _STEP, end)
        if _state(zone, low) != _state(zone, high):
            at = _change_between(zone, low, high)
            before, after = _state(zone, at - _MINUTE), _state(zone, at)
            found.append(Change(at, before[0], after[0], after[1]))
            high = at
        low = high
    return found


def _state(zone: ZoneInfo, at: datetime) -> tuple[timedelta, str]:
    local = at.astimezone(zone)
    return local.utcoffset() or timedelta(), local.tzname() or zone.key


def _change_between(zone: ZoneInfo, low: datetime, high: datetime) -> datetime:
    """Return the first minute with another state than `low`."""
    before = _state(zone, low)
    least, most = 0, int((high - low) / _MINUTE)
    while most - least > 1:
        middle = (least + most) // 2
        if _state(zone, low + middle * _MINUTE) == before:
            least = middle
        else:
            most = middle
    return low + most * _MINUTE


def _as_rules(seen: Sequence[Change]) -> tuple[Observance, ...]:
    """Return the two yearly observances, or nothing if the changes follow no yearly rule."""
    summers = [change for change in seen if change.after > change.before]
    winters = [change for change in seen if change.after < change.before]
    if not summers or len(summers) + len(winters) != len(seen):
        return ()
    found = []
    for group in (winters, summers):
        rule = _rule_of(group)
        if rule is None:
            return ()
        one = group[0]
        day = rule.day_in(RULES_BEGIN)
        onset = one.onset.replace(year=RULES_BEGIN, month=rule.month, day=day)
        found.append(Observance(group is summers, onset, one.before, one.after, one.name, rule))
    return tuple(found)


def _rule_of(group: Sequence[Change]) -> YearlyRule | None:
    """Return the yearly rule that the changes follow, if they all follow one."""
    onsets = [change.onset for change in group]
    years = [onset.year for onset in onsets]
    if len(years) < YEARS_SEEN or years != list(range(years[0], years[0] + len(years))):
        return None
    alike = {(change.before, change.after, change.name, change.onset.time()) for change in group}
    months = {onset.month for onset in onsets}
    weekdays = {onset.weekday() for onset in onsets}
    if len(alike) != 1 or len(months) != 1 or len(weekdays) != 1:
        return None
    month, weekday = months.pop(), weekdays.pop()
    days = sorted({onset.day for onset in onsets})
    rules = [YearlyRule(month, weekday, ordinal) for ordinal in (1, 2, 3, 4, -1)]
    if days[-1] - days[0] == _DAYS_A_WEEK - 1:
        rules.append(YearlyRule(month, weekday, None, tuple(range(days[0], days[-1] + 1))))
    fits = (rule for rule in rules if all(rule.day_in(onset.year) == onset.day for onset in onsets))
    return next(fits, None)


def _one_by_one(zone: ZoneInfo, begin: datetime, seen: Sequence[Change]) -> tuple[Observance, ...]:
    """Return the state at the beginning and every change as an observance of its own."""
    offset, name = _state(zone, begin)
    lowest = min([offset, *(change.after for change in seen)])
    start = datetime(RULES_BEGIN, 1, 1)  # noqa: DTZ001  onsets are wall-clock times
    return (
        Observance(offset > lowest, start, offset, offset, name),
        *(
            Observance(
                change.after > lowest, change.onset, change.before, change.after, change.name
            )
            for change in seen
        ),
    )
