"""Depth readings of one surface against what was agreed: what they say, and what has to be done.

Perimeter and field are judged apart, so that thin edges can't hide behind a deep middle.

Invariant: a reading is compared exactly as it was written; a surface is as good as the worse of
its two zones.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import sqrt

from readiness.facts.vocabulary import DepthMeans
from readiness.foam.outcome import WORST_FIRST, Outcome
from readiness.foam.student import quantile_both_sides

CONFIDENCE = 0.95
FEWEST_FOR_A_SPREAD = 2


@dataclass(frozen=True, slots=True)
class Trimmed:
    """Open-cell foam that is trimmed flush with the cavity it fills."""

    cavity_inches: Fraction
    under_inches: Fraction
    """How far trimming may leave it under the cavity."""
    has_r: Callable[[Fraction], bool]
    """Whether foam so deep, in inches, still has the R that is wanted."""

    def is_enough(self, inches: Fraction) -> bool:
        """Say whether a depth a little under the cavity still has the R that is wanted."""
        return inches >= self.cavity_inches - self.under_inches and self.has_r(inches)


@dataclass(frozen=True, slots=True)
class Agreed:
    """What was agreed of a surface."""

    means: DepthMeans
    inches: Fraction
    tolerance_inches: Fraction = Fraction(0)
    spread_at_most: Fraction = Fraction(1, 5)
    """Standard deviation as a share of the agreed depth, above which the foam is uneven."""
    least_anywhere: Fraction = Fraction(3, 4)
    """Share of an agreed average below which no single spot may lie."""
    least_field: int | None = None
    """Readings wanted in the field; None asks for no number."""
    least_perimeter: int | None = None
    trimmed: Trimmed | None = None

    @property
    def floor_inches(self) -> Fraction:
        """Return the least single reading."""
        if self.means is DepthMeans.MINIMUM:
            return self.inches
        if self.means is DepthMeans.TOLERANCE:
            return self.inches - self.tolerance_inches
        return self.inches * self.least_anywhere

    @property
    def ceiling_inches(self) -> Fraction | None:
        """Return the deepest single reading; None asks for none."""
        if self.means is DepthMeans.TOLERANCE:
            return self.inches + self.tolerance_inches
        return None


@dataclass(frozen=True, slots=True)
class Spread:
    """What the readings of one zone say, without any judgement."""

    count: int
    mean_inches: float
    spread_inches: float | None
    """Sample standard deviation; None of fewer than two readings."""
    smallest_inches: float
    largest_inches: float
    under: int
    """Readings under the agreed depth."""
    share_under: float
    interval_inches: tuple[float, float] | None
    """Interval of the mean (see `METHOD`); None of fewer than two readings."""


@dataclass(frozen=True, slots=True)
class ZoneFound:
    """The readings of one zone, judged."""

    outcome: Outcome
    spread: Spread | None
    """None without a reading."""
    low_inches: tuple[Fraction, ...]
    """Readings to be filled, as they were read."""
    high_inches: tuple[Fraction, ...]
    uneven: bool
    enough: bool | None
    """None if no number was asked for."""


@dataclass(frozen=True, slots=True)
class DepthFound:
    """Both zones of a surface, judged."""

    outcome: Outcome
    field: ZoneFound
    perimeter: ZoneFound


def judged(field: Sequence[Fraction], perimeter: Sequence[Fraction], agreed: Agreed) -> DepthFound:
    """Return what the readings of a surface say against what was agreed; depths in inches.

    An agreed average is met by the field alone and by all readings together; single readings have
    their bounds in both zones.
    """
    thin = agreed.means is not DepthMeans.MINIMUM and _mean_is_short((*field, *perimeter), agreed)
    thin_field = agreed.means is not DepthMeans.MINIMUM and _mean_is_short(field, agreed)
    inner = _zone(field, agreed, agreed.least_field, thin=thin_field, at_least=1)
    edge = _zone(perimeter, agreed, agreed.least_perimeter, thin=thin, at_least=0)
    worst = min((inner.outcome, edge.outcome), key=WORST_FIRST.index)
    return DepthFound(worst, inner, edge)


def spread_of(readings: Sequence[Fraction], agreed_inches: Fraction) -> Spread | None:
    """Return the statistics of readings in inches; None of no reading."""
    if not readings:
        return None
    values = [float(reading) for reading in readings]
    count, mean = len(values), float(sum(readings, Fraction(0)) / len(readings))
    under = sum(1 for reading in readings if reading < agreed_inches)
    spread = None
    if count >= FEWEST_FOR_A_SPREAD:
        spread = sqrt(sum((value - mean) ** 2 for value in values) / (count - 1))
    interval = None
    if spread is not None:
        half = quantile_both_sides(CONFIDENCE, count - 1) * spread / sqrt(count)
        interval = (mean - half, mean + half)
    return Spread(count, mean, spread, min(values), max(values), under, under / count, interval)


def _zone(
    readings: Sequence[Fraction], agreed: Agreed, least: int | None, *, thin: bool, at_least: int
) -> ZoneFound:
    spread = spread_of(readings, agreed.inches)
    enough = None if least is None else len(readings) >= least
    if spread is None:
        outcome = Outcome.MORE if enough is False or at_least else Outcome.ACCEPT
        return ZoneFound(outcome, None, (), (), uneven=False, enough=enough)
    ceiling = agreed.ceiling_inches
    short = [reading for reading in readings if not _is_deep_enough(reading, agreed)]
    low = [reading for reading in short if reading < agreed.floor_inches]
    high = [reading for reading in readings if ceiling is not None and reading > ceiling]
    uneven = _is_uneven(spread, agreed)
    if thin and not low:
        low = short
    if uneven:
        outcome = Outcome.RESPRAY
    elif low:
        outcome = Outcome.FILL
    elif high:
        outcome = Outcome.TRIM
    else:
        outcome = Outcome.MORE if enough is False else Outcome.ACCEPT
    return ZoneFound(outcome, spread, tuple(low), tuple(high), uneven=uneven, enough=enough)


def _is_deep_enough(reading: Fraction, agreed: Agreed) -> bool:
    """Say whether one reading has the agreed depth, or all that trimming had to leave of it."""
    if reading >= agreed.inches:
        return True
    return agreed.trimmed is not None and agreed.trimmed.is_enough(reading)


def _mean_is_short(readings: Sequence[Fraction], agreed: Agreed) -> bool:
    """Say whether the mean is under the agreed depth; what trimming had to take is not missing."""
    counted = [
        max(reading, agreed.inches) if _is_deep_enough(reading, agreed) else reading
        for reading in readings
    ]
    return bool(counted) and sum(counted, Fraction(0)) / len(counted) < agreed.inches


def _is_uneven(spread: Spread, agreed: Agreed) -> bool:
    """Say whether the spread is too wide; an agreed minimum asks nothing of it."""
    if agreed.means is DepthMeans.MINIMUM or spread.spread_inches is None:
        return False
    return spread.spread_inches > float(agreed.spread_at_most * agreed.inches)
