"""Moments as people read them: weekday, day, month, time; the year only where it is another one.

Invariant: a moment is told in the zone it carries, and never without its weekday.
"""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import datetime


QUARTER = 15
"""Minutes."""


def told(moment: datetime, year: int | None = None) -> str:
    """Return `Mon 11 May 07:00`, with the year unless it is the one given."""
    its_year = "" if moment.year == year else f" {moment.year}"
    return f"{moment:%a} {moment.day} {moment:%b}{its_year} {moment:%H:%M}"


def told_up(moment: datetime, year: int | None = None) -> str:
    """Return a moment by which something is done, up to the next quarter of an hour.

    What a room's share of a work comes to ends at odd minutes, and nobody on a site works to them.
    """
    past = timedelta(minutes=moment.minute % QUARTER, seconds=moment.second)
    return told(moment + (timedelta(minutes=QUARTER) - past if past else past), year)


def day_told(moment: datetime, year: int | None = None) -> str:
    """Return `Mon 11 May`, with the year unless it is the one given."""
    its_year = "" if moment.year == year else f" {moment.year}"
    return f"{moment:%a} {moment.day} {moment:%b}{its_year}"


def both_instants(as_of: datetime, on: datetime, time_zone: str, gate: str) -> str:
    """Return the line that every answer starts with: what was known when, asked about when."""
    year = on.year
    return f"as of {told(as_of, year)}, asked about {told(on)} ({time_zone}); gate: {gate}"
