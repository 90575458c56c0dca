"""A value against its limit: within, close to it or outside, and by how much.

Invariant: a margin is positive on the good side; a limit that says "below" refuses its own figure,
one that says "at most" or "at least" takes it.
"""

from __future__ import annotations

import re
from enum import StrEnum
from fractions import Fraction
from typing import NamedTuple

from readiness.facts.limit_rows import Bound, LimitRow, Measure
from readiness.facts.vocabulary import Effect
from readiness.job.quantities import Share, Temperature, TemperatureDifference

MPH_PER_KMH = 1 / 1.609344
"""Exact: the international mile is 1.609344 km."""
MPH_PER_M_S = 3600 / 1609.344

_NUMBER_AND_UNIT = re.compile(r"([0-9.]+) (mph|km/h|d|in)")
_TEMPERATURES = frozenset(
    {Measure.SUBSTRATE_TEMPERATURE, Measure.AIR_TEMPERATURE, Measure.MATERIAL_TEMPERATURE}
)
_PERCENTS = frozenset({Measure.WOOD_MOISTURE, Measure.RELATIVE_HUMIDITY, Measure.SHELF_LIFE})
_PLACES = 6
"""Decimals that count, so that 40 F read in one unit is 40 F computed in the other."""


class State(StrEnum):
    """How a value stands to its limit."""

    WITHIN = "within"
    CLOSE = "close"
    OUTSIDE = "outside"
    UNKNOWN = "not known"


WORST_FIRST = (State.OUTSIDE, State.UNKNOWN, State.CLOSE, State.WITHIN)


class Limit(NamedTuple):
    """One limit in force."""

    code: str
    title: str
    measures: Measure
    bound: Bound
    value: float
    """In F, K-sized steps of F for a spread, %, mph."""
    close: float
    decides: Effect
    told: str
    """As it was written."""
    source: str
    status: str
    requirement: str = ""
    """The requirement that it decides at the gates; empty if none."""
    caution: str = ""
    sheet: str = ""
    """The product sheet that put it in force; empty for the usual figure."""


class Judged(NamedTuple):
    """A value judged."""

    state: State
    margin: float | None
    """Positive on the good side, in the unit of the limit."""


def limit_of(code: str, row: LimitRow, limit: str = "", sheet: str = "") -> Limit:
    """Return the limit of a row, or the one that a product sheet puts in its place.

    Raises:
        QuantityError: The text is no quantity of the kind.
    """
    told = limit or row.limit
    measure = row.measures
    return Limit(
        code=code,
        title=row.title,
        measures=measure,
        bound=row.bound,
        value=figure_of(told, measure),
        close=figure_of(row.close, Measure.SPREAD if measure in _TEMPERATURES else measure),
        decides=row.decides,
        told=told,
        source=f"product sheet {sheet}" if sheet else row.source,
        status="product sheet" if sheet else row.status.value,
        requirement=row.requirement,
        caution=row.caution,
        sheet=sheet,
    )


def figure_of(text: str, measure: Measure) -> float:
    """Return a written quantity as a number in the unit that limits of its kind are kept in.

    Raises:
        QuantityError: The text is no quantity of the kind.
        ValueError: Its unit is none that the kind has.
    """
    if measure in _TEMPERATURES:
        return float(Temperature.parse(text).fahrenheit)
    if measure is Measure.SPREAD:
        return float(TemperatureDifference.parse(text).fahrenheit_degrees)
    if measure in _PERCENTS:
        return float(Share.parse(text).percent)
    match = _NUMBER_AND_UNIT.fullmatch(text)
    if match is None:
        message = f"{text!r} is no figure for {measure.value}"
        raise ValueError(message)
    number = float(Fraction(match[1]))
    return number * MPH_PER_KMH if match[2] == "km/h" else number


def judged(limit: Limit, value: float | None) -> Judged:
    """Return how a value stands to a limit; no value is not known."""
    if value is None:
        return Judged(State.UNKNOWN, None)
    good_side = value - limit.value if limit.bound is Bound.AT_LEAST else limit.value - value
    margin = round(good_side, _PLACES)
    if margin < 0 or (margin == 0 and limit.bound is Bound.BELOW):
        return Judged(State.OUTSIDE, margin)
    return Judged(State.CLOSE if margin < limit.close else State.WITHIN, margin)


def worst(states: list[State]) -> State:
    """Return the worst of several states; none at all is not known."""
    return min(states, key=WORST_FIRST.index, default=State.UNKNOWN)
