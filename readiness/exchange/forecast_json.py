"""Reads the open JSON shape in which a national weather service gives its hourly forecast.

GeoJSON: `properties.periods[]` with `startTime`, `temperature` and `temperatureUnit`, `dewpoint`,
`relativeHumidity` and `probabilityOfPrecipitation` as value and `unitCode`, `windSpeed` in words.

Invariant: only periods of one hour are taken; half days are another forecast.
"""

from __future__ import annotations

import json
import math
import re
from datetime import UTC, datetime, timedelta
from typing import Any

from readiness.exchange.forecast_rows import HourPlace, HourRow, Reader, celsius_of
from readiness.foam.conditions import MPH_PER_KMH, MPH_PER_M_S

DEGREES = {"degC": "C", "degF": "F", "C": "C", "F": "F"}
MPH_PER = {"mph": 1.0, "km/h": MPH_PER_KMH, "m/s": MPH_PER_M_S}
SPEEDS = {"km_h-1": "km/h", "m_s-1": "m/s", "mi_h-1": "mph"}
WIND = re.compile(r"(?:([0-9.]+) to )?([0-9.]+) (mph|km/h|m/s)")
SHAPE = 'the hourly forecast: {"properties": {"periods": [...]}}'


def json_rows(text: str, reader: Reader) -> list[HourRow]:
    """Return the hours of a forecast; what is wrong with it is told to the reader."""
    periods = _periods(text, reader)
    rows = []
    units: set[str] = set()
    for number, period in enumerate(periods):
        key = f"properties.periods[{number}]"
        if not isinstance(period, dict):
            reader.tell(None, key, "no period", wanted="an object with startTime and temperature")
            continue
        row = _Period(period, key, reader).row()
        units.add(str(period.get("temperatureUnit", "")))
        if row is not None:
            rows.append(row)
    if len(units) > 1:
        told = " and ".join(sorted(units))
        reader.tell(None, "properties.periods", f"temperatures are in two units: {told}")
    return rows


def _periods(text: str, reader: Reader) -> list[Any]:
    try:
        found = json.loads(text)
    except json.JSONDecodeError as error:
        reader.tell(error.lineno, "", f"no JSON ({error.msg.lower()})", wanted=SHAPE)
        return []
    except (RecursionError, ValueError):
        reader.tell(None, "", "no JSON that a forecast has", wanted=SHAPE)
        return []
    for step in ("properties", "periods"):
        found = found.get(step) if isinstance(found, dict) else None
    if not isinstance(found, list) or not found:
        reader.tell(None, "properties.periods", "there are no periods", wanted=SHAPE)
        return []
    return found


class _Period:
    """One period while it is read."""

    def __init__(self, period: dict[str, Any], key: str, reader: Reader) -> None:
        self.period, self.key, self.reader = period, key, reader

    def row(self) -> HourRow | None:
        """Return the hour, or None after telling that it has no time."""
        written = str(self.period.get("startTime", ""))
        key, reader = self.key, self.reader
        at = reader.moment(written, None, f"{key}.startTime", reader.zone)
        if at is None or not self._lasts_an_hour(written):
            return None
        air = reader.air(self._temperature(), None, f"{key}.temperature")
        dew = reader.air(self._degrees("dewpoint"), None, f"{key}.dewpoint")
        given = reader.humidity(self._percent("relativeHumidity"), None, f"{key}.relativeHumidity")
        rain = self._percent("probabilityOfPrecipitation")
        return HourRow(
            line=None,
            key=key,
            written=written,
            at=at,
            air_c=air,
            humidity_percent=reader.humidity_of(air, dew, given, HourPlace(None, key)),
            wind_mph=reader.wind(self._wind(), None, f"{key}.windSpeed"),
            rain_percent=reader.percent(rain, None, f"{key}.probabilityOfPrecipitation"),
        )

    def _lasts_an_hour(self, written: str) -> bool:
        ends = self.period.get("endTime")
        if ends is None:
            return True
        try:
            start, end = datetime.fromisoformat(written), datetime.fromisoformat(str(ends))
            lasts = end.astimezone(UTC) - start.astimezone(UTC)
        except (ValueError, OverflowError):
            self._tell("endTime", "no time of a forecast", wanted="a time: 2026-06-09T07:00")
            return False
        if lasts != timedelta(hours=1):
            self._tell("", f"the period lasts {lasts}", wanted="the hourly forecast")
            return False
        return True

    def _temperature(self) -> float | None:
        value = self.period.get("temperature")
        if isinstance(value, dict):
            return self._degrees("temperature")
        return self._in_celsius("temperature", value, str(self.period.get("temperatureUnit", "")))

    def _degrees(self, name: str) -> float | None:
        value, unit = self._value_and_unit(name)
        return self._in_celsius(name, value, unit)

    def _in_celsius(self, name: str, value: object, unit: str) -> float | None:
        number = self._number(name, value)
        if number is None:
            return None
        if unit not in DEGREES:
            self._tell(name, f"the unit {unit!r} is none of a temperature", wanted="F or C")
            return None
        return celsius_of(number, DEGREES[unit])

    def _percent(self, name: str) -> float | None:
        value, unit = self._value_and_unit(name)
        if value is not None and unit not in {"", "percent"}:
            self._tell(name, f"the unit {unit!r} is none of a share", wanted="percent")
            return None
        return self._number(name, value)

    def _value_and_unit(self, name: str) -> tuple[object, str]:
        found = self.period.get(name)
        if found is None:
            return None, ""
        if not isinstance(found, dict):
            self._tell(name, "no value with a unit", wanted='{"unitCode": ..., "value": ...}')
            return None, ""
        return found.get("value"), str(found.get("unitCode", "")).rpartition(":")[2]

    def _number(self, name: str, value: object) -> float | None:
        if value is None:
            return None
        if isinstance(value, bool) or not isinstance(value, int | float):
            self._tell(name, "no number")
            return None
        try:
            number = float(value)
        except OverflowError:
            number = math.inf
        if not math.isfinite(number):
            self._tell(name, "no number")
            return None
        return number

    def _wind(self) -> float | None:
        """Return the strongest wind of the hour, however it is written."""
        found = self.period.get("windSpeed")
        if found is None or found == "":
            return None
        if isinstance(found, dict):
            value, unit = self._value_and_unit("windSpeed")
            number = self._number("windSpeed", found.get("maxValue") or value)
            if number is None:
                return None
            if unit in SPEEDS:
                return number * MPH_PER[SPEEDS[unit]]
            self._tell("windSpeed", f"the unit {unit!r} is none of a wind", wanted="km_h-1")
            return None
        match = WIND.fullmatch(str(found))
        if match is None:
            self._tell("windSpeed", "no wind", wanted="a wind: 5 to 10 mph")
            return None
        return float(match[2]) * MPH_PER[match[3]]

    def _tell(self, name: str, what: str, *, wanted: str = "") -> None:
        key = f"{self.key}.{name}" if name else self.key
        self.reader.tell(None, key, what, wanted=wanted)
