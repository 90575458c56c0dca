"""What the two shapes of a forecast file have in common: checks, units, problems with their line.

Invariant: a value is taken in the unit that is written beside it, or refused.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

from readiness.foam.air import relative_humidity_percent
from readiness.job.instants import instant_of
from readiness.job.problems import JobFileError, Problem

if TYPE_CHECKING:
    from zoneinfo import ZoneInfo

LONGEST_HOURS = 17 * 24
"""No service forecasts hours further than about sixteen days; the first day may have begun."""

MOST_PROBLEMS = 20
COLDEST_C = -60.0
HOTTEST_C = 60.0
FASTEST_MPH = 150.0
ROUNDING_K = 1.0
"""Temperatures rounded to whole degrees F may lie this far below their dew point."""
DISAGREE_K = 3.0
"""Dew points that differ by more are not two roundings of one air."""


class ForecastError(JobFileError):
    """A forecast file that can't be used, with its problems."""


@dataclass(frozen=True, slots=True)
class HourRow:
    """One hour as the file has it; None is what it leaves out."""

    line: int | None
    key: str
    written: str
    at: int
    air_c: float | None
    humidity_percent: float | None
    wind_mph: float | None
    rain_percent: float | None


@dataclass(slots=True)
class Reader:
    """Collects the problems of one file while it is read."""

    name: str
    zone: ZoneInfo
    problems: list[Problem] = field(default_factory=list)

    def tell(  # noqa: PLR0913  the fields of a problem
        self,
        line: int | None,
        key: str,
        what: str,
        *,
        read: str = "",
        wanted: str = "",
        hint: str = "",
    ) -> None:
        """Remember a problem."""
        if read and repr(read) not in what:
            what = f"{read!r}: {what}"
        self.problems.append(Problem(self.name, line, key, what, read, wanted, hint))

    def check(self) -> None:
        """Refuse the file if anything is wrong with it.

        Raises:
            ForecastError: Something is; the first problems and how many more there are.
        """
        if not self.problems:
            return
        shown = self.problems[:MOST_PROBLEMS]
        left = len(self.problems) - len(shown)
        if left:
            shown.append(Problem(self.name, None, "", f"and {left} more problems"))
        raise ForecastError(shown)

    def text(self, content: bytes) -> str:
        """Return the text of the file.

        Raises:
            ForecastError: It is no UTF-8 text.
        """
        try:
            return content.decode("utf-8-sig")
        except UnicodeDecodeError as error:
            line = content[: error.start].count(b"\n") + 1
            self.tell(line, "", "the file is no text", wanted="a file in UTF-8")
        self.check()
        return ""

    def moment(self, written: str, line: int | None, key: str, zone: ZoneInfo) -> int | None:
        """Return the instant of a full hour, or None after telling what is wrong with it."""
        try:
            moment = datetime.fromisoformat(written)
        except ValueError:
            self.tell(
                line, key, "no time of a forecast", read=written, wanted="a time: 2026-06-09T07:00"
            )
            return None
        if ":" not in written:
            self.tell(line, key, "the hour is missing", read=written, hint="write 2026-06-09T07:00")
            return None
        if moment.minute or moment.second or moment.microsecond:
            self.tell(line, key, "no full hour", read=written, wanted="hourly values")
            return None
        aware = moment if moment.tzinfo is not None else self._on_the_wall(moment, line, key, zone)
        return None if aware is None else self._in_zone(aware, written, line, key)

    def _on_the_wall(
        self, moment: datetime, line: int | None, key: str, zone: ZoneInfo
    ) -> datetime | None:
        """Return a time without a zone in the zone of the file; one that never was is told."""
        aware = moment.replace(tzinfo=zone)
        if aware.astimezone(UTC).astimezone(zone).replace(tzinfo=None) != moment:
            self.tell(line, key, "this hour is skipped by summer time", read=str(moment))
            return None
        return aware

    def _in_zone(self, moment: datetime, written: str, line: int | None, key: str) -> int | None:
        """Return the instant unless its offset is one that the site does not have then."""
        here = moment.astimezone(self.zone)
        if moment.utcoffset() not in (timedelta(0), here.utcoffset()):
            self.tell(
                line,
                key,
                f"its offset is none that {self.zone.key} has then ({here:%z})",
                read=written,
                hint="is it the forecast of another place?",
            )
            return None
        return instant_of(moment)

    def air(self, celsius: float | None, line: int | None, key: str) -> float | None:
        """Return a temperature that air on a site can have."""
        return self._between(
            celsius, COLDEST_C, HOTTEST_C, line, key, "C: no air on a site; is the unit right?"
        )

    def percent(
        self, value: float | None, line: int | None, key: str, *, least: float = 0.0
    ) -> float | None:
        """Return a percentage."""
        return self._between(value, least, 100.0, line, key, "%: no share of a hundred")

    def humidity(self, value: float | None, line: int | None, key: str) -> float | None:
        """Return a relative humidity; air without any water is an instrument that failed."""
        if value is not None and not 0 < value <= 100:  # noqa: PLR2004  percent
            self.tell(line, key, f"{value:g} %: no humidity of air", wanted="above 0 to 100 %")
            return None
        return value

    def wind(self, mph: float | None, line: int | None, key: str) -> float | None:
        """Return a wind that blows on a site where people work."""
        return self._between(mph, 0.0, FASTEST_MPH, line, key, "mph: no wind; is the unit right?")

    def _between(  # noqa: PLR0913, PLR0917  value, range, place and words
        self,
        value: float | None,
        low: float,
        high: float,
        line: int | None,
        key: str,
        what: str,
    ) -> float | None:
        if value is None or low <= value <= high:
            return value
        self.tell(line, key, f"{value:g} {what}", wanted=f"{low:g} to {high:g}")
        return None

    def humidity_of(
        self, air_c: float | None, dew_c: float | None, given: float | None, at: HourPlace
    ) -> float | None:
        """Return the humidity of an hour from what the file gives of it.

        Both a humidity and a dew point must be of the same air; a dew point above the air is one
        in another unit.
        """
        if air_c is None or dew_c is None:
            return given
        if dew_c > air_c + ROUNDING_K:
            self.tell(
                at.line,
                at.key,
                f"the dew point {dew_c:.1f} C lies above the air at {air_c:.1f} C",
                hint="are the units mixed?",
            )
            return None
        own = relative_humidity_percent(air_c, min(dew_c, air_c))
        if given is None:
            return own
        if abs(_dew_c(air_c, given) - dew_c) > DISAGREE_K:
            self.tell(
                at.line,
                at.key,
                f"humidity {given:g} % and dew point {dew_c:.1f} C are not of one air",
                hint="are the units mixed?",
            )
            return None
        return given


@dataclass(frozen=True, slots=True)
class HourPlace:
    """Where an hour stands in its file."""

    line: int | None
    key: str


def _dew_c(air_c: float, humidity_percent: float) -> float:
    from readiness.foam.air import condensation_point_c

    return condensation_point_c(air_c, humidity_percent)


def celsius_of(degrees: float, unit: str) -> float:
    """Return degrees in C."""
    return (degrees - 32) / 1.8 if unit == "F" else degrees
