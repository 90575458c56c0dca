"""What goes before and what follows, in few words."""

from __future__ import annotations

from readiness.telling.neighbours import Neighbours, shortened, trip_words
from tests.builders import ROOMS, Asked, asked, facts, work

TABLES = facts(
    work={
        "first": work(title="Do the first"),
        "second": work(title="Do the second", starts_after=[{"end_of": "first"}]),
        "lining": work(title="Line", touches=[{"order": "after"}]),
    }
)
TEXT = (
    ROOMS
    + """
[work]
first = {}
second = {}
lining = {}

[trips]
early = { name = "the Monday trip", booked = 2026-05-11T07:00:00 }
"""
)


def job(extra: str = "") -> Asked:
    return asked(TEXT.replace("first = {}", f"first = {{ {extra} }}"), tables=TABLES)


def test_neighbours_are_told_once_with_their_trade() -> None:
    found = job()
    near = Neighbours(found.case)
    tasks = [found.task("second@bath"), found.task("second@kitchen")]
    assert near.before(tasks) == ("Do the first (electrician)",)
    assert near.after(tasks) == ("the foam, the Monday trip",)


def test_what_is_finished_is_left_out() -> None:
    found = job("done = true")
    assert Neighbours(found.case).before([found.task("second@bath")]) == ()


def test_steps_that_nobody_does_are_passed_through() -> None:
    """The lining waits for the release, not for the keep-out or a milestone."""
    found = job()
    assert Neighbours(found.case).before([found.task("lining@bath")]) == (
        "the release after the foam, the Monday trip",
    )


def test_many_names_are_counted() -> None:
    assert shortened(tuple("abcdef")) == tuple("abcdef")
    assert shortened(tuple("abcdefgh")) == (*"abcde", "and 3 more")


def test_a_trip_without_a_name_is_told_by_its_id() -> None:
    plain = asked(ROOMS + "[trips]\nfirst = { booked = 2026-05-11 }\n", tables=TABLES)
    assert trip_words(plain.case, "first") == "first trip"
    assert trip_words(job().case, "early") == "the Monday trip"
