"""A change reopens the work on its surfaces and voids what was approved, shown and read there."""

from __future__ import annotations

from readiness.facts.vocabulary import Gate
from tests.builders import Asked, at, told
from tests.diary.builders import JOB, Data, after, said, words

ON = at("2026-05-08 07:00")
TEXT = "[approvals]\nwiring-look = []\n[requirements]\ndry = {}\nwood = {}\n" + JOB.replace(
    'takes = "16 h"', 'takes = "16 h", approval = "wiring-look"'
)
KNOWN = (
    said("done", "2026-05-04T12:00:00", work="wires"),
    said("result", "2026-05-05T10:00:00", approval="wiring-look", result="passed"),
    said("answer", "2026-05-06T09:00:00", requirement="dry", value="yes", how="shown"),
    said("reading", "2026-05-06T09:00:00", reading="wood moisture", value="15 %"),
)
OUTLET = said("change", "2026-05-06T15:00:00", what="one more outlet", surfaces=["bath"])
FRIDAY = "2026-05-08 06:30"


def job(*entries: Data, as_of: str = FRIDAY) -> Asked:
    return after(*KNOWN, *entries, text=TEXT, as_of=as_of)


def states(found: Asked) -> dict[str, str]:
    return {
        code: found.state(code, Gate.ROLL, ON, place)
        for code, place in (("wires", "bath"), ("dry", "bath.outer"), ("wood", "bath.outer"))
    }


def test_a_change_voids_approval_picture_and_reading_there_and_nowhere_else() -> None:
    assert words(job().verdicts(Gate.ROLL, ON)) == {
        "bath.outer": "ready",
        "kitchen.outer": "ready",
    }
    found = job(OUTLET)
    assert words(found.verdicts(Gate.ROLL, ON)) == {
        "bath.outer": "too early",
        "kitchen.outer": "ready",
    }
    assert states(job()) == {"wires": "met", "dry": "met", "wood": "met"}
    assert states(found) == {"wires": "open", "dry": "unknown", "wood": "unknown"}


def test_the_sleeping_correction_of_each_voided_approval_gets_its_minutes() -> None:
    found = job(OUTLET)
    corrections = found.site.approvals[0].corrections
    assert found.outlook.known.minutes == {corrections["bath.outer"]: 4 * 60}
    assert found.site.tasks[corrections["bath.outer"]].trade == "electrician"


def test_a_change_before_anything_passed_wakes_no_correction() -> None:
    found = after(KNOWN[0], OUTLET, text=TEXT)
    assert not found.outlook.known.minutes


def test_a_change_that_names_its_works_leaves_the_others_done() -> None:
    found = job({**OUTLET, "works": ["lining"]})
    assert found.task("wires@bath") in found.outlook.known.state.finished
    assert words(found.verdicts(Gate.ROLL, ON))["bath.outer"] == "too early"


def test_work_and_look_after_the_change_make_it_ready_again() -> None:
    again = (
        said("done", "2026-05-07T09:00:00", work="wires", places=["bath"]),
        said("result", "2026-05-07T10:00:00", approval="wiring-look", result="passed"),
        said("answer", "2026-05-07T11:00:00", requirement="dry", value="yes"),
        said("reading", "2026-05-07T11:00:00", reading="wood moisture", value="16 %"),
    )
    found = job(OUTLET, *again)
    assert found.verdicts(Gate.ROLL, ON).is_yes
    assert not found.outlook.known.minutes


def test_a_pass_of_the_same_day_without_an_hour_does_not_survive_the_change() -> None:
    """Read to the disadvantage of readiness: nobody knows that the look came after."""
    same_day = said("result", "2026-05-06", approval="wiring-look", result="passed")
    work = said("done", "2026-05-07T09:00:00", work="wires")
    assert words(job(OUTLET, work, same_day).verdicts(Gate.ROLL, ON))["bath.outer"] == "too early"


def test_the_forecast_follows_the_change() -> None:
    before = job(as_of="2026-05-06 15:00").window("bath.outer").opens
    changed = job(OUTLET, as_of="2026-05-06 15:00").window("bath.outer").opens
    assert told(before) < "2026-05-06 15:00" < told(changed)
