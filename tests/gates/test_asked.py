"""Which trip, arrival and gate a question means: the two instants decide."""

from __future__ import annotations

from datetime import date, datetime

import pytest

from readiness.facts.vocabulary import Gate
from readiness.gates.asked import asked_gate, asked_instant, asked_trip
from tests.builders import ROOMS, asked, told

TWO = (
    '[trips]\nfirst = { booked = 2026-05-06T09:00:00, surfaces = ["bath"]%s }\n'
    'second = { booked = 2026-05-11, surfaces = ["kitchen"] }\n'
)
HERE = ", arrived = 2026-05-06T08:40:00"
OUT = HERE + (
    ", last_foam = 2026-05-06T12:00:00, cleaned = 2026-05-06T13:00:00, "
    'released = 2026-05-07T14:00:00, released_by = "Lee"'
)
TABLE = [
    # news of the first trip, as_of, on, trip, instant, gate
    ("", "2026-05-04 06:30", None, "first", "2026-05-06 09:00", Gate.PROMISE),
    ("", "2026-05-05 23:00", None, "first", "2026-05-06 09:00", Gate.PROMISE),
    ("", "2026-05-06 06:30", None, "first", "2026-05-06 09:00", Gate.ROLL),
    ("", "2026-05-06 09:30", None, "first", "2026-05-06 09:00", Gate.GUN),
    ("", "2026-05-07 06:30", None, "second", "2026-05-11 07:00", Gate.PROMISE),
    ("", "2026-05-12 06:30", None, "first", "2026-05-12 06:30", Gate.GUN),
    (HERE, "2026-05-06 08:50", None, "first", "2026-05-06 08:50", Gate.GUN),
    (HERE, "2026-05-07 08:50", None, "first", "2026-05-07 08:50", Gate.GUN),
    (OUT, "2026-05-08 06:30", None, "second", "2026-05-11 07:00", Gate.PROMISE),
    ("", "2026-05-04 06:30", date(2026, 5, 11), "second", "2026-05-11 07:00", Gate.PROMISE),
    ("", "2026-05-04 06:30", date(2026, 5, 8), "first", "2026-05-08 07:00", Gate.PROMISE),
    ("", "2026-05-04 06:30", date(2026, 5, 9), "first", "2026-05-09 00:00", Gate.PROMISE),
    ("", "2026-05-06 06:30", date(2026, 5, 6), "first", "2026-05-06 09:00", Gate.ROLL),
    (HERE, "2026-05-06 10:00", date(2026, 5, 6), "first", "2026-05-06 10:00", Gate.GUN),
    ("", "2026-05-06 06:30", date(2026, 5, 5), "first", "2026-05-05 07:00", Gate.GUN),
    (
        "",
        "2026-05-04 06:30",
        datetime.fromisoformat("2026-05-11T13:00"),
        "second",
        "2026-05-11 13:00",
        Gate.PROMISE,
    ),
]


@pytest.mark.parametrize(("news", "as_of", "on", "trip", "instant", "gate"), TABLE)
def test_a_question_means_one_trip_one_arrival_and_one_gate(
    news: str, as_of: str, on: date | None, *, trip: str, instant: str, gate: Gate
) -> None:
    outlook = asked(ROOMS + TWO % news, as_of).outlook
    found = asked_trip(outlook, on)
    assert found == trip
    arrival = asked_instant(outlook, on, found)
    assert told(arrival) == instant
    assert asked_gate(outlook, arrival, found) is gate


def test_a_trip_nobody_has_booked_is_asked_whether_it_may_be_promised() -> None:
    outlook = asked(ROOMS + '[trips]\nfirst = { lasts = "1 d" }\n').outlook
    assert asked_trip(outlook, None) == "first"
    now = asked_instant(outlook, None, "first")
    assert told(now) == "2026-05-04 06:30"
    assert asked_gate(outlook, now, "first") is Gate.PROMISE


def test_without_any_trip_the_surfaces_still_need_one() -> None:
    outlook = asked(ROOMS).outlook
    assert list(outlook.site.trips) == ["not-planned"]
    assert asked_trip(outlook, None) == "not-planned"
    assert not outlook.site.trips["not-planned"].planned
