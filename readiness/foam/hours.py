"""The hours of a forecast, in one set of units, with what is missing told apart.

Invariant: an hour that was not in the file is a gap; no value is ever filled in.
"""

from __future__ import annotations

from dataclasses import dataclass

HOUR_MINUTES = 60


@dataclass(frozen=True, slots=True)
class Hour:
    """The air outdoors from one full hour to the next."""

    at: int
    """The instant it begins at."""
    air_c: float
    humidity_percent: float
    wind_mph: float | None = None
    rain_percent: float | None = None
    """Chance of rain or snow."""


@dataclass(frozen=True, slots=True)
class Gap:
    """Hours between the first and the last that the file says nothing usable of."""

    first: int
    until: int
    why: str


@dataclass(frozen=True, slots=True)
class Forecast:
    """Hours in their order and the gaps between them."""

    name: str
    """The file, as it was called."""
    hours: tuple[Hour, ...]
    gaps: tuple[Gap, ...]

    @property
    def ends(self) -> int:
        """Return the instant at which the last hour ends."""
        return self.hours[-1].at + HOUR_MINUTES

    def within(self, first: int, until: int) -> tuple[Hour, ...]:
        """Return the hours that lie whole in a span."""
        return tuple(
            hour for hour in self.hours if first <= hour.at and hour.at + HOUR_MINUTES <= until
        )


def known_span(forecast: Forecast, since: int) -> tuple[int, int] | None:
    """Return from and until when the hours go on without a gap, the first such span not yet over.

    None if nothing is known of the instant or later.
    """
    first: int | None = None
    until = since
    for hour in forecast.hours:
        if hour.at + HOUR_MINUTES <= since:
            continue
        if first is None:
            first = max(hour.at, since)
        elif hour.at != until:
            break
        until = hour.at + HOUR_MINUTES
    return None if first is None else (first, until)
