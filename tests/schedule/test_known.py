"""Progress: what is left of work under way, what was not reported, what nobody holds back."""

from __future__ import annotations

import pytest

from tests.builders import ROOMS, TRIP, Asked, asked, told

WIRES = (
    '[work]\nwires = {{ trade = "electrician", in = ["bath"], order = "before", '
    'takes = "20 h"{said} }}\n'
)


def job(said: str, as_of: str = "2026-05-05 07:00", more: str = "") -> Asked:
    """Return a job with one work of twenty hours, asked about on Tuesday morning."""
    return asked(ROOMS + WIRES.format(said=f", {said}" if said else "") + more + TRIP, as_of)


@pytest.mark.parametrize(
    ("said", "left"),
    [
        ("begun = 2026-05-04", 12 * 60),
        ("begun = 2026-05-04T11:00:00", 16 * 60),
        ('begun = 2026-05-04, share = "25 %"', 15 * 60),
        ('begun = 2026-05-04, share = "99 %"', 2 * 60),
        ('begun = 2026-05-04, share = "100 %"', 0),
        ('begun = 2026-05-04, share = "0 %"', 20 * 60),
        ('begun = 2026-05-04, remaining = "3 h"', 3 * 60),
        ("begun = 2026-04-27", 2 * 60),
    ],
)
def test_what_is_left_is_reported_or_the_plan_less_what_was_worked(said: str, left: int) -> None:
    """Never under a tenth of the plan, unless all or nothing was reported."""
    found = job(said)
    assert found.outlook.known.state.begun[found.task("wires@bath")].remaining_minutes == left


def test_work_under_way_goes_on_now_and_its_booking_no_longer_binds() -> None:
    found = job('begun = 2026-05-04, share = "60 %", booked = 2026-05-20')
    assert told(found.finish("wires@bath")) == "2026-05-05 15:00"


def test_work_not_begun_is_not_before_now() -> None:
    assert told(job("", "2026-05-06 09:00").start("wires@bath")) == "2026-05-06 09:00"


def test_work_past_its_booked_end_without_a_word_is_not_reported() -> None:
    """The forecast takes it for not begun; a finding says that nobody has said a word."""
    late = job("booked = 2026-04-27", "2026-05-05 07:00")
    assert late.outlook.known.unreported == (late.task("wires@bath"),)
    assert told(late.start("wires@bath")) == "2026-05-05 07:00"
    assert "not-reported" in {finding.code for finding in late.findings()}
    still = job("booked = 2026-05-04", "2026-05-05 07:00")
    assert still.outlook.known.unreported == ()
    told_of = job('booked = 2026-04-27, begun = 2026-04-27, share = "10 %"')
    assert told_of.outlook.known.unreported == ()


def test_once_begun_a_start_link_binds_nothing_and_an_end_link_still_does() -> None:
    pipes = (
        'pipes = { trade = "plumber", in = ["bath"], order = "free", takes = "1 d", '
        "booked = 2026-05-07 }\n"
    )
    start = 'begun = 2026-05-04, remaining = "2 h", starts_after = [{ start_of = "pipes" }]'
    assert told(job(start, more=pipes).finish("wires@bath")) == "2026-05-05 09:00"
    end = start.replace("start_of", "end_of")
    assert told(job(end, more=pipes).finish("wires@bath")) == "2026-05-08 09:00"
    assert "done-too-soon" in {finding.code for finding in job(end, more=pipes).findings()}


def test_of_a_stay_the_first_open_part_is_under_way() -> None:
    text = (
        '[work]\nwires = { trade = "electrician", in = ["bath", "kitchen"], takes = "2 d", '
        'done_in = ["bath"], begun = 2026-05-04 }\n'
    )
    found = asked(ROOMS + text + TRIP, "2026-05-05 07:00")
    assert set(found.outlook.known.state.begun) == {found.task("wires@kitchen")}


def test_done_in_a_storey_or_a_group_speaks_for_its_rooms() -> None:
    rooms = ROOMS.replace('"bath" }', '"bath", storey = "ground" }')
    group = '[groups]\nwet = ["bath"]\n'
    for place in ("ground", "wet", "bath"):
        text = (
            '[work]\nwires = { trade = "electrician", in = ["bath", "kitchen"], takes = "2 d", '
            f'done_in = ["{place}"] }}\n'
        )
        found = asked(rooms + group + text + TRIP)
        assert set(found.outlook.known.state.finished) == {found.task("wires@bath")}


def test_undated_pulls_reach_every_output_without_a_crash() -> None:
    """No date in the year 9999: what follows an undated pull has no date at all."""
    thing = '[obstructions]\ntub-1 = { is = "tub", blocks = ["bath.outer"] }\n'
    board = (
        '[work]\nhang-board = { trade = "drywall", in = ["bath"], order = "after", '
        'takes = "1 d" }\n'
    )
    found = asked("board = 2026-05-18\n" + ROOMS + board + thing + TRIP)
    assert told(found.start("hang-board@bath")) == "never"
    assert told(found.start("board start")) == "never"
    assert found.outlook.late.start
    assert found.outlook.floats.total_float
    assert found.findings()
