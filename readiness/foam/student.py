"""Student's t for whole degrees of freedom, for the interval of a mean of few readings.

The standard library has no t, and a library of statistics would weigh more than the rest of the
package for this one figure; tests compare it with one.

Invariant: probability and quantile are inverse to each other to the last digits that matter.
"""

from __future__ import annotations

from functools import cache
from math import atan2, cos, pi, sin, sqrt

_STEPS = 200
_HIGHEST = 1e9


def within(t: float, degrees: int) -> float:
    """Return the probability that the absolute value of t is at most this.

    Source: Abramowitz and Stegun, Handbook of Mathematical Functions, 26.7.3 and 26.7.4.
    """
    theta = atan2(t, sqrt(degrees))
    cosine = cos(theta)
    odd = degrees % 2 == 1
    term = cosine if odd else 1.0
    total = term if degrees > 1 else 0.0
    for power in range(3 if odd else 2, degrees - 1, 2):
        term *= cosine**2 * (power - 1) / power
        total += term
    total *= sin(theta)
    return 2 / pi * (theta + total) if odd else total


@cache
def quantile_both_sides(confidence: float, degrees: int) -> float:
    """Return the t whose both sides hold a confidence between them, by halving."""
    low, high = 0.0, 1.0
    while within(high, degrees) < confidence and high < _HIGHEST:
        high *= 2
    for _ in range(_STEPS):
        middle = (low + high) / 2
        if within(middle, degrees) < confidence:
            low = middle
        else:
            high = middle
    return high
