"""One day of a forecast hour by hour: what the air is, and how each group of surfaces stands.

Invariant: every full hour of the day is told once, and one that the forecast lacks is not known.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

from readiness.facts.limit_rows import Measure
from readiness.foam.conditions import State, worst
from readiness.foam.group_hours import fahrenheit
from readiness.foam.hours import HOUR_MINUTES
from readiness.site.calendars import midnight_of
from readiness.telling.quantity_words import value_told
from readiness.telling.weather import against_its_limit

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.foam.group_hours import GroupHour
    from readiness.foam.groups import Group
    from readiness.telling.weather_days import WeatherDays

NO_HOUR = "the forecast has no such hour"
NOT_READ = "follows the ground or its own mass, not the air: read the substrate"


@dataclass(frozen=True, slots=True)
class GroupsHour:
    """Groups of surfaces that stand alike in one hour."""

    groups: tuple[str, ...]
    """Their names."""
    state: str
    """within, close, outside or not known."""
    with_heat: bool
    """Outside as it is, and within by the estimate with heat, which meets nothing."""
    says: str
    """The limit that it comes nearest to, with its value and what is wanted, or why nothing is
    known."""


@dataclass(frozen=True, slots=True)
class HourLine:
    """One hour of a day."""

    from_: datetime
    """When it begins."""
    on_shift: bool
    """It lies whole in the hours of the spray crew."""
    state: str
    """The worst of all groups."""
    air: str
    """Temperature outdoors; empty if it is not known."""
    humidity: str
    """Relative humidity outdoors; empty if it is not known."""
    groups: tuple[GroupsHour, ...]
    """Those that stand alike together, the coldest first."""


def hour_lines(days: WeatherDays, day: date) -> tuple[HourLine, ...]:
    """Return the hours of a day; none if the forecast has no hour of it."""
    zone, teller = days.case.site.zone, days.case.teller
    first, until = midnight_of(day, zone), midnight_of(day + timedelta(days=1), zone)
    air = {hour.at: hour for hour in days.forecast.within(first, until)}
    if not air:
        return ()
    units = days.case.site.job.units
    shift = days.calendar.shift_on(day) or (until, until)
    stands = {group: {hour.at: hour for hour in days.hours[group.id]} for group in days.groups}
    lines = []
    for at in range(first, until, HOUR_MINUTES):
        moment, hour = teller.moment(at), air.get(at)
        assert moment is not None  # noqa: S101  an hour of a day is a real instant
        told = [(group, _stands(days, group, of.get(at))) for group, of in stands.items()]
        lines.append(
            HourLine(
                from_=moment,
                on_shift=shift[0] <= at and at + HOUR_MINUTES <= shift[1],
                state=worst([State(one.state) for _, one in told]).value,
                air=value_told(round(fahrenheit(hour.air_c)), Measure.AIR_TEMPERATURE, units)
                if hour
                else "",
                humidity=f"{hour.humidity_percent:.0f} %" if hour else "",
                groups=tuple(_alike(told)),
            )
        )
    return tuple(lines)


def _stands(days: WeatherDays, group: Group, hour: GroupHour | None) -> GroupsHour:
    if hour is None:
        return GroupsHour((group.name,), State.UNKNOWN.value, with_heat=False, says=NO_HOUR)
    if hour.state is State.UNKNOWN:
        return GroupsHour((group.name,), hour.state.value, with_heat=False, says=NOT_READ)
    says = ", ".join(against_its_limit(hour, days.limits, days.case))
    return GroupsHour((group.name,), hour.state.value, hour.with_heat, says)


def _alike(told: Iterable[tuple[Group, GroupsHour]]) -> Iterable[GroupsHour]:
    """Yield groups that stand alike as one, with all their names."""
    found: dict[tuple[str, bool, str], list[str]] = {}
    for group, one in told:
        found.setdefault((one.state, one.with_heat, one.says), []).append(group.name)
    for (state, with_heat, says), names in found.items():
        yield GroupsHour(tuple(names), state, with_heat, says)
