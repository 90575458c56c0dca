"""What answers, readings, dates and decisions change, kind by kind."""

from __future__ import annotations

from typing import Any

import pytest

from readiness.facts.vocabulary import Gate
from tests.builders import Asked, at, told
from tests.diary.builders import JOB, Data, after, said, words

ON = at("2026-05-08 07:00")
DONE = said("done", work="wires")
DRY = "[requirements]\ndry = {}\n" + JOB
EMPTY = "[requirements]\nempty = {}\n" + JOB
WOOD = "[requirements]\nwood = {}\n" + JOB
EARLY = "2026-05-07T09:00:00"


def bath(found: Asked, gate: Gate = Gate.ROLL) -> str:
    return words(found.verdicts(gate, ON))["bath.outer"]


def answer(value: str, seen: str = EARLY, by: str = "Ada Moss", **more: object) -> Data:
    return said("answer", seen, by, requirement="dry", value=value, how="seen", **more)


@pytest.mark.parametrize(
    ("value", "state"),
    [("yes", "met"), ("no", "open"), ("doesn't know", "unknown"), ("promised", "unknown")],
)
def test_an_answer_meets_or_opens_its_requirement(value: str, state: str) -> None:
    more: dict[str, Any] = {"promised_by": "2026-05-09"} if value == "promised" else {}
    found = after(DONE, answer(value, **more), text=DRY)
    assert found.state("dry", Gate.ROLL, ON, "bath.outer") == state
    assert bath(found) == ("ready" if value == "yes" else "not prepared")


def test_an_answer_for_one_trip_or_place_speaks_for_that_alone() -> None:
    found = after(DONE, answer("yes", places=["bath"]), text=DRY)
    assert words(found.verdicts(Gate.ROLL, ON)) == {
        "bath.outer": "ready",
        "kitchen.outer": "not prepared",
    }


def test_a_preparation_counts_as_seen() -> None:
    seen = said("prepared", EARLY, requirement="dry")
    assert bath(after(DONE, seen, text=DRY)) == "ready"


@pytest.mark.parametrize(("value", "word"), [("19 %", "ready"), ("19.5 %", "not prepared")])
def test_a_reading_is_held_against_its_limit(value: str, word: str) -> None:
    reading = said("reading", EARLY, reading="wood moisture", value=value)
    assert bath(after(DONE, reading, text=WOOD)) == word


def test_rain_voids_readings_and_a_new_one_counts_again() -> None:
    reading = said("reading", EARLY, reading="wood moisture", value="15 %")
    rain = said("readings-void", "2026-05-07T18:00:00", cause="rain", places=["bath"])
    again = said("reading", "2026-05-08T06:00:00", reading="wood moisture", value="16 %")
    assert words(after(DONE, reading, rain, text=WOOD).verdicts(Gate.ROLL, ON)) == {
        "bath.outer": "not prepared",
        "kitchen.outer": "ready",
    }
    assert bath(after(DONE, reading, rain, again, text=WOOD)) == "ready"


def test_a_date_agreed_booked_and_struck() -> None:
    agreed = said("dated", what="lining", when="2026-05-11")
    found = after(DONE, agreed)
    assert found.outlook.known.commitments["lining"].agreed
    assert told(found.outlook.known.commitments["lining"].late) == "2026-05-11 07:00"
    booked = said("dated", "2026-05-06T09:00:00", what="lining", when="2026-05-12", agreed=False)
    found = after(DONE, agreed, booked)
    assert not found.outlook.known.commitments["lining"].agreed
    struck = said("dated", "2026-05-06T10:00:00", what="wires", when=None)
    dated = said("dated", what="wires", when="2026-05-07")
    assert "wires" not in after(dated, struck).outlook.known.commitments


def test_a_booking_before_the_release_closes_the_window() -> None:
    board = said("dated", what="lining", when="2026-05-08 14:00")
    assert bath(after(DONE, board)) == "too late"
    assert bath(after(DONE, said("dated", what="lining", when="2026-05-11"))) == "ready"


def test_a_trip_is_moved_and_its_date_struck() -> None:
    moved = said("dated", what="first", when="2026-05-11 07:00")
    found = after(DONE, moved)
    assert told(found.outlook.known.arrivals["first"]) == "2026-05-11 07:00"
    struck = said("dated", "2026-05-06T09:00:00", what="first", when=None)
    assert "first" not in after(DONE, moved, struck).outlook.known.arrivals


@pytest.mark.parametrize("agreed", [True, False])
def test_a_slip_moves_a_booking_keeps_why_and_leaves_it_as_agreed_as_it_was(agreed: bool) -> None:  # noqa: FBT001
    dated = said("dated", what="wires", when="2026-05-06", agreed=agreed)
    slip = said("slip", "2026-05-05T10:00:00", what="wires", to="2026-05-07", cause="storm")
    again = said("slip", "2026-05-05T11:00:00", what="wires", to="2026-05-08", cause="storm")
    found = after(dated, slip, again)
    commitment = found.outlook.known.commitments["wires"]
    assert (told(commitment.late), commitment.agreed) == ("2026-05-08 07:00", agreed)
    assert [(slip.what, slip.cause, slip.moved_by) for slip in found.outlook.seen.slips] == [
        ("wires", "storm", "Ada Moss")
    ] * 2


def test_offered_days_and_the_word_of_the_dispatcher_are_kept() -> None:
    offered = said("offered", trip="first", moments=["2026-05-11T07:00:00"])
    no = said("confirmed", trip="first", yes=False, reason="no road")
    seen = after(offered, no).outlook.seen
    assert [moment.day for moment in seen.trips["first"].offered] == [11]
    assert [(each.yes, each.reason) for each in seen.confirmations] == [(False, "no road")]


OVERRIDE = said(
    "override",
    EARLY,
    role="contractor",
    requirement="dry",
    surfaces=["bath"],
    trip="first",
    reason="fans run",
)


def test_an_override_speaks_for_its_surfaces_and_trip_by_its_role() -> None:
    assert words(after(DONE, OVERRIDE, text=DRY).verdicts(Gate.ROLL, ON)) == {
        "bath.outer": "ready",
        "kitchen.outer": "not prepared",
    }
    for change in ({"role": "dispatcher"}, {"role": None}, {"trip": "second"}):
        assert bath(after(DONE, {**OVERRIDE, **change}, text=DRY)) == "not prepared"


def test_what_is_binding_stays_whatever_somebody_writes() -> None:
    found = after(DONE, {**OVERRIDE, "requirement": "empty"}, text=EMPTY)
    assert bath(found) == "not prepared"


def test_an_override_lapses_when_something_newer_is_known_or_the_site_changes() -> None:
    newer = answer("no", "2026-05-07T10:00:00")
    assert bath(after(DONE, OVERRIDE, newer, text=DRY)) == "not prepared"
    older = answer("no", "2026-05-07T08:00:00")
    assert bath(after(DONE, older, OVERRIDE, text=DRY)) == "ready"
    change = said("change", "2026-05-07T11:00:00", what="vent", surfaces=["bath"], works=["lining"])
    assert bath(after(DONE, OVERRIDE, change, text=DRY)) == "not prepared"
    elsewhere = {**change, "surfaces": ["kitchen"]}
    assert bath(after(DONE, OVERRIDE, elsewhere, text=DRY)) == "ready"


STOP = said("stop", EARLY, "Lee Fox", role="crew lead", reason="deck wet", places=["bath"])


LIFT = said("lift", "2026-05-08T06:00:00")


def test_a_stop_beats_every_verdict_until_its_role_lifts_it() -> None:
    found = after(DONE, STOP).verdicts(Gate.ROLL, ON)
    assert words(found) == {"bath.outer": "stopped", "kitchen.outer": "ready"}
    assert found.word.value == "stopped"
    assert bath(after(STOP)) == "stopped"
    assert bath(after(DONE, STOP, {**LIFT, "role": "crew lead", "by": "Ned Cole"})) == "ready"
    for who in ("contractor", "trade", None):
        assert bath(after(DONE, STOP, {**LIFT, "role": who})) == "stopped"


def test_a_lift_names_the_stop_it_lifts_or_takes_the_last_one() -> None:
    second = {**STOP, "seen": "2026-05-07T10:00:00", "reason": "gas", "places": ["kitchen"]}
    last = after(DONE, STOP, second, {**LIFT, "role": "crew lead"}).verdicts(Gate.ROLL, ON)
    assert words(last) == {"bath.outer": "stopped", "kitchen.outer": "ready"}
    named = {**LIFT, "role": "crew lead", "stop": "lee-fox#1"}
    first = after(DONE, STOP, second, named).verdicts(Gate.ROLL, ON)
    assert words(first) == {"bath.outer": "ready", "kitchen.outer": "stopped"}


def test_a_lift_without_a_role_lifts_nothing_even_of_a_trade() -> None:
    stop = {**STOP, "role": "trade"}
    assert bath(after(DONE, stop, LIFT)) == "stopped"
    assert bath(after(DONE, stop, {**LIFT, "role": "trade"})) == "ready"


def test_who_has_no_role_may_remark_and_moves_nothing() -> None:
    remark = said("remark", EARLY, text="the hall smells of gas")
    assert words(after(DONE, remark).verdicts(Gate.ROLL, ON)) == words(
        after(DONE).verdicts(Gate.ROLL, ON)
    )
