"""Moments as people read them: weekday, day, month, time; the year only where it is another one.

Invariant: a moment is told in the zone it carries, and never without its weekday.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import datetime


def told(moment: datetime, year: int | None = None) -> str:
    """Return `Mon 11 May 07:00`, with the year unless it is the one given."""
    its_year = "" if moment.year == year else f" {moment.year}"
    return f"{moment:%a} {moment.day} {moment:%b}{its_year} {moment:%H:%M}"


def day_told(moment: datetime, year: int | None = None) -> str:
    """Return `Mon 11 May`, with the year unless it is the one given."""
    its_year = "" if moment.year == year else f" {moment.year}"
    return f"{moment:%a} {moment.day} {moment:%b}{its_year}"


def both_instants(as_of: datetime, on: datetime, time_zone: str, gate: str) -> str:
    """Return the line that every answer starts with: what was known when, asked about when."""
    year = on.year
    return f"as of {told(as_of, year)}, asked about {told(on)} ({time_zone}); gate: {gate}"
