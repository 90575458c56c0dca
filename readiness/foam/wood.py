"""The moisture that wood tends to in standing air, and the humidity above which it can't dry.

Invariant: this is where wood ends up after weeks; it forecasts, and never replaces a meter reading.
"""

from __future__ import annotations

from readiness.foam.air import OutOfRangeError

LOWEST_C = -10.0
HIGHEST_C = 60.0
_TOLERANCE_PERCENT = 1e-6


def equilibrium_moisture_percent(air_c: float, relative_humidity_percent: float) -> float:
    """Return the moisture content wood tends to, in percent of its dry weight.

    Raises:
        OutOfRangeError: The air is outside -10 to 60 C, or the humidity outside 0 to 100 %.

    Source: USDA Forest Products Laboratory, Simpson 1998 (FPL-RN-0268), after Hailwood and
    Horrobin 1946; as coded in a public repository.
    """
    if not LOWEST_C <= air_c <= HIGHEST_C:
        raise OutOfRangeError("temperature in C", air_c, LOWEST_C, HIGHEST_C)
    if not 0 <= relative_humidity_percent <= 100:  # noqa: PLR2004  percent
        raise OutOfRangeError("relative humidity in %", relative_humidity_percent, 0, 100)
    humidity = relative_humidity_percent / 100
    weight = 349 + 1.29 * air_c + 0.0135 * air_c**2
    k = 0.805 + 0.000736 * air_c - 0.00000273 * air_c**2
    k1 = 6.27 - 0.00938 * air_c - 0.000303 * air_c**2
    k2 = 1.91 + 0.0407 * air_c - 0.000293 * air_c**2
    kh = k * humidity
    bound = (k1 * kh + 2 * k1 * k2 * kh**2) / (1 + k1 * kh + k1 * k2 * kh**2)
    return 1800 / weight * (kh / (1 - kh) + bound)


def drying_humidity_percent(air_c: float, moisture_percent: float) -> float:
    """Return the humidity above which wood in this air can't dry below a moisture content.

    100 means that it can always dry so far.

    Raises:
        OutOfRangeError: The air is outside the range of the equation.
    """
    low, high = 0.0, 100.0
    if equilibrium_moisture_percent(air_c, high) <= moisture_percent:
        return high
    while high - low > _TOLERANCE_PERCENT:
        middle = (low + high) / 2
        if equilibrium_moisture_percent(air_c, middle) < moisture_percent:
            low = middle
        else:
            high = middle
    return (low + high) / 2
