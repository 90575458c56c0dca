"""What entries about work, offices and things in the way change, kind by kind."""

from __future__ import annotations

from typing import Any

import pytest

from readiness.facts.vocabulary import Gate
from tests.builders import Asked, at, told
from tests.diary.builders import JOB, TABLES, after, said, words

ON = at("2026-05-08 07:00")
LOOKS = "[approvals]\nwiring-look = []\n" + JOB.replace(
    'takes = "16 h"', 'takes = "16 h", approval = "wiring-look"'
)
TUB = JOB + '[obstructions]\ntub = { is = "tub", blocks = ["bath"], set = 2026-05-01 }\n'
PILE = JOB + '[obstructions]\npile = { is = "pile", blocks = ["bath"], set = 2026-05-01 }\n'
DONE = said("done", work="wires")


def bath(found: Asked, gate: Gate = Gate.ROLL) -> str:
    return words(found.verdicts(gate, ON))["bath.outer"]


def test_done_moves_a_surface_from_too_early_to_ready() -> None:
    assert bath(after()) == "too early"
    assert bath(after(DONE)) == "ready"


def test_done_in_one_place_speaks_for_that_place() -> None:
    found = after(said("done", work="wires", places=["bath"]), as_of="2026-05-08 06:30")
    assert words(found.verdicts(Gate.ROLL, ON)) == {
        "bath.outer": "ready",
        "kitchen.outer": "too early",
    }


def test_not_done_by_the_same_person_opens_the_work_again() -> None:
    found = after(DONE, said("not-done", "2026-05-06T09:00:00", work="wires"))
    assert found.task("wires@bath") not in found.outlook.known.state.finished
    assert not found.outlook.known.contested
    assert bath(found) == "too early"


@pytest.mark.parametrize(
    ("more", "minutes"),
    [
        ({}, 240),
        ({"share": "50 %"}, 240),
        ({"share": "99 %"}, 48),
        ({"share": "100 %"}, 0),
        ({"remaining": "3 h"}, 180),
    ],
)
def test_begun_counts_what_is_left_from_when_that_was_seen(
    more: dict[str, Any], minutes: int
) -> None:
    """Seen at 11:00: a part of eight hours is half over by the plan, or as reported."""
    found = after(
        said("begun", "2026-05-05T07:00:00", work="wires"),
        said("begun", "2026-05-05T11:00:00", work="wires", **more),
        as_of="2026-05-05 11:00",
    )
    begun = found.outlook.known.state.begun[found.task("wires@bath")]
    assert (told(begun.start), begun.remaining_minutes) == ("2026-05-05 07:00", minutes)


@pytest.mark.parametrize(
    ("more", "finish"),
    [
        ({"share": "50 %"}, "2026-05-06 07:48"),
        ({"remaining": "3 h"}, "2026-05-06 07:48"),
        ({"remaining": "9 h"}, "2026-05-06 12:00"),
        ({"share": "100 %"}, "2026-05-05 11:00"),
    ],
)
def test_what_was_left_yesterday_is_not_over_without_a_word(
    more: dict[str, Any], finish: str
) -> None:
    """A tenth of the plan is left at as_of, unless all of it was reported."""
    begun = said("begun", "2026-05-05T07:00:00", work="wires")
    rest = said("begun", "2026-05-05T11:00:00", work="wires", **more)
    found = after(begun, rest, as_of="2026-05-06 07:00")
    assert told(found.finish("wires@bath")) == finish


def test_the_next_room_begins_when_the_one_before_was_done() -> None:
    begun = said("begun", "2026-05-04T07:00:00", work="wires")
    done = said("done", "2026-05-05T10:00:00", work="wires", places=["bath"])
    found = after(begun, done, as_of="2026-05-05 12:00")
    kitchen = found.outlook.known.state.begun[found.task("wires@kitchen")]
    assert (told(kitchen.start), kitchen.remaining_minutes) == ("2026-05-05 10:00", 6 * 60)


def test_begun_in_the_second_room_leaves_the_first_one_open() -> None:
    found = after(said("begun", work="wires", places=["kitchen"]))
    assert set(found.outlook.known.state.begun) == {found.task("wires@kitchen")}


def test_a_request_starts_the_notice_and_a_slot_replaces_it() -> None:
    """Notice is one office day: asked on Tuesday, seen on Wednesday at the earliest."""
    tuesday = "2026-05-05 06:30"
    done = said("done", "2026-05-04T07:00:00", work="wires")
    asked = said("requested", "2026-05-04T08:00:00", approval="wiring-look")
    slot = said("requested", "2026-05-04T09:00:00", approval="wiring-look")
    slot["slot"] = "2026-05-07T10:00:00"
    for entries, first in (
        ((), "2026-05-06 08:00"),
        ((asked,), "2026-05-05 08:00"),
        ((asked, slot), "2026-05-07 08:00"),
    ):
        found = after(done, *entries, text=LOOKS, as_of=tuesday)
        assert told(found.start("wiring-look@bath.outer")) == first


@pytest.mark.parametrize(
    ("result", "word"),
    [
        ("passed", "ready"),
        ("passed for part", "ready"),
        ("may cover, correct later", "ready"),
        ("accepted otherwise", "ready"),
        ("not required here", "ready"),
        ("failed", "too early"),
    ],
)
def test_each_result_of_an_office_counts(result: str, word: str) -> None:
    look = said("result", "2026-05-07T10:00:00", approval="wiring-look", result=result)
    assert bath(after(DONE, text=LOOKS)) == "too early"
    assert bath(after(DONE, look, text=LOOKS)) == word


def test_a_failed_look_wakes_its_correction_and_asks_for_a_new_request() -> None:
    look = said("result", approval="wiring-look", result="failed", correct="cover the splices")
    found = after(DONE, look, text=LOOKS, as_of="2026-05-05 09:00")
    correction = found.site.approvals[0].corrections["bath.outer"]
    assert found.outlook.known.minutes[correction] == 4 * 60
    assert found.outlook.known.looks[found.task("wiring-look@bath.outer")].correct
    assert told(found.finish("wiring-look@bath.outer")) > "2026-05-06"


def test_a_pass_for_some_surfaces_leaves_the_others_open() -> None:
    look = said("result", approval="wiring-look", result="passed for part", surfaces=["bath"])
    found = after(DONE, look, text=LOOKS)
    assert words(found.verdicts(Gate.ROLL, ON)) == {
        "bath.outer": "ready",
        "kitchen.outer": "too early",
    }


def test_a_fixed_thing_is_in_the_way_until_it_is_pulled() -> None:
    assert bath(after(DONE, text=TUB)) == "too late"
    assert bath(after(DONE, said("pulled", thing="tub"), text=TUB)) == "ready"


def test_a_dated_pull_moves_the_opening_and_a_dated_return_closes() -> None:
    pull = said("thing-dated", thing="tub", pull="2026-05-06", reset="2026-05-20")
    found = after(DONE, pull, text=TUB, as_of="2026-05-05 12:00")
    assert told(found.window("bath.outer").opens) == "2026-05-06 11:00"
    assert [told(closer.commit) for closer in found.window("bath.outer").closers] == [
        "2026-05-20 07:00"
    ]


def test_a_loose_thing_makes_it_not_prepared() -> None:
    assert bath(after(DONE, text=PILE)) == "not prepared"
    assert bath(after(DONE, said("pulled", thing="pile"), text=PILE)) == "ready"


def test_a_new_thing_is_told_with_its_kind_and_stands_in_the_way() -> None:
    new = said("set", thing="spa", **{"is": "tub"}, blocks=["kitchen"])
    found = after(DONE, new)
    assert words(found.verdicts(Gate.ROLL, ON)) == {
        "bath.outer": "ready",
        "kitchen.outer": "too late",
    }
    gone = after(DONE, new, said("pulled", "2026-05-06T09:00:00", thing="spa"))
    assert gone.verdicts(Gate.ROLL, ON).is_yes


def test_a_thing_set_again_is_in_the_way_again() -> None:
    again = said("set", "2026-05-07T09:00:00", thing="tub")
    found = after(DONE, said("pulled", thing="tub"), again, text=TUB)
    assert bath(found) == "too late"


def test_tables_of_these_tests_hold_what_they_name() -> None:
    assert {"wiring-look"} <= TABLES.approvals.keys()
    assert TABLES.obstructions["tub"].fixed
    assert not TABLES.obstructions["pile"].fixed
