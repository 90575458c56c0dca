"""What the trials say of one day: its chance, what a wasted trip and waiting cost, break-even.

Invariant: every figure comes with its standard error; days compared share their trials.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import ceil, floor, sqrt
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from readiness.job.instants import is_dated

if TYPE_CHECKING:
    from readiness.planning.trials import Instants, Outcome

Numbers = npt.NDArray[np.float64]
WorkedBefore = Callable[[int], int]
"""Gives the working minutes before an instant on the job's calendar."""


@dataclass(frozen=True, slots=True)
class Figure:
    """A mean over trials with its standard error."""

    value: float
    error: float


@dataclass(frozen=True, slots=True)
class Quantile:
    """The instant by which so large a share of the trials is open."""

    share: float
    at: int
    low: int
    """One standard error earlier."""
    high: int
    """One standard error later."""


@dataclass(frozen=True, slots=True)
class Prices:
    """The user's own prices."""

    trip: float
    """One wasted trip."""
    day: float
    """One working day of the whole job."""
    rebooking_days: float


@dataclass(frozen=True, slots=True)
class DayOutcome:
    """All trials of one arrival."""

    arrival: int
    works: npt.NDArray[np.bool_]
    early: npt.NDArray[np.bool_]
    late: npt.NDArray[np.bool_]
    weather: npt.NDArray[np.bool_]
    waiting_days: Numbers
    """Working days from opening to arrival; none where it opens later."""

    def cost(self, prices: Prices) -> Figure:
        """Return what booking this day costs on average."""
        wasted = prices.trip + prices.day * prices.rebooking_days
        return mean(wasted * ~self.works + prices.day * self.waiting_days)


def quantile(opens: Instants, share: float) -> Quantile:
    """Return the least instant by which at least that share of the trials is open.

    The standard error is that of the rank, a binomial count.
    """
    ordered = np.sort(opens)
    count = len(ordered)
    rank = ceil(share * count)
    spread = sqrt(count * share * (1 - share))

    def at(position: float) -> int:
        return int(ordered[min(max(int(position), 1), count) - 1])

    return Quantile(share, at(rank), at(floor(rank - spread)), at(ceil(rank + spread)))


def mean(values: npt.ArrayLike) -> Figure:
    """Return the mean of one number for each trial."""
    numbers = np.asarray(values, dtype=np.float64)
    deviation = float(numbers.std(ddof=1)) if len(numbers) > 1 else 0.0
    return Figure(float(numbers.mean()), deviation / sqrt(len(numbers)))


def day_outcome(outcome: Outcome, arrival: int, forbids: float, waiting: Waiting) -> DayOutcome:
    """Return what becomes of one arrival in every trial.

    Args:
        outcome: The trials.
        arrival: The instant of the arrival.
        forbids: Chance that the weather keeps the crew from spraying on a day.
        waiting: Counts the working days between opening and arrival.
    """
    early = outcome.opens > arrival
    late = arrival > outcome.last_start
    weather = outcome.weather < forbids
    return DayOutcome(
        arrival, ~(early | late | weather), early, late, weather, waiting.days(arrival)
    )


class Waiting:
    """Counts working days from the opening of each trial to an arrival."""

    def __init__(self, opens: Instants, before: WorkedBefore, day_minutes: int, since: int) -> None:
        """Count the working minutes before each opening once; none opens before `since`."""
        unique, back = np.unique(np.maximum(opens, since), return_inverse=True)
        counted = [float(before(at)) if is_dated(at) else np.inf for at in unique.tolist()]
        self._before = before
        self._worked = np.array(counted)[back]
        self._day_minutes = day_minutes

    def days(self, arrival: int) -> Numbers:
        """Return the working days from opening to arrival, 0 where it opens later."""
        minutes = self._before(arrival) - self._worked
        days: Numbers = np.maximum(minutes, 0.0) / self._day_minutes
        return days


def gained(before: DayOutcome, after: DayOutcome) -> Figure:
    """Return by how much the chance of a day grows, in the same trials."""
    return mean(after.works.astype(np.float64) - before.works)


def break_even(earlier: DayOutcome, later: DayOutcome) -> Figure | None:
    """Return how many lost days a wasted trip must cost before the later day pays.

    The cost of a wasted trip counts whole, with the wait for the rig to come again; None if the
    later day wastes no fewer trips, as far as the trials can tell. The standard error is that of a
    ratio of two means over the same trials, to the first order.
    """
    fewer = gained(earlier, later)
    if fewer.value <= 2 * fewer.error:
        return None
    more = later.waiting_days - earlier.waiting_days
    ratio = float(more.mean()) / fewer.value
    rest = more - ratio * (later.works.astype(np.float64) - earlier.works)
    return Figure(ratio, mean(rest).error / fewer.value)
