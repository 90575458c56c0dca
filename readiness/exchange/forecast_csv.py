"""Reads our own table of hours: a header that says each unit, then one line for each hour.

Columns: `time` (or `time UTC`, or `time` with the zone of the site), `air F` or `air C`, and
`humidity %` or `dew point` in the unit of the air; if known `wind mph`, `wind km/h` or `wind m/s`
and `rain %`, the chance of it. A line that begins with `#` is a remark.

Invariant: a column that is not known is refused, because what it holds would be dropped unseen.
"""

from __future__ import annotations

import csv
import re
from dataclasses import dataclass, replace
from datetime import datetime
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from readiness.exchange.forecast_rows import HourPlace, HourRow, Reader, celsius_of
from readiness.foam.conditions import MPH_PER_KMH, MPH_PER_M_S
from readiness.job.instants import instant_of
from readiness.job.problems import did_you_mean

if TYPE_CHECKING:
    from collections.abc import Mapping

HEADER = re.compile(r"(time|air|humidity|dew point|wind|rain)(?: \(?°?([^()]+?)\)?)?")
UNITS = {
    "air": ("F", "C"),
    "humidity": ("%",),
    "dew point": ("F", "C"),
    "wind": ("mph", "km/h", "m/s"),
    "rain": ("%",),
}
MPH_PER = {"mph": 1.0, "km/h": MPH_PER_KMH, "m/s": MPH_PER_M_S}
NUMBER = re.compile(r"[+-]?[0-9]+(?:\.[0-9]+)?")
KNOWN = ("time", *(f"{name} {unit}" for name, units in UNITS.items() for unit in units))


@dataclass(frozen=True, slots=True)
class Header:
    """What stands in which column, in which unit."""

    columns: Mapping[str, int]
    units: Mapping[str, str]
    zone: ZoneInfo


def csv_rows(text: str, reader: Reader) -> list[HourRow]:
    """Return the hours of a table; what is wrong with it is told to the reader."""
    lines = [
        (number, line)
        for number, line in enumerate(text.splitlines(), 1)
        if line.strip() and not line.lstrip().startswith("#")
    ]
    if not lines:
        reader.tell(None, "", "the file is empty", wanted="a header and one line for each hour")
        return []
    first, head = lines[0]
    separator = next((sign for sign in (";", "\t") if sign in head), ",")
    header = _header(_cells(head, separator), first, reader)
    if header is None:
        return []
    rows: list[HourRow] = []
    for number, line in lines[1:]:
        cells = _cells(line, separator)
        if len(cells) != len(header.columns):
            wanted = f"{len(header.columns)} as in the header"
            reader.tell(number, "", f"{len(cells)} values", wanted=wanted)
            continue
        row = _row(cells, number, header, reader)
        if row is not None:
            rows.append(_second_of_two(row, rows, header.zone))
    return rows


def _cells(line: str, separator: str) -> list[str]:
    try:
        return [cell.strip() for cell in next(csv.reader([line], delimiter=separator))]
    except (csv.Error, StopIteration):
        return [line]


def _header(cells: list[str], line: int, reader: Reader) -> Header | None:
    columns: dict[str, int] = {}
    units: dict[str, str] = {}
    for place, cell in enumerate(cells):
        match = HEADER.fullmatch(" ".join(cell.split()))
        name, unit = (match[1], match[2] or "") if match else ("", "")
        if not name or (name in UNITS and unit not in UNITS[name]):
            hint = did_you_mean(cell, KNOWN) or f"columns are {', '.join(KNOWN)}"
            reader.tell(line, "", "no column of a forecast", read=cell, hint=hint)
        elif name in columns:
            reader.tell(line, "", f"{name} is there twice; are the units mixed?", read=cell)
        else:
            columns[name], units[name] = place, unit
    if reader.problems:
        return None
    if "time" not in columns or "air" not in columns:
        reader.tell(line, "", "time or air is missing", wanted="a header: time, air F, humidity %")
    elif not {"humidity", "dew point"} & columns.keys():
        reader.tell(line, "", "humidity is missing", wanted="a column: humidity % or dew point")
    elif units.get("dew point", units["air"]) != units["air"]:
        reader.tell(line, "", "air and dew point are in two units", hint="write both in one")
    zone = _zone(units.get("time", ""), line, reader)
    return None if reader.problems else Header(columns, units, zone)


def _zone(named: str, line: int, reader: Reader) -> ZoneInfo:
    """Return the zone of times without one of their own; another one than the site's is told."""
    if named == "UTC":
        return ZoneInfo("UTC")
    if named not in {"", reader.zone.key}:
        hint = "is it the forecast of another place?"
        reader.tell(line, "time", f"the site lies in {reader.zone.key}", read=named, hint=hint)
    return reader.zone


def _row(cells: list[str], line: int, header: Header, reader: Reader) -> HourRow | None:
    def number(name: str) -> float | None:
        if name not in header.columns:
            return None
        written = cells[header.columns[name]]
        if not written:
            return None
        if NUMBER.fullmatch(written) is None:
            hint = f"the header says the unit, {header.units[name]}; write the number alone"
            reader.tell(line, name, "no number", read=written, hint=hint)
            return None
        return float(written)

    def celsius(name: str) -> float | None:
        value = number(name)
        return None if value is None else celsius_of(value, header.units[name])

    written = cells[header.columns["time"]]
    at = reader.moment(written, line, "time", header.zone)
    air = reader.air(celsius("air"), line, "air")
    dew = reader.air(celsius("dew point"), line, "dew point")
    humidity = reader.humidity(number("humidity"), line, "humidity")
    wind = number("wind")
    return (
        None
        if at is None
        else HourRow(
            line=line,
            key="",
            written=written,
            at=at,
            air_c=air,
            humidity_percent=reader.humidity_of(air, dew, humidity, HourPlace(line, "")),
            wind_mph=reader.wind(
                None if wind is None else wind * MPH_PER[header.units["wind"]], line, "wind"
            ),
            rain_percent=reader.percent(number("rain"), line, "rain"),
        )
    )


def _second_of_two(row: HourRow, before: list[HourRow], zone: ZoneInfo) -> HourRow:
    """Return the second of two equal hours of the autumn night an hour later, as it was."""
    if not before or before[-1].at != row.at or datetime.fromisoformat(row.written).tzinfo:
        return row
    later = instant_of(datetime.fromisoformat(row.written).replace(tzinfo=zone, fold=1))
    return replace(row, at=later)
