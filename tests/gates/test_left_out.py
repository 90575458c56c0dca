"""What is left out on purpose is asked for before board, until somebody says that it is closed."""

from __future__ import annotations

import pytest

from readiness.facts.rows import Facts
from readiness.facts.vocabulary import LEFT_OUT, Gate
from readiness.questions.calls import calls
from readiness.questions.check import check
from readiness.telling.board_lines import item_lines
from tests.builders import Asked, at, facts, requirement
from tests.diary.builders import Data, said
from tests.diary.builders import after as diary_after
from tests.gates import test_board as board
from tests.gates.test_board import RELEASED, WEDNESDAY, yes

RESERVED = said(
    "reserved",
    "2026-05-08T10:00:00",
    trip="first",
    surfaces=["kitchen.outer"],
    follow_up="seal by hand with boards",
)
DUCT = '\n[obstructions]\nduct = { is = "stairs", blocks = ["kitchen.outer"] }\n'
BAY = said(
    "reserved",
    "2026-05-08T10:00:00",
    trip="first",
    surfaces=["kitchen.outer"],
    follow_up="seal by hand with boards",
    behind="duct",
)
PASSED = (
    *(board.depth(surface, 3, 3, 3) for surface in ("bath.outer", "kitchen.outer")),
    *(yes(code) for code in ("bond-holds", "swept")),
    said("done", board.NOW, work="walk"),
    said("result", board.NOW, approval="foam-look", surfaces=["all"], result="passed"),
)
CLOSED = said("sealed", board.NOW, surfaces=["kitchen.outer"], what="boards, edges sealed")


def tables() -> Facts:
    """Return the tables of the board gate with the requirement about what is left out."""
    kinds = {
        "depth-proven": requirement(
            due="board", check=True, measured=True, mend_takes="3 h", category="condition"
        ),
        "bond-holds": requirement(due="board", check=True, mend_takes="1 d"),
        "swept": requirement(due="board", scope="house", effect="stops the trip"),
        "logged": requirement(due="board", scope="house", effect="note"),
        LEFT_OUT: requirement(due="board", category="closing up", clears="framer"),
    }
    works = {name: kind.model_dump() for name, kind in board.TABLES.work.items()}
    stairs = {
        "title": "Stairs at an outside wall",
        "blocks": ["wall above grade"],
        "pull_trade": "plumber",
        "pull_takes": "4 h",
        "fixed": True,
    }
    things = {
        "stairs": {**stairs, "bay_by_hand": True},
        "heater": {**stairs, "bay_by_hand": True, "licensed": True},
    }
    return facts(requirements=kinds, work=works, obstructions=things)


def job(*entries: Data, text: str = board.JOB) -> Asked:
    return diary_after(*entries, as_of=WEDNESDAY, text=text, tables=tables())


def held(found: Asked) -> tuple[str, list[str]]:
    """Return the word of the board gate and what it names."""
    verdicts = found.verdicts(Gate.BOARD, at(WEDNESDAY))
    blockers = found.blockers(Gate.BOARD, at(WEDNESDAY))
    return verdicts.word.value, [f"{blocker.code} {blocker.place}" for blocker in blockers]


def test_a_reserved_surface_with_something_to_follow_holds_up_board_until_it_is_closed() -> None:
    """No foam of it is asked about any more, and what follows is asked for at its own place."""
    found = job(RESERVED, *RELEASED, *PASSED)
    assert held(found) == ("waiting for approval", [f"{LEFT_OUT} kitchen.outer"])
    answer = check(found.case, gate=Gate.BOARD)
    assert not answer.is_yes
    assert "seal by hand with boards" in answer.blockers[0].says
    asked = [line for person in calls([found.case]).people for line in person.lines]
    assert [(line.code, line.where) for line in asked] == [(LEFT_OUT, ("kitchen.outer",))]
    for closed in (CLOSED, yes(LEFT_OUT, places=("kitchen",))):
        assert held(job(RESERVED, *RELEASED, *PASSED, closed)) == ("passed", [])


def test_without_anything_to_follow_nothing_is_asked() -> None:
    nothing = {**RESERVED, "follow_up": ""}
    assert held(job(nothing, *RELEASED, *PASSED)) == ("passed", [])


def test_the_bay_behind_a_thing_is_left_out_and_its_surface_sprayed_without_it() -> None:
    """The thing holds nothing up any more; board over its surface waits for the bay alone."""
    standing, left = job(text=board.JOB + DUCT), job(BAY, text=board.JOB + DUCT)
    monday = at("2026-05-11 07:00")
    assert not standing.verdicts(Gate.PROMISE, monday).is_yes
    assert left.verdicts(Gate.PROMISE, monday).is_yes
    assert left.site.trips["first"].surfaces == ("bath.outer", "kitchen.outer")
    assert left.site.things["duct"].blocks == ()
    assert left.site.things["duct"].pull is None
    open_bay = job(BAY, *RELEASED, *PASSED, text=board.JOB + DUCT)
    assert held(open_bay) == ("waiting for approval", [f"{LEFT_OUT} kitchen.outer"])
    closed = job(BAY, *RELEASED, *PASSED, CLOSED, text=board.JOB + DUCT)
    assert held(closed) == ("passed", [])
    assert closed.site.reserved == frozenset()


@pytest.mark.parametrize("kind", ["tub", "heater"])
def test_nobody_leaves_out_the_bay_behind_what_has_to_be_pulled(kind: str) -> None:
    """By the diary or the job file, a thing with gas, a flue or a panel stays in the way."""
    text = board.JOB + DUCT.replace('"stairs"', f'"{kind}"')
    written = text.replace("] }\n", '], reserved = ["kitchen.outer"] }\n')
    for found in (job(BAY, text=text), job(text=written)):
        assert found.site.things["duct"].blocks == ("kitchen.outer",)
        assert found.site.things["duct"].bays == ()
        assert not found.verdicts(Gate.PROMISE, at("2026-05-11 07:00")).is_yes


def test_a_named_person_may_waive_what_was_left_out() -> None:
    waived = said(
        "override",
        board.NOW,
        requirement=LEFT_OUT,
        surfaces=["kitchen.outer"],
        trip="first",
        reason="batts go in there instead",
        role="contractor",
    )
    assert held(job(RESERVED, *RELEASED, *PASSED, waived)) == ("passed", [])


def test_the_list_after_the_spray_has_it_where_something_is_left_out() -> None:
    for entries, wanted in (((RESERVED,), True), ((), False)):
        found = job(*entries, *RELEASED)
        verdicts = found.verdicts(Gate.BOARD, at(WEDNESDAY))
        codes = [item.code for item in item_lines(found.case, verdicts)]
        assert ("close-what-was-left-out" in codes) is wanted
