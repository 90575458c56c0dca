"""The days of a forecast and of a trip, hour by hour against the limits.

Invariant: every hour of the crew's shift is within, outside or not known; what the forecast does
not reach is told as not known, and hours with heat are never counted among those within.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

from readiness.foam.conditions import State
from readiness.foam.group_hours import hours_of
from readiness.foam.hours import HOUR_MINUTES
from readiness.gates.asked import local_date
from readiness.job.instants import is_dated
from readiness.site.calendars import midnight_of
from readiness.telling.weather import NightLine, day_notes, night_line, worst_told

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from readiness.foam.groups import Group
    from readiness.foam.hours import Forecast
    from readiness.telling.case import Case
    from readiness.telling.measured import Measured

WITHIN = (State.WITHIN, State.CLOSE)
MORNING_HOUR = 7
"""When the night after ends."""


@dataclass(frozen=True, slots=True)
class HoursSpan:
    """Hours on end."""

    from_: datetime
    """Start of the first hour."""
    until: datetime
    """End of the last hour."""


@dataclass(frozen=True, slots=True)
class GroupHours:
    """One day of one group."""

    group: str
    """The group, by its name."""
    within: tuple[HoursSpan, ...]
    """Hours within the limits, close ones included."""
    hours_within: int
    """Of the spray crew's hours."""
    hours_close: int
    """Of those, how many are close to a limit."""
    hours_not_known: int
    """Of the crew's hours, how many the forecast or a missing reading leaves open."""
    with_heat: tuple[HoursSpan, ...]
    """An estimate; none of them is counted above."""
    hours_with_heat: int
    """Of the crew's hours, how many would be within by that estimate."""
    because: str
    """The worst hour in the crew's hours that is outside; empty if none is."""


@dataclass(frozen=True, slots=True)
class WeatherDay:
    """One day of the forecast or of the trip."""

    day: date
    """The day at the site."""
    on_trip: bool
    """The spray crew is there by plan."""
    crew_from: datetime | None
    """Start of the spray crew's hours; null on their day off."""
    crew_until: datetime | None
    """Their end."""
    hours: int
    """Whole hours of the crew's shift that are still to come."""
    hours_all_groups: int
    """Of those, how many lie within the limits for every group."""
    within_all_groups: tuple[HoursSpan, ...]
    """Those hours."""
    hours_not_known: int
    """Of the crew's hours, how many are not known for some group and outside for none."""
    groups: tuple[GroupHours, ...]
    """Each group of surfaces, the coldest first."""
    notes: tuple[str, ...]
    """Humidity, wind and rain in words; none of it takes an hour away."""
    night: NightLine | None
    """The night after; null on a day without a crew."""
    says: str
    """Why nothing is known of it; empty if the forecast reaches it."""


class WeatherDays:
    """One forecast against the limits of one trip's groups."""

    def __init__(self, case: Case, forecast: Forecast, measured: Measured) -> None:
        """Judge every hour for every group once."""
        self.case = case
        self.forecast = forecast
        self.limits = measured.limits
        self.groups = measured.groups
        self.as_of = case.outlook.seen.as_of
        self.calendar = case.site.calendars[case.site.spray_calendar]
        self.hours = {}
        for group in self.groups:
            read = None if group.follows_the_air else measured.read_substrate_c(group)
            self.hours[group.id] = hours_of(group, forecast.hours, self.limits, read)

    def days(self, trip: str, arrival: int) -> Iterable[WeatherDay]:
        """Yield the days of the forecast from today on, and those of the trip."""
        outlook = self.case.outlook
        today = local_date(outlook, self.as_of)
        trip_days = set(self._trip_days(trip, arrival))
        wanted = {day for day in trip_days if day >= today}
        day, last = today, local_date(outlook, self.forecast.ends - 1)
        while day <= last:
            wanted.add(day)
            day += timedelta(days=1)
        for one in sorted(wanted):
            yield self._day(one, on_trip=one in trip_days)

    def _trip_days(self, trip: str, arrival: int) -> Iterable[date]:
        """Yield the working days from the arrival asked about to the end of the clean-up."""
        tasks = self.case.site.trips[trip]
        first = self.case.outlook.forecast.start[tasks.arrival]
        last = self.case.outlook.forecast.finish[tasks.clean_up]
        lasts = last - first if is_dated(first) and is_dated(last) else tasks.minutes
        end = local_date(self.case.outlook, arrival + max(lasts - 1, 0))
        day = local_date(self.case.outlook, arrival)
        while day <= end:
            if self.calendar.spans_on(day):
                yield day
            day += timedelta(days=1)

    def _day(self, day: date, *, on_trip: bool) -> WeatherDay:
        zone = self.case.site.zone
        first, until = midnight_of(day, zone), midnight_of(day + timedelta(days=1), zone)
        shift = self.calendar.shift_on(day)
        crew = (
            [
                at
                for at in range(-(-shift[0] // 60) * 60, shift[1] - HOUR_MINUTES + 1, HOUR_MINUTES)
                if at + HOUR_MINUTES > self.as_of
            ]
            if shift
            else []
        )
        groups = tuple(self._group_day(group, first, until, crew) for group in self.groups)
        moment = self.case.teller.moment
        good = self._all_groups(crew)
        return WeatherDay(
            day=day,
            on_trip=on_trip,
            crew_from=moment(shift[0]) if shift else None,
            crew_until=moment(shift[1]) if shift else None,
            hours=len(crew),
            hours_all_groups=len(good),
            within_all_groups=self._spans(good),
            hours_not_known=self._open(crew),
            groups=groups,
            notes=tuple(self._notes(first, until)),
            night=self._night(day, shift[1]) if shift else None,
            says=self._unknown(first, until),
        )

    def _all_groups(self, crew: list[int]) -> list[int]:
        """Return the hours of the crew that are within for every group."""
        good = [
            {hour.at for hour in hours if hour.state in WITHIN} for hours in self.hours.values()
        ]
        return [at for at in crew if good and all(at in one for one in good)]

    def _open(self, crew: list[int]) -> int:
        """Return how many hours of the crew may be within once what is not known is known."""
        groups = [{hour.at: hour.state for hour in hours} for hours in self.hours.values()]
        states = [[one.get(at, State.UNKNOWN) for one in groups] for at in crew]
        return sum(State.UNKNOWN in one and State.OUTSIDE not in one for one in states)

    def _unknown(self, first: int, until: int) -> str:
        if any(first <= hour.at < until for hour in self.forecast.hours):
            return ""
        told = self.case.teller.told
        if first >= self.forecast.ends:
            return f"the forecast ends {told(self.forecast.ends)}"
        return f"the forecast has no hour of it (it begins {told(self.forecast.hours[0].at)})"

    def _notes(self, first: int, until: int) -> Iterable[str]:
        hours = [hour for hour in self.forecast.within(first, until) if hour.at >= self.as_of - 59]
        return day_notes(hours, self.limits, self.case)

    def _night(self, day: date, shift_end: int) -> NightLine:
        until = (
            midnight_of(day + timedelta(days=1), self.case.site.zone) + MORNING_HOUR * HOUR_MINUTES
        )
        start = -(-shift_end // HOUR_MINUTES) * HOUR_MINUTES
        return night_line(self.forecast.within(start, until), start, until, self.limits, self.case)

    def _group_day(self, group: Group, first: int, until: int, crew: list[int]) -> GroupHours:
        hours = [
            hour
            for hour in self.hours[group.id]
            if first <= hour.at < until and hour.at + HOUR_MINUTES > self.as_of
        ]
        of_crew = [hour for hour in hours if hour.at in crew]
        known = [hour for hour in of_crew if hour.state is not State.UNKNOWN]
        return GroupHours(
            group=group.name,
            within=self._spans([hour.at for hour in hours if hour.state in WITHIN]),
            hours_within=sum(hour.state in WITHIN for hour in of_crew),
            hours_close=sum(hour.state is State.CLOSE for hour in of_crew),
            hours_not_known=len(crew) - len(known),
            with_heat=self._spans([hour.at for hour in hours if hour.with_heat]),
            hours_with_heat=sum(hour.with_heat for hour in of_crew),
            because=worst_told(known, self.limits, self.case),
        )

    def _spans(self, starts: Sequence[int]) -> tuple[HoursSpan, ...]:
        spans: list[list[int]] = []
        for at in starts:
            if spans and spans[-1][1] == at:
                spans[-1][1] = at + HOUR_MINUTES
            else:
                spans.append([at, at + HOUR_MINUTES])
        moment = self.case.teller.moment
        told = [(moment(first), moment(until)) for first, until in spans]
        return tuple(HoursSpan(a, b) for a, b in told if a is not None and b is not None)
