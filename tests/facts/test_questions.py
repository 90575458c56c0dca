"""The questions that are asked before a rig leaves.

Invariant: 52 questions, each of which speaks for something that exists, and together they ask for
everything that only a person can answer and that stops a trip of a new house.
"""

from __future__ import annotations

from collections.abc import Mapping

from readiness.facts.loader import load_facts, load_questions
from readiness.facts.vocabulary import Effect, Gate, JobKind, Role
from readiness.job.durations import Duration

FACTS = load_facts()
QUESTIONS = load_questions()


def test_there_are_fifty_two() -> None:
    assert len(QUESTIONS) == 52


def test_each_ends_with_a_question_mark_and_is_asked_in_time() -> None:
    for name, kind in QUESTIONS.items():
        assert kind.title.endswith("?"), name
        times = [Duration.parse(text).minutes(1440) for text in kind.ask]
        assert times == sorted(times, reverse=True), name
        assert all(Duration.parse(text).clock or text == "0 min" for text in kind.ask), name


def test_each_speaks_for_rows_that_exist() -> None:
    tables: dict[str, Mapping[str, object]] = {
        "requirements": FACTS.requirements,
        "approvals": FACTS.approvals,
        "works": FACTS.work,
        "obstructions": FACTS.obstructions,
    }
    for name, kind in QUESTIONS.items():
        spoken = {table: getattr(kind, table) for table in tables}
        assert any(spoken.values()), name
        for table, codes in spoken.items():
            assert set(codes) <= set(tables[table]), (name, table)


def test_each_is_asked_of_somebody_who_exists() -> None:
    known = {*FACTS.trades, *(role.value for role in Role)}
    assert {kind.whom for kind in QUESTIONS.values()} <= known


def test_every_thing_in_the_way_is_asked_about_or_seen_when_framing() -> None:
    """What no question asks about is found by looking at the frame, not by calling."""
    asked = {code for kind in QUESTIONS.values() for code in kind.obstructions}
    seen_on_the_frame = {
        "panel",
        "fireplace",
        "fan-housing",
        "cable-bundle",
        "tight-stud-wall",
        "low-eave",
        "tight-trusses",
        "beam-pocket",
        "joint-lines",
    }
    assert set(FACTS.obstructions) - asked == seen_on_the_frame


def test_every_stopping_requirement_of_a_new_house_is_asked() -> None:
    asked = {code for kind in QUESTIONS.values() for code in kind.requirements}
    stops = {Effect.STOPS_TRIP, Effect.STOPS_ROOM, Effect.STOPS_SURFACE}
    wanted = {
        name
        for name, kind in FACTS.requirements.items()
        if kind.effect in stops
        and JobKind.NEW_HOUSE in kind.usual_in
        and kind.due is not Gate.BOARD
    }
    assert wanted <= asked


def test_every_approval_before_the_foam_is_asked() -> None:
    asked = {code for kind in QUESTIONS.values() for code in kind.approvals}
    assert {name for name, kind in FACTS.approvals.items() if not kind.after_spray} == asked


def test_each_has_its_source() -> None:
    for kind in QUESTIONS.values():
        assert kind.source
        assert (kind.source == "common practice, no source") == (
            kind.status.value == "common practice"
        )
