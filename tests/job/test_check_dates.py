"""Dates in their order, zones, and nothing seen after the job's clock."""

from __future__ import annotations

import pytest

from tests.job.builders import checked, job_text, line_with, loaded


def one(text: str) -> str:
    (problem,) = checked(text)
    return f"{problem.key}: {problem.what}; {problem.hint}"


@pytest.mark.parametrize(
    ("zone", "words"),
    [
        ("America/NewYork", "did you mean America/New_York?"),
        ("Eastern", "did you mean US/Eastern?"),
        ("Home", "write it like America/New_York"),
        ("../../etc/passwd", "is no time zone"),
        ("/etc/localtime", "is no time zone"),
        ("", "is no time zone"),
        ("EST5EDT4", "is no time zone"),
    ],
)
def test_an_unknown_zone_is_told_with_the_nearest_known(zone: str, words: str) -> None:
    text = job_text().replace("America/New_York", zone)
    assert one(text).startswith("site.time_zone: ")
    assert words in one(text)


@pytest.mark.parametrize(
    ("table", "row", "key"),
    [
        ("work", "tub = { begun = 2026-05-02, done = 2026-05-01 }", "work.tub.done"),
        ("work", "tub = { not_before = 2026-06-02, not_after = 2026-06-01 }", "work.tub.not_after"),
        (
            "approvals",
            "gas-approval = { requested = 2026-05-01T09:00:00, slot = 2026-05-01T08:00:00 }",
            "approvals.gas-approval.slot",
        ),
        (
            "approvals",
            (
                'gas-approval = { requested = 2026-05-02T09:00:00, result = "passed", '
                "at = 2026-05-01 }"
            ),
            "approvals.gas-approval.at",
        ),
        (
            "obstructions",
            'thing-1 = { is = "tub", blocks = "kitchen", set = 2026-05-02, pull = 2026-05-01 }',
            "obstructions.thing-1.pull",
        ),
        (
            "obstructions",
            'thing-1 = { is = "tub", blocks = "kitchen", set = 2026-05-02, pulled = 2026-05-01 }',
            "obstructions.thing-1.pulled",
        ),
        (
            "obstructions",
            'thing-1 = { is = "tub", blocks = "kitchen", pull = 2026-05-09, reset = 2026-05-08 }',
            "obstructions.thing-1.reset",
        ),
        (
            "obstructions",
            'thing-1 = { is = "tub", blocks = "kitchen", pulled = 2026-05-03, reset = 2026-05-02 }',
            "obstructions.thing-1.reset",
        ),
        (
            "trips",
            "first = { arrived = 2026-05-02T07:00:00, last_foam = 2026-05-02T06:00:00 }",
            "trips.first.last_foam",
        ),
        (
            "trips",
            "first = { arrived = 2026-05-02T07:00:00, cleaned = 2026-05-02T06:00:00 }",
            "trips.first.cleaned",
        ),
        (
            "trips",
            (
                "first = { arrived = 2026-05-02T07:00:00, released = 2026-05-01T07:00:00, "
                'released_by = "A. Ortiz" }'
            ),
            "trips.first.released",
        ),
        (
            "stops",
            (
                'stop-1 = { by = "A", role = "owner", reason = "b", at = 2026-05-02T07:00:00, '
                "lifted = 2026-05-02T06:00:00 }"
            ),
            "stops.stop-1.lifted",
        ),
    ],
)
def test_what_ends_before_it_starts_is_told_at_its_end(table: str, row: str, key: str) -> None:
    text = job_text(**{table: row})
    (problem,) = checked(text)
    assert problem.key == key
    assert " lies before " in problem.what
    assert problem.line == line_with(text, row.split(" = ", maxsplit=1)[0] + " = ")


def test_a_release_before_the_last_foam_or_the_clean_up_is_told() -> None:
    text = job_text(
        trips="first = { arrived = 2026-05-02T07:00:00, last_foam = 2026-05-02T12:00:00, "
        'cleaned = 2026-05-02T13:00:00, released = 2026-05-02T11:00:00, released_by = "A. Ortiz" }'
    )
    assert sorted(problem.what.split(" (")[0] for problem in checked(text)) == [
        "released lies before cleaned",
        "released lies before last_foam",
    ]


def test_a_day_and_a_moment_of_it_do_not_contradict_one_another() -> None:
    loaded(
        job_text(
            work="tub = { begun = 2026-05-01T09:00:00, done = 2026-05-01 }",
            approvals="gas-approval = { requested = 2026-05-01T09:00:00, "
            'result = "passed", at = 2026-05-01 }',
        )
    )


def test_the_same_moment_twice_is_in_order() -> None:
    loaded(
        job_text(trips="first = { arrived = 2026-05-02T07:00:00, cleaned = 2026-05-02T07:00:00 }")
    )


@pytest.mark.parametrize(
    ("table", "row", "key"),
    [
        ("work", "tub = { begun = 2026-05-05 }", "work.tub.begun"),
        ("work", "tub = { done = 2026-05-05 }", "work.tub.done"),
        ("work", "tub = { done = 2026-05-04T07:00:00 }", "work.tub.done"),
        ("work", "tub = { done_in = { bath-1 = 2026-05-05 } }", "work.tub.done_in.bath-1"),
        (
            "approvals",
            "gas-approval = { requested = 2026-05-05T09:00:00 }",
            "approvals.gas-approval.requested",
        ),
        (
            "approvals",
            'gas-approval = { result = "passed", at = 2026-05-05 }',
            "approvals.gas-approval.at",
        ),
        (
            "obstructions",
            'thing-1 = { is = "tub", blocks = "kitchen", pulled = 2026-05-05 }',
            "obstructions.thing-1.pulled",
        ),
        ("trips", "first = { arrived = 2026-05-05T07:00:00 }", "trips.first.arrived"),
        ("answers", 'a = { yes = "swept", at = 2026-05-05 }', "answers.a.at"),
        (
            "readings",
            'a = { is = "wood moisture", value = "9 %", at = 2026-05-05T07:00:00 }',
            "readings.a.at",
        ),
        (
            "stops",
            'stop-1 = { by = "A", role = "owner", reason = "b", at = 2026-05-05T07:00:00 }',
            "stops.stop-1.at",
        ),
    ],
)
def test_what_was_seen_after_the_clock_of_the_job_is_told(table: str, row: str, key: str) -> None:
    assert one(job_text(**{table: row})).startswith(f"{key}: 2026-05-0")
    assert "lies after as_of, 2026-05-04 06:30" in one(job_text(**{table: row}))
    loaded(job_text(**{table: row}).replace("as_of = 2026-05-04T06:30:00\n", ""))


def test_what_is_still_to_come_may_lie_after_the_clock() -> None:
    loaded(
        job_text(
            work="tub = { agreed = 2026-06-01, not_before = 2026-06-01, done = 2026-05-04 }",
            approvals="gas-approval = { slot = 2026-05-20T09:00:00 }",
            obstructions=(
                'thing-1 = { is = "tub", blocks = "kitchen", set = 2026-05-14, pull = 2026-05-15, '
                "reset = 2026-05-16 }"
            ),
        )
    )


@pytest.mark.parametrize("key", ["last_foam", "cleaned"])
def test_what_happened_on_a_trip_needs_its_arrival(key: str) -> None:
    text = job_text(trips=f"first = {{ {key} = 2026-05-02T07:00:00 }}")
    assert one(text) == f"trips.first.{key}: {key} without arrived; write when the rig arrived"


def test_sprayed_surfaces_need_the_arrival_and_a_release_a_name() -> None:
    assert "sprayed without arrived" in one(job_text(trips='first = { sprayed = "kitchen" }'))
    trip = "first = { arrived = 2026-05-02T07:00:00, released = 2026-05-03T07:00:00 }"
    assert "a release has a name; write released_by" in one(job_text(trips=trip))


def test_the_longest_time_of_a_trip_is_not_below_the_usual_one() -> None:
    text = job_text(trips='first = { lasts = "1 d", lasts_at_most = "4 h" }')
    assert "at most 4 h is less than 1 d" in one(text)
    loaded(job_text(trips='first = { lasts = "1 d", lasts_at_most = "1 d" }'))
    loaded(job_text(trips='first = { lasts = "1 d", lasts_at_most = "10 h elapsed" }'))
    loaded(job_text(trips='first = { lasts_at_most = "4 h" }'))
