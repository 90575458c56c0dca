"""What exactly holds a trip up, each told once at its own place, what clears last first."""

from __future__ import annotations

from readiness.facts.vocabulary import Gate
from readiness.gates.blockers import Holds
from tests.builders import ROOMS, TRIP, asked, at, told

ON = at("2026-05-11 07:00")


def test_looks_of_one_approval_are_told_together() -> None:
    text = '[offices]\nbuilding = { notice = "10 d" }\n[approvals]\nframe-look = []\n'
    (blocker,) = asked(ROOMS + text + TRIP).blockers(Gate.PROMISE, ON)
    assert blocker.code == "frame-look"
    assert set(blocker.surfaces) == {"bath.outer", "kitchen.outer"}
    assert blocker.holds is Holds.EARLY
    assert told(blocker.clears_at) == "2026-05-18 16:30"


def test_every_committed_item_whose_own_latest_arrival_has_passed_is_told() -> None:
    text = (
        '[work]\ntub = { trade = "plumber", in = ["bath"], order = "after", takes = "1 d", '
        "booked = 2026-05-12 }\n"
        'tiles = { trade = "contractor", in = ["bath"], order = "after", takes = "1 d", '
        "booked = 2026-05-12 }\n"
        'paint = { trade = "contractor", in = ["bath"], order = "after", takes = "1 d", '
        "booked = 2026-05-29 }\n"
    )
    found = asked(ROOMS + text + TRIP).blockers(Gate.PROMISE, ON)
    assert {blocker.code for blocker in found} == {"tub", "tiles"}
    assert {blocker.holds for blocker in found} == {Holds.LATE}


def test_a_thing_and_the_work_that_sets_it_are_told_as_one() -> None:
    text = (
        '[work]\ntub = { trade = "plumber", in = ["bath"], order = "after", takes = "1 d", '
        "booked = 2026-05-12 }\n"
        '[obstructions]\ntub-1 = { is = "tub", blocks = ["bath.outer"], set_by = "tub" }\n'
    )
    (blocker,) = asked(ROOMS + text + TRIP).blockers(Gate.PROMISE, ON)
    assert blocker.code == "tub"
    assert len(blocker.closers) == 2


def test_a_stop_is_told_first_and_once() -> None:
    text = (
        '[work]\nwires = { trade = "electrician", in = ["bath"], order = "before", '
        'takes = "1 d", booked = 2026-05-20 }\n'
        '[stops]\ns = { by = "Lee", role = "crew lead", reason = "wet", '
        "at = 2026-05-04T06:00:00 }\n"
    )
    found = asked(ROOMS + text + TRIP).blockers(Gate.PROMISE, ON)
    assert [blocker.holds for blocker in found] == [Holds.STOP, Holds.EARLY]
    assert set(found[0].surfaces) == {"bath.outer", "kitchen.outer"}


def test_what_nobody_has_dated_comes_before_what_has_a_date() -> None:
    text = (
        '[work]\nwires = { trade = "electrician", in = ["bath"], order = "before", '
        'takes = "1 d", booked = 2026-05-20 }\n'
        '[obstructions]\ntub-1 = { is = "tub", blocks = ["bath.outer"], set = 2026-05-01 }\n'
    )
    found = asked(ROOMS + text + TRIP).blockers(Gate.ROLL, ON)
    assert [blocker.code for blocker in found] == ["tub-1", "wires"]
    assert told(found[0].clears_at) == "never"


def test_the_morning_s_work_comes_at_the_end() -> None:
    """Nobody has dated the pile, and yet it is not what makes the verdict too early."""
    text = (
        '[work]\nwires = { trade = "electrician", in = ["bath"], order = "before", '
        'takes = "1 d", booked = 2026-05-20 }\n'
        '[obstructions]\npile = { is = "pile", blocks = ["kitchen.outer"] }\n'
    )
    found = asked(ROOMS + text + TRIP).blockers(Gate.ROLL, ON)
    assert [blocker.code for blocker in found] == ["wires", "pile"]
    assert told(found[1].clears_at) == "never"


def test_surfaces_of_another_trip_hold_nobody_up() -> None:
    text = (
        '[work]\nwires = { trade = "electrician", in = ["bath"], order = "before", '
        'takes = "1 d", booked = 2026-05-20 }\n'
        '[trips]\nfirst = { booked = 2026-05-11, surfaces = ["kitchen"] }\n'
        'later = { booked = 2026-05-18, surfaces = ["bath"] }\n'
    )
    job = asked(ROOMS + text)
    assert job.blockers(Gate.PROMISE, ON, "first") == ()
    on = at("2026-05-18 07:00")
    assert [blocker.code for blocker in job.blockers(Gate.PROMISE, on, "later")] == ["wires"]


def test_a_keep_out_of_another_trip_holds_up_and_clears_with_its_release() -> None:
    """Arriving at 07:00 while a trip of the day before is not released, nobody may be inside."""
    text = (
        '[trips]\nfirst = { booked = 2026-05-11, surfaces = ["kitchen"], lasts = "8 h" }\n'
        'later = { booked = 2026-05-12, surfaces = ["bath"] }\n'
    )
    job = asked(ROOMS + text)
    (blocker,) = job.blockers(Gate.PROMISE, at("2026-05-12T07:00"), "later")
    assert blocker.code == "keep-out"
    assert blocker.kept_out_by == "first"
    assert blocker.clears_at == job.outlook.closures["first"][1]
    assert job.blockers(Gate.PROMISE, blocker.clears_at, "later") == ()
