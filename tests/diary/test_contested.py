"""Two people who can't both be right: neither counts, and both are shown."""

from __future__ import annotations

import pytest

from readiness.facts.vocabulary import Gate
from readiness.telling.blocker_lines import BlockerLine, blocker_lines
from tests.builders import Asked, at
from tests.diary.builders import JOB, Data, after, said, words

ON = at("2026-05-08 07:00")
LOOKS = "[approvals]\nwiring-look = []\n[requirements]\ndry = {}\n" + JOB.replace(
    'takes = "16 h"', 'takes = "16 h", approval = "wiring-look"'
)
TUB = JOB + '[obstructions]\ntub = { is = "tub", blocks = ["bath"], set = 2026-05-01 }\n'
PILE = JOB + '[obstructions]\npile = { is = "pile", blocks = ["bath"], set = 2026-05-01 }\n'
LEE = "Lee Fox"


def look(result: str, seen: str = "2026-05-07T09:00:00", by: str = "Ada Moss") -> Data:
    return said("result", seen, by, approval="wiring-look", result=result)


def answer(value: str, by: str = "Ada Moss", seen: str = "2026-05-07T09:00:00") -> Data:
    return said("answer", seen, by, requirement="dry", value=value, how="seen")


DRY = answer("yes")
DONE = said("done", work="wires")
PASSED = look("passed")


def lines(found: Asked) -> tuple[BlockerLine, ...]:
    verdicts = found.verdicts(Gate.ROLL, ON)
    return blocker_lines(found.case, found.blockers(Gate.ROLL, ON), verdicts)


WORK = [
    # entries after `Ada: done` on Tuesday, state of the work in the bath
    ((), "met"),
    ((said("not-done", "2026-05-05T10:00:00", LEE, work="wires"),), "contested"),
    ((said("not-done", "2026-05-07T10:00:00", LEE, work="wires"),), "contested"),
    ((said("not-done", "2026-05-07T10:00:00", LEE, work="wires", places=["bath"]),), "contested"),
    ((said("not-done", "2026-05-07T10:00:00", LEE, work="wires", places=["kitchen"]),), "met"),
    ((said("not-done", "2026-05-07T10:00:00", work="wires"),), "open"),
    (
        (
            said("not-done", "2026-05-06T10:00:00", LEE, work="wires"),
            said("done", "2026-05-07T10:00:00", work="wires"),
        ),
        "met",
    ),
    (
        (
            said("not-done", "2026-05-06T10:00:00", LEE, work="wires"),
            said("done", "2026-05-06T11:00:00", work="wires"),
        ),
        "contested",
    ),
    (
        (
            said("not-done", "2026-05-06T10:00:00", LEE, work="wires"),
            said("done", "2026-05-06T11:00:00", LEE, work="wires"),
        ),
        "met",
    ),
    (
        (
            said("not-done", "2026-05-06T10:00:00", LEE, work="wires"),
            said("not-done", "2026-05-06T11:00:00", work="wires"),
        ),
        "open",
    ),
    (
        (
            said("change", "2026-05-06T09:00:00", what="outlet", surfaces=["all"]),
            said("not-done", "2026-05-06T10:00:00", LEE, work="wires"),
        ),
        "open",
    ),
]


@pytest.mark.parametrize(("entries", "state"), WORK)
def test_who_takes_back_what_another_had_finished_contests_it(
    entries: tuple[Data, ...], state: str
) -> None:
    """Whatever the day, unless a change lies between; who had said it may take it back."""
    assert after(DONE, *entries).state("wires", Gate.ROLL, ON, "bath") == state


def test_of_two_who_differ_about_one_day_the_order_makes_no_difference() -> None:
    no = said("not-done", "2026-05-05T08:00:00", LEE, work="wires")
    assert after(no, DONE).state("wires", Gate.ROLL, ON, "bath") == "contested"


def test_what_the_job_file_states_is_contested_like_any_other_word() -> None:
    text = JOB.replace('takes = "16 h"', 'takes = "16 h", done = 2026-05-04')
    no = said("not-done", work="wires")
    assert after(no, text=text).state("wires", Gate.ROLL, ON, "bath") == "contested"


RESULTS = [
    # results after `Ada: passed` on Thursday at 9, state of the look
    ((), "met"),
    ((look("failed", "2026-05-07T11:00:00", LEE),), "contested"),
    ((look("failed", "2026-05-08T06:00:00", LEE),), "contested"),
    ((look("failed", "2026-05-07T11:00:00"),), "open"),
    (
        (
            said("requested", "2026-05-07T10:00:00", approval="wiring-look"),
            look("failed", "2026-05-07T11:00:00", LEE),
        ),
        "open",
    ),
    (
        (look("failed", "2026-05-07T11:00:00", LEE), look("passed", "2026-05-07T12:00:00", LEE)),
        "met",
    ),
    (
        (
            look("failed", "2026-05-07T11:00:00", LEE),
            said("requested", "2026-05-07T12:00:00", approval="wiring-look"),
            look("passed", "2026-05-08T06:00:00"),
        ),
        "met",
    ),
]


@pytest.mark.parametrize(("entries", "state"), RESULTS)
def test_a_pass_taken_back_without_a_look_is_contested(
    entries: tuple[Data, ...], state: str
) -> None:
    found = after(DONE, DRY, PASSED, *entries, text=LOOKS)
    assert found.state("wiring-look", Gate.ROLL, ON, "bath.outer") == state


def test_two_who_quote_one_office_differently_are_contested_too() -> None:
    quoted = {**look("failed", "2026-05-07T11:00:00", LEE), "office": "building"}
    found = after(DONE, DRY, {**PASSED, "office": "building"}, quoted, text=LOOKS)
    assert found.state("wiring-look", Gate.ROLL, ON, "bath.outer") == "contested"


def test_what_is_contested_never_passes_and_the_forecast_takes_the_worse() -> None:
    failed = look("failed", "2026-05-07T11:00:00", LEE)
    found = after(DONE, DRY, PASSED, failed, text=LOOKS, as_of="2026-05-07 12:00")
    promise = at("2026-05-29 07:00")
    assert found.verdicts(Gate.PROMISE, promise).word.value == "too early"
    assert found.finish("wiring-look@bath.outer") > at("2026-05-07 12:00")
    corrections = found.site.approvals[0].corrections
    assert set(found.outlook.known.minutes) == set(corrections.values())


def test_answers_of_two_people_on_one_day() -> None:
    yes, no = answer("yes"), answer("no", LEE, "2026-05-07T10:00:00")
    found = after(DONE, PASSED, yes, no, text=LOOKS)
    assert found.state("dry", Gate.ROLL, ON, "bath.outer") == "contested"
    later = answer("no", LEE, "2026-05-08T06:00:00")
    assert after(DONE, PASSED, yes, later, text=LOOKS).state(
        "dry", Gate.ROLL, ON, "bath.outer"
    ) == ("open")


THINGS = [
    ((said("set", "2026-05-06T09:00:00", LEE, thing="pile"),), "contested"),
    ((said("set", "2026-05-06T09:00:00", thing="pile"),), "open"),
    (
        (
            said("set", "2026-05-06T09:00:00", LEE, thing="pile"),
            said("pulled", "2026-05-06T10:00:00", LEE, thing="pile"),
        ),
        "met",
    ),
    (
        (
            said("thing-dated", "2026-05-06T08:00:00", thing="pile", reset="2026-05-06"),
            said("set", "2026-05-06T09:00:00", LEE, thing="pile"),
        ),
        "open",
    ),
]


@pytest.mark.parametrize(("entries", "state"), THINGS)
def test_a_thing_that_one_saw_pulled_and_another_in_the_way(
    entries: tuple[Data, ...], state: str
) -> None:
    found = after(DONE, said("pulled", thing="pile"), *entries, text=PILE)
    assert found.state("pile", Gate.ROLL, ON) == state


def test_a_fixed_thing_that_is_contested_stands_for_the_forecast() -> None:
    again = said("set", "2026-05-06T09:00:00", LEE, thing="tub")
    found = after(DONE, said("pulled", thing="tub"), again, text=TUB)
    assert words(found.verdicts(Gate.ROLL, ON))["bath.outer"] == "too late"
    assert found.state("tub", Gate.ROLL, ON) == "contested"


@pytest.mark.parametrize(
    ("entries", "text", "both", "shown_by"),
    [
        (
            (DONE, said("not-done", "2026-05-06T10:00:00", LEE, work="wires")),
            JOB,
            "(Ada Moss: done; Lee Fox: not done)",
            ("diary/ada-moss.jsonl:1 entry ada-moss#1", "diary/lee-fox.jsonl:1 entry lee-fox#1"),
        ),
        (
            (DONE, DRY, PASSED, look("failed", "2026-05-07T11:00:00", LEE)),
            LOOKS,
            "(Ada Moss: passed; Lee Fox: failed)",
            ("diary/ada-moss.jsonl:3 entry ada-moss#3", "diary/lee-fox.jsonl:1 entry lee-fox#1"),
        ),
        (
            (DONE, PASSED, answer("yes"), answer("no", LEE, "2026-05-07T10:00:00")),
            LOOKS,
            "(Ada Moss: yes; Lee Fox: no)",
            ("diary/ada-moss.jsonl:3 entry ada-moss#3", "diary/lee-fox.jsonl:1 entry lee-fox#1"),
        ),
        (
            (
                DONE,
                said("pulled", thing="pile"),
                said("set", "2026-05-06T09:00:00", LEE, thing="pile"),
            ),
            PILE,
            "(Ada Moss: pulled; Lee Fox: in the way)",
            ("diary/ada-moss.jsonl:2 entry ada-moss#2", "diary/lee-fox.jsonl:1 entry lee-fox#1"),
        ),
    ],
)
def test_a_contested_line_shows_both_statements_and_where_they_stand(
    entries: tuple[Data, ...], text: str, both: str, shown_by: tuple[str, ...]
) -> None:
    told = [line for line in lines(after(*entries, text=text)) if line.state == "contested"]
    assert told
    assert all(both in line.says for line in told)
    assert {line.shown_by for line in told} == {shown_by}
