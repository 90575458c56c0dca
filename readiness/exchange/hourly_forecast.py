"""Reads an hourly forecast from a file: our own CSV, or the open JSON shape of weather services.

Bytes in, hours out. What can't be read without guessing is refused with its line; what the file
leaves out stays a gap.

Invariant: hours come in their order, each once, and every one lies in the zone of the site.
"""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from readiness.exchange.forecast_csv import csv_rows
from readiness.exchange.forecast_json import json_rows
from readiness.exchange.forecast_rows import LONGEST_HOURS, HourRow, Reader
from readiness.foam.hours import HOUR_MINUTES, Forecast, Gap, Hour

if TYPE_CHECKING:
    from collections.abc import Iterable
    from zoneinfo import ZoneInfo

__all__ = ["LONGEST_HOURS", "read_forecast"]


def read_forecast(content: bytes, name: str, zone: ZoneInfo) -> Forecast:
    """Return the hours of a forecast file.

    Args:
        content: The file.
        name: What the file is called in problems.
        zone: Zone of the site; times without one of their own are read in it.

    Raises:
        ForecastError: Something in it can't be read, with every problem and its line.
    """
    reader = Reader(name, zone)
    text = reader.text(content)
    rows = json_rows(text, reader) if text.lstrip()[:1] in ("{", "[") else csv_rows(text, reader)
    reader.check()
    _check_order(rows, reader)
    reader.check()
    return _forecast(rows, reader)


def _check_order(rows: list[HourRow], reader: Reader) -> None:
    """Tell hours that come twice or earlier than the one before, and files that are no forecast."""
    if len(rows) > LONGEST_HOURS:
        days = len(rows) / 24
        reader.tell(
            None,
            "",
            f"{len(rows)} hours, or {days:.0f} days",
            wanted=f"a forecast of at most {LONGEST_HOURS // 24} days",
            hint="a record of the past is no forecast; cut the file",
        )
    for before, row in pairwise(rows):
        again = row.at < before.at and row.written == before.written
        if row.at == before.at or again:
            reader.tell(row.line, row.key, "this hour is there twice", read=row.written)
        elif row.at < before.at:
            reader.tell(
                row.line, row.key, "this hour is earlier than the one before", read=row.written
            )


def _forecast(rows: list[HourRow], reader: Reader) -> Forecast:
    hours = tuple(
        Hour(row.at, row.air_c, row.humidity_percent, row.wind_mph, row.rain_percent)
        for row in rows
        if row.air_c is not None and row.humidity_percent is not None
    )
    if not hours:
        reader.tell(None, "", "there is no hour with temperature and humidity in it")
        reader.check()
    return Forecast(reader.name, hours, tuple(_gaps(rows)))


def _gaps(rows: list[HourRow]) -> Iterable[Gap]:
    """Yield what the file leaves out between its first and its last hour."""
    for before, row in zip([None, *rows], rows, strict=False):
        if before is not None and row.at > before.at + HOUR_MINUTES:
            yield Gap(before.at + HOUR_MINUTES, row.at, "not in the file")
        lacking = " and ".join(
            what
            for what, value in (("temperature", row.air_c), ("humidity", row.humidity_percent))
            if value is None
        )
        if lacking:
            yield Gap(row.at, row.at + HOUR_MINUTES, f"no {lacking} in the file")
