"""Which hours of a forecast lie within the limits for a group, and which would with heat.

Without a reading a substrate that follows the air is taken as cold as the colder of this hour and
the one before; one against the ground or of masonry is not guessed.

Invariant: an hour with heat is an estimate of its own kind and never counted among the hours within
limits; an hour that the forecast lacks is not known.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from readiness.facts.limit_rows import Material, Measure
from readiness.facts.vocabulary import Effect
from readiness.foam.air import condensation_point_c
from readiness.foam.conditions import Judged, Limit, State, judged, worst

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from readiness.foam.groups import Group
    from readiness.foam.hours import Hour

HEATED_AIR_C = 21.0
"""About 70 F, which many sheets and crews ask for; common practice, no source."""

WARMED_SHARE = {Material.WOOD: 0.5, Material.METAL: 0.2}
"""How much of the difference between inside and outside air reaches a bare inner face.

Steady state, still air inside and wind outside, thin sheathing with siding, or sheet metal alone:
the part of the resistance that lies outward of the face, rounded down. Source: film and sheathing
resistances of ASHRAE Handbook Fundamentals, from memory.
"""


@dataclass(frozen=True, slots=True)
class GroupHour:
    """One hour for one group."""

    at: int
    state: State
    """By the limits that can stop a surface."""
    limit: str
    """Code of the limit that is worst; empty if nothing is known."""
    margin: float | None
    substrate_c: float | None
    spread_f: float | None
    with_heat: bool
    """Outside the limits as it is, and within them by the estimate with heat."""


def fahrenheit(celsius: float) -> float:
    """Return a temperature in F."""
    return celsius * 1.8 + 32


def hours_of(
    group: Group, hours: Sequence[Hour], limits: Iterable[Limit], read_c: float | None
) -> tuple[GroupHour, ...]:
    """Return how each hour stands for a group.

    Args:
        group: The surfaces.
        hours: The forecast, in order.
        limits: The limits in force.
        read_c: What the substrate read last; only for a group that doesn't follow the air.
    """
    stopping = [
        limit
        for limit in limits
        if limit.decides is not Effect.NOTE
        and limit.measures in (Measure.SUBSTRATE_TEMPERATURE, Measure.SPREAD)
    ]
    told = []
    before: Hour | None = None
    for hour in hours:
        substrate = _substrate_c(group, hour, before, read_c)
        told.append(_hour(group, hour, substrate, stopping))
        before = hour
    return tuple(told)


def _substrate_c(
    group: Group, hour: Hour, before: Hour | None, read_c: float | None
) -> float | None:
    if not group.follows_the_air:
        return read_c
    if before is not None and before.at + 60 == hour.at:
        return min(hour.air_c, before.air_c)
    return hour.air_c


def _hour(group: Group, hour: Hour, substrate: float | None, limits: list[Limit]) -> GroupHour:
    dew = condensation_point_c(hour.air_c, hour.humidity_percent)
    state, limit, margin = _stands(substrate, dew, limits)
    heated = heated_c(group, hour.air_c)
    with_heat = (
        state is State.OUTSIDE
        and heated is not None
        and _stands(heated, dew, limits)[0] in (State.WITHIN, State.CLOSE)
    )
    spread = None if substrate is None else (substrate - dew) * 1.8
    return GroupHour(hour.at, state, limit, margin, substrate, spread, with_heat)


def heated_c(group: Group, outside_c: float) -> float | None:
    """Return an estimate of a bare inner face with the house heated to about 70 F.

    None for what the ground or its own mass keeps cold for days.
    """
    share = WARMED_SHARE.get(group.material)
    if share is None or not group.follows_the_air:
        return None
    return max(outside_c, outside_c + share * (HEATED_AIR_C - outside_c))


def _stands(
    substrate_c: float | None, dew_c: float, limits: list[Limit]
) -> tuple[State, str, float | None]:
    """Return how a substrate stands in air of a dew point: the worst limit and its margin."""
    values = {
        Measure.SUBSTRATE_TEMPERATURE: None if substrate_c is None else fahrenheit(substrate_c),
        Measure.SPREAD: None if substrate_c is None else (substrate_c - dew_c) * 1.8,
    }
    found: list[tuple[Judged, Limit]] = [
        (judged(limit, values[limit.measures]), limit) for limit in limits
    ]
    state = worst([one.state for one, _ in found])
    if state is State.UNKNOWN:
        return state, "", None
    one, limit = min(
        ((one, limit) for one, limit in found if one.state is state),
        key=lambda pair: (pair[0].margin or 0.0, pair[1].code),
    )
    return state, limit.code, one.margin
