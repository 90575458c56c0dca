"""Dew and frost point of air, and how far a surface stands above it.

Printed charts read low, on the unsafe side; so the saturation equations are solved instead. Below
freezing frost forms on a surface before dew would, so there the frost point counts.

Invariant: a value outside the range of the equations is refused, never extrapolated.
"""

from __future__ import annotations

import math

TRIPLE_POINT_C = 0.01
"""Ice below it, water above it; switching at 0 C would leave a step that no search gets over."""

LOWEST_C = -60.0
HIGHEST_C = 80.0
_ICE_POINT_KELVIN = 273.15
_TOLERANCE_K = 1e-6


class OutOfRangeError(ValueError):
    """A reading that no air on a building site can have."""

    def __init__(self, what: str, value: float, low: float, high: float) -> None:
        """Keep what was read and the range it must lie in."""
        self.what = what
        self.value = value
        super().__init__(f"{what} {value:g} is outside {low:g} to {high:g}")


def saturation_pressure_pa(temperature_c: float) -> float:
    """Return the vapor pressure over ice or water at saturation.

    Raises:
        OutOfRangeError: The temperature is outside -60 to 80 C.

    Source: ASHRAE Handbook Fundamentals 2017, chapter 1, equations 5 (ice) and 6 (water).
    """
    if not LOWEST_C <= temperature_c <= HIGHEST_C:
        raise OutOfRangeError("temperature in C", temperature_c, LOWEST_C, HIGHEST_C)
    return math.exp(_log_pressure(temperature_c))


def _log_pressure(temperature_c: float) -> float:
    kelvin = temperature_c + _ICE_POINT_KELVIN
    if temperature_c < TRIPLE_POINT_C:
        return (
            -5.6745359e3 / kelvin
            + 6.3925247
            - 9.677843e-3 * kelvin
            + 6.2215701e-7 * kelvin**2
            + 2.0747825e-9 * kelvin**3
            - 9.484024e-13 * kelvin**4
            + 4.1635019 * math.log(kelvin)
        )
    return (
        -5.8002206e3 / kelvin
        + 1.3914993
        - 4.8640239e-2 * kelvin
        + 4.1764768e-5 * kelvin**2
        - 1.4452093e-8 * kelvin**3
        + 6.5459673 * math.log(kelvin)
    )


def condensation_point_c(air_c: float, relative_humidity_percent: float) -> float:
    """Return the temperature at which the air's moisture settles: dew, or frost below freezing.

    Raises:
        OutOfRangeError: The humidity is not above 0 and at most 100 %, or the air is outside the
            range of the equations.

    Source: ASHRAE Handbook Fundamentals 2017, chapter 1, equations 5 and 6, solved by halving.
    """
    if not 0 < relative_humidity_percent <= 100:  # noqa: PLR2004  percent
        raise OutOfRangeError("relative humidity in %", relative_humidity_percent, 0, 100)
    wanted = math.log(saturation_pressure_pa(air_c)) + math.log(relative_humidity_percent / 100)
    low, high = -150.0, air_c
    while high - low > _TOLERANCE_K:
        middle = (low + high) / 2
        if _log_pressure(middle) < wanted:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def spread_k(surface_c: float, air_c: float, relative_humidity_percent: float) -> float:
    """Return how far a surface is above the condensation point; negative means wet or frosted.

    Raises:
        OutOfRangeError: The air or its humidity is outside the range of the equations.
    """
    return surface_c - condensation_point_c(air_c, relative_humidity_percent)


def relative_humidity_percent(air_c: float, dew_point_c: float) -> float:
    """Return the relative humidity of air whose condensation point is known.

    Raises:
        OutOfRangeError: The dew point lies above the air temperature, or one is out of range.
    """
    if dew_point_c > air_c:
        raise OutOfRangeError("dew point in C", dew_point_c, LOWEST_C, air_c)
    ratio = saturation_pressure_pa(dew_point_c) / saturation_pressure_pa(air_c)
    return min(100.0, 100 * ratio)
