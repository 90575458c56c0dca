"""Temperatures, differences and shares in the units of the job.

Invariant: a difference of temperatures is never told like a temperature.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.facts.limit_rows import Measure

if TYPE_CHECKING:
    from readiness.foam.conditions import Limit

FREEZING_F = 32
KMH_PER_MPH = 1.609344
_TEMPERATURES = frozenset(
    {Measure.SUBSTRATE_TEMPERATURE, Measure.AIR_TEMPERATURE, Measure.MATERIAL_TEMPERATURE}
)

_HAVE_UNITS = _TEMPERATURES | {Measure.SPREAD, Measure.WIND}


def value_told(value: float, measure: Measure, units: str) -> str:
    """Return a measured value, kept in F, % or mph, in the units of the job."""
    if measure in _TEMPERATURES:
        if units == "metric":
            return f"{_number((value - FREEZING_F) / 1.8)} C"
        return f"{_number(value)} F"
    return margin_told(value, measure, units)


def margin_told(margin: float, measure: Measure, units: str) -> str:
    """Return a difference from a limit in the units of the job."""
    if measure in _TEMPERATURES or measure is Measure.SPREAD:
        return f"{_number(margin / 1.8)} C" if units == "metric" else f"{_number(margin)} F"
    if measure is Measure.WIND:
        if units == "metric":
            return f"{margin * KMH_PER_MPH:.0f} km/h"
        return f"{margin:.0f} mph"
    if measure is Measure.RELATIVE_HUMIDITY:
        return f"{margin:.0f} %"
    return f"{_number(margin)} %"


def limit_told(limit: Limit, units: str) -> str:
    """Return a limit with its side, in the units of the job and, if those differ, as written."""
    own = value_told(limit.value, limit.measures, units)
    if limit.measures not in _HAVE_UNITS or own == limit.told:
        return f"{limit.bound.value} {limit.told}"
    return f"{limit.bound.value} {own} ({limit.told})"


def _number(value: float) -> str:
    """Return a number with at most one decimal, and zero without a sign."""
    rounded = round(value, 1)
    return f"{rounded or 0:g}"
