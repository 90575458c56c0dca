"""What a day, a night and the days until the arrival bring, in words.

Invariant: what the hours don't cover is told as not known, and the drying of wood is told as where
it tends to, never as a reading.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from readiness.facts.limit_rows import Bound, Measure
from readiness.foam.air import OutOfRangeError
from readiness.foam.conditions import State, judged
from readiness.foam.group_hours import fahrenheit
from readiness.foam.hours import HOUR_MINUTES
from readiness.foam.in_force import one_of
from readiness.foam.wood import drying_humidity_percent, equilibrium_moisture_percent
from readiness.telling.quantity_words import limit_told, margin_told, value_told

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from readiness.foam.conditions import Limit
    from readiness.foam.group_hours import GroupHour
    from readiness.foam.hours import Hour
    from readiness.telling.case import Case

RAIN_LIKELY_PERCENT = 50.0
"""From here on rain is more likely than not."""


@dataclass(frozen=True, slots=True)
class NightLine:
    """The night after a day's foam."""

    warns: bool
    """It turns colder than the lowest substrate limit."""
    says: str
    """The lowest air and what to do, in words."""


@dataclass(frozen=True, slots=True)
class DryingLine:
    """Where wood tends to in the air until the arrival."""

    can_dry: bool
    """Wood can dry below its limit in this air."""
    says: str
    """The mean air and where wood tends to, in words."""


def drying_line(
    hours: Sequence[Hour], limits: Iterable[Limit], case: Case, until: int
) -> DryingLine | None:
    """Return what wood tends to in the mean air of some hours; None without an hour or a limit.

    Args:
        hours: The known hours from now until then.
        limits: The limits in force.
        case: The job at one moment.
        until: The arrival, or a day from now if that is later.
    """
    limit = one_of(limits, Measure.WOOD_MOISTURE, Bound.AT_MOST)
    if not hours or limit is None:
        return None
    air = sum(hour.air_c for hour in hours) / len(hours)
    humidity = sum(hour.humidity_percent for hour in hours) / len(hours)
    units = case.site.job.units
    mean = (
        f"outdoor air until {case.teller.told(until)}, {len(hours)} hours known: mean "
        f"{value_told(fahrenheit(air), Measure.AIR_TEMPERATURE, units)}, {humidity:.0f} %"
    )
    try:
        tends = equilibrium_moisture_percent(air, humidity)
        edge = drying_humidity_percent(air, limit.value)
    except OutOfRangeError:
        return DryingLine(can_dry=False, says=f"{mean}; too cold to say what the framing tends to")
    says = f"{mean}; wood left in it for weeks tends to {tends:.1f} %, by equation"
    if humidity <= edge:
        return DryingLine(can_dry=True, says=f"{says} (a meter reading counts, not this)")
    can_not = f"the framing can't dry below {limit.told} at this humidity (above {edge:.0f} %)"
    return DryingLine(can_dry=False, says=f"{says}; {can_not}")


def day_notes(hours: Sequence[Hour], limits: Sequence[Limit], case: Case) -> Iterable[str]:
    """Yield what a day's hours say of humidity, wind and rain; none of it takes an hour away."""
    values = {
        Measure.RELATIVE_HUMIDITY: lambda hour: hour.humidity_percent,
        Measure.WIND: lambda hour: hour.wind_mph,
    }
    for limit in limits:
        value_of = values.get(limit.measures)
        if value_of is None:
            continue
        found = [(value_of(hour), hour) for hour in hours]
        beyond = [
            (value, hour)
            for value, hour in found
            if value is not None and judged(limit, value).state is State.OUTSIDE
        ]
        if beyond:
            value, hour = max(beyond, key=lambda pair: (pair[0], -pair[1].at))
            told = value_told(value, limit.measures, case.site.job.units)
            yield (
                f"{limit.measures.value} up to {told} (most at {_clock(case, hour.at)}), "
                f"wanted {limit_told(limit, case.site.job.units)}: "
                f"{len(beyond)} of the day's hours are above"
            )
        elif hours and all(value is None for value, _ in found):
            yield f"{limit.measures.value} is not in the file"
    wet = [hour for hour in hours if (hour.rain_percent or 0) >= RAIN_LIKELY_PERCENT]
    if wet:
        yield (
            f"rain likely from {_clock(case, wet[0].at)}: "
            "readings where it reaches speak no longer afterwards"
        )


def night_line(
    hours: Sequence[Hour], first: int, until: int, limits: Sequence[Limit], case: Case
) -> NightLine:
    """Return what the night does to fresh foam on an unheated substrate."""
    lacking = (until - first) // HOUR_MINUTES - len(hours)
    limit = one_of(limits, Measure.SUBSTRATE_TEMPERATURE, Bound.AT_LEAST)
    if not hours or limit is None:
        return NightLine(warns=False, says="not known")
    coldest = min(hours, key=lambda hour: (hour.air_c, hour.at))
    units = case.site.job.units
    lowest = fahrenheit(coldest.air_c)
    told = f"lowest {value_told(lowest, Measure.AIR_TEMPERATURE, units)} at "
    told += _clock(case, coldest.at)
    wanted = limit_told(limit, units)
    if lacking:
        told += f", {lacking} hours of it not known"
    if judged(limit, lowest).state is not State.OUTSIDE:
        return NightLine(warns=False, says=told)
    frost = coldest.air_c <= 0
    keep = "keep the heat on: fresh foam on a substrate that turns cold pulls and cracks"
    return NightLine(
        warns=True,
        says=f"{told}, wanted {wanted}; {keep}{', and frost may form' if frost else ''}"
        " (common practice)",
    )


def worst_told(hours: Sequence[GroupHour], limits: Sequence[Limit], case: Case) -> str:
    """Return the hour that is farthest outside, in words; empty if none is outside."""
    outside = [hour for hour in hours if hour.state is State.OUTSIDE and hour.margin is not None]
    if not outside:
        return ""
    hour = min(outside, key=lambda one: (one.margin or 0.0, one.at))
    value, wanted = against_its_limit(hour, limits, case)
    return f"{value} at {_clock(case, hour.at)}, {wanted}"


def against_its_limit(hour: GroupHour, limits: Sequence[Limit], case: Case) -> tuple[str, str]:
    """Return what an hour comes nearest to or is outside of, with its value; and what is wanted."""
    limit = next(one for one in limits if one.code == hour.limit)
    units = case.site.job.units
    if limit.measures is Measure.SPREAD and hour.spread_f is not None:
        value = margin_told(hour.spread_f, Measure.SPREAD, units)
    elif hour.substrate_c is not None:
        value = value_told(fahrenheit(hour.substrate_c), limit.measures, units)
    else:
        value = "not known"
    return f"{limit.title.lower()} {value}", f"wanted {limit_told(limit, units)}"


def _clock(case: Case, instant: int) -> str:
    moment = case.teller.moment(instant)
    return f"{moment:%H:%M}" if moment is not None else "no time"
