"""Makes the pages of what people write as text: quantities, and dates in plain words.

Invariant: every example is read by the program while the page is made, and what it says is shown.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, timedelta
from typing import Any

from readiness.job.bookings import Booking
from readiness.job.days_off import DaysOff
from readiness.job.foam_quantities import BoardFeet, Density, Permeance, Resistance, SprayRate
from readiness.job.hours import Hours
from readiness.job.quantities import (
    Area,
    Duration,
    Length,
    Share,
    Temperature,
    TemperatureDifference,
)
from readiness.job.weekdays import day_text
from readiness.job.words import understand
from readiness.job.written import FromText, MisreadError
from tests.docs.sheets import page, table

TUESDAY = datetime(2026, 5, 5, 6, 30)  # noqa: DTZ001  wall clock
MAY, LAST_OF_MAY = date(2026, 5, 1), date(2026, 5, 31)
UNDERSTOOD = (
    "today",
    "tomorrow",
    "thursday",
    "thu 7 may",
    "7 may 09:00",
    "thursday 7:30 am",
    "thursday noon",
    "in 3 working days",
    "in 4 calendar days",
    "in 2 weeks",
    "2026-05-07",
    "2026-05-07 09:00",
    "25/5",
)
REFUSED = ("next thursday", "5/4/2026", "in 4 days", "fri 7 may", "1 feb", "soon")

SECTIONS: tuple[tuple[str, type[FromText], str, tuple[str, ...], tuple[str, ...]], ...] = (
    (
        "Durations",
        Duration,
        "`d`, `h` and `min` are working time; `elapsed` and `cal d` run day and night.",
        ("1.5 h", "2 d 4 h", "1/2 d"),
        ("3 days", "3", "2 weeks", "1 d elapsed"),
    ),
    (
        "Lengths",
        Length,
        "`2x6` is the real depth of such a board, as it is dressed.",
        ('3-1/2"', "76 mm", "1.2 m"),
        ("5,5 in", "6", "2x5"),
    ),
    (
        "Areas",
        Area,
        "Net is without windows and doors, gross with them; foam is counted on what is written.",
        ("120 sf", "10.5 sq m gross"),
        ("120", "1,200 sq ft"),
    ),
    ("Temperatures", Temperature, "F or C, with or without the small circle.", (), ("62",)),
    (
        "Differences of temperatures",
        TemperatureDifference,
        "A difference converts without the 32: 5 F of difference are less than 3 C.",
        (),
        ("5",),
    ),
    ("Shares", Share, "For moisture, humidity, and how far work is.", (), ("0.6", "120 %")),
    (
        "Thermal resistances",
        Resistance,
        "R in hours, square feet and degrees F per Btu, RSI in m2 K/W.",
        (),
        ("20", "R-0"),
    ),
    (
        "Permeances",
        Permeance,
        "US perms, or nanograms for each pascal, second and square metre.",
        (),
        ("0.9",),
    ),
    ("Densities", Density, "As the foam stands in place.", (), ("2 lb",)),
    (
        "Board feet",
        BoardFeet,
        "One square foot, one inch deep.",
        (),
        ("4200", "4,200 bd ft"),
    ),
    (
        "Rates of spraying",
        SprayRate,
        "For an hour at the gun, not for a day with its set-up and trimming.",
        (),
        ("4000 bd ft/d",),
    ),
    (
        "Weekly hours",
        Hours,
        "Days first, then one or more spans of the day, counted to 24.",
        (),
        ("Mon-Fri 7-3:30 pm", "07:00-15:30", "Mon-Fri 22:00-06:00"),
    ),
    (
        "Bookings",
        Booking,
        "A day alone is read to the disadvantage of readiness: done at the end of the shift.",
        (),
        ("5/4/2026",),
    ),
    (
        "Days off",
        DaysOff,
        "A day, a span of days, or a rule of RFC 5545 for whole days.",
        (),
        ("every Friday",),
    ),
)
"""Title, kind, what to know, further examples, and what is refused."""

LEAD = """Quantities are text with their unit, as people say them.
A number without a unit is refused, because two readings of it cost a wall.
Curly quotes, primes, long dashes, narrow spaces and printed fractions are taken for the signs of \
a keyboard."""


def quantities() -> str:
    """Return the page of quantities, hours, bookings and days off."""
    lines: list[str] = []
    for title, kind, note, more, refused in SECTIONS:
        lines += [f"## {title}", "", note, ""]
        lines += table(("written", "read as"), _read(kind, (*kind.examples, *more)))
        lines += ["", *table(("refused", "with the hint"), _refusals(kind, refused)), ""]
    return page("Quantities and other written values", LEAD, lines)


def _read(kind: type[FromText], texts: tuple[str, ...]) -> Iterator[tuple[str, str]]:
    for text in texts:
        value = kind.parse(text)
        yield f"`{text}`", meaning_of(value)


def meaning_of(value: Any) -> str:  # noqa: ANN401  any written value
    """Return what a written value was read as, in both systems of units."""
    if isinstance(
        value,
        Length | Area | Temperature | TemperatureDifference | Resistance | Permeance | Density,
    ):
        return f"{value.in_units('US')}, {value.in_units('metric')}"
    if isinstance(value, Duration):
        return _duration(value)
    if isinstance(value, BoardFeet):
        return f"{float(value.board_feet) / 12:g} cubic feet of foam"
    if isinstance(value, SprayRate):
        return f"{float(value.board_feet_per_hour):g} bd ft in an hour at the gun"
    if isinstance(value, Share):
        return f"{float(value.percent):g} of a hundred"
    if isinstance(value, Hours):
        return f"a usual day has {value.day_minutes() / 60:g} hours"
    if isinstance(value, DaysOff):
        days = sorted(value.covers(MAY, LAST_OF_MAY))
        return "in May 2026: " + ", ".join(str(day.day) for day in days)
    assert isinstance(value, Booking)
    return _booking(value)


def _duration(value: Duration) -> str:
    """Return days and hours in words."""
    hours = f"{float(value.exact_minutes) / 60:g} hours" if value.exact_minutes else ""
    if value.clock:
        return f"{hours} on the clock"
    days = f"{float(value.days):g} working days" if value.days else ""
    return " and ".join(part for part in (days, f"{hours} of work" if hours else "") if part)


def _booking(value: Booking) -> str:
    """Return a booking in words."""
    if value.first is None:
        return f"any time until {day_text(value.last)}"
    if value.first != value.last:
        return f"{day_text(value.first)} to {day_text(value.last)}"
    half = f", the {value.half}" if value.half else ""
    at = f", from {value.at:%H:%M}" if value.at else ""
    return f"{day_text(value.last)}{half}{at}"


def _refusals(kind: type[FromText], texts: tuple[str, ...]) -> Iterator[tuple[str, str]]:
    for text in texts:
        yield f"`{text}`", refusal_of(kind, text)


def refusal_of(kind: type[FromText], text: str) -> str:
    """Return the hint with which a text is refused; what is read all the same is an error."""
    try:
        kind.parse(text)
    except MisreadError as error:
        return error.hint or f"wanted: {error.wanted}"
    message = f"{text!r} is not refused"
    raise AssertionError(message)


def date_words() -> str:
    """Return the page of dates in plain words."""
    lines = list(table(("typed", "understood as"), ((f"`{w}`", _day(w)) for w in UNDERSTOOD)))
    lines += ["", "## What is refused", "", "Nothing is guessed.", ""]
    lines += table(("typed", "told"), ((f"`{words}`", _no_day(words)) for words in REFUSED))
    return page(
        "Dates in plain words",
        "`--on`, `--as-of`, `--seen`, and days in lines for the diary, take the words that people "
        "use.\nThe answer always says which day was understood.\n"
        "Typed on Tuesday 5 May 2026 at 06:30, at a site that works from Monday to Friday:",
        lines,
    )


def _day(words: str) -> str:
    return str(understand(words, TUESDAY, _working_day))


def _no_day(words: str) -> str:
    try:
        understood = understand(words, TUESDAY, _working_day)
    except MisreadError as error:
        return error.hint or f"wanted: {error.wanted}"
    message = f"{words!r} is understood as {understood}"
    raise AssertionError(message)


def _working_day(first: date, count: int) -> date:
    """Return the n-th day from Monday to Friday after a day."""
    day = first
    while count:
        day += timedelta(days=1)
        count -= day.weekday() < SATURDAY
    return day


SATURDAY = 5
