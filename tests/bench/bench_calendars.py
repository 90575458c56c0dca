"""How long calendars take to read through the gate and to write, against the library itself.

Invariant: both read the same bytes, and both write the same ones.
"""

from __future__ import annotations

from datetime import UTC, datetime
from functools import cache
from zoneinfo import ZoneInfo

import icalendar
import pytest

from readiness.exchange.calendar_file import calendar_bytes
from readiness.exchange.ics_reading import Window, read_calendars
from readiness.questions.letters import LettersAnswer
from tests.bench.ratio import compare, fails_when_delayed
from tests.exchange.builders import answer, entry

pytestmark = pytest.mark.bench

READING_LIMIT = 1.3
READ_ENTRIES = 2_000
WRITING_LIMIT = 0.5
WRITTEN_ENTRIES = 10_000
WINDOW = Window(datetime(2026, 5, 1, tzinfo=UTC), datetime(2026, 7, 1, tzinfo=UTC), ZoneInfo("UTC"))


@cache
def many(count: int) -> LettersAnswer:
    return answer(*(entry(item=f"tub-{number}") for number in range(count)))


@cache
def content() -> bytes:
    made = many(READ_ENTRIES)
    return calendar_bytes(made.letters[0], made)


def read_by_gate() -> object:
    return read_calendars(content(), WINDOW)


def read_by_library() -> object:
    return icalendar.Calendar.from_ical(content())


def test_reading_through_the_gate() -> None:
    assert len(content()) < 5_000_000
    compare(
        "calendars read through the gate",
        read_by_gate,
        read_by_library,
        limit=READING_LIMIT,
        turns=3,
    ).check()


@cache
def components() -> icalendar.Calendar:
    """Return the calendar of the letter as the library holds it, ready to be written."""
    made = many(WRITTEN_ENTRIES)
    return icalendar.Calendar.from_ical(calendar_bytes(made.letters[0], made))


def write_from_letters() -> object:
    made = many(WRITTEN_ENTRIES)
    return calendar_bytes(made.letters[0], made)


def write_by_library() -> object:
    return components().to_ical(sorted=True)


def test_writing_from_letters_to_bytes() -> None:
    """Making the library's objects is part of it; the library only writes those it has."""
    components()
    compare(
        "calendars written",
        write_from_letters,
        write_by_library,
        limit=WRITING_LIMIT,
        turns=3,
    ).check()


def test_the_bench_of_writing_fails_when_it_is_slower() -> None:
    components()
    fails_when_delayed("calendars", write_from_letters, write_by_library, limit=WRITING_LIMIT)


def test_the_bench_of_reading_fails_when_it_is_slower() -> None:
    fails_when_delayed("calendars", read_by_gate, read_by_library, limit=READING_LIMIT)
