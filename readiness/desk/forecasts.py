"""Finds the hourly forecast of a job: the file that was named, else one that lies beside the job.

Invariant: a file that can't be used is told with its problems and never taken in part.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from readiness.desk.files import bytes_of

if TYPE_CHECKING:
    from zoneinfo import ZoneInfo

    from readiness.foam.hours import Forecast

NAMES = ("forecast.csv", "forecast.json")
"""What a forecast is called that lies beside a job file; the first that is there is taken."""


def beside(job_file: Path) -> tuple[Path, ...]:
    """Return where the forecast of a job may lie, whether or not it is there."""
    return tuple(job_file.parent / name for name in NAMES)


def forecast_of(file: Path, zone: ZoneInfo) -> Forecast:
    """Return the hours of a forecast file, its times without a zone read in that of the site.

    Raises:
        JobFileError: It can't be read, or something in it can't; all problems at once.
    """
    from readiness.exchange.hourly_forecast import read_forecast

    return read_forecast(bytes_of(file, "forecast"), file.name, zone)
