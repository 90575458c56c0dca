"""What can be answered on a call: every line is one that the diary takes."""

from __future__ import annotations

from dataclasses import replace

import pytest

from readiness.desk.desk import open_desk
from readiness.desk.proposing import Wanted, proposed
from readiness.desk.statement import writer_of
from readiness.exchange.call_answers import call_answers
from readiness.gates.due import CallKind
from readiness.questions.calls import CallLine, calls
from tests.conftest import ROOT

WRITER = writer_of("Ida Brand, contractor")
TYPED = {"a day": ("thu",), "why": ("rig", "broken")}


@pytest.mark.parametrize("sample", sorted((ROOT / "sample_jobs").glob("*/job.toml")), ids=str)
def test_every_answer_to_every_question_of_a_sample_is_taken(sample: object) -> None:
    """With what it lacks typed; the entry is about the thing that was asked about."""
    desk = open_desk(ROOT / str(sample))
    lines = [line for person in calls([desk.case()]).people for line in person.lines]
    assert lines
    for line in lines:
        answers = call_answers(line)
        assert len({answer.id for answer in answers}) == len(answers) >= 1
        for answer in answers:
            words = (*answer.words, *TYPED.get(answer.lacks, ()), *answer.behind)
            shown = proposed(desk, Wanted((words,), via="by phone"), WRITER)
            assert len(shown.entries) == 1
            assert (line.code if line.kind != "confirm" else line.trip_id) in shown.entries[0]
            assert "(said, by Ida Brand" in shown.entries[0]


def test_there_is_something_to_answer_to_every_kind_of_call() -> None:
    desk = open_desk(ROOT / "sample_jobs" / "two-storey-house")
    first = calls([desk.case()]).people[0].lines[0]
    for kind in CallKind:
        assert call_answers(replace(first, kind=kind.value)), kind


def test_the_whole_site_is_named_by_saying_nothing() -> None:
    desk = open_desk(ROOT / "sample_jobs" / "two-storey-house")
    first: CallLine = calls([desk.case()]).people[0].lines[0]
    everywhere = replace(first, kind=CallKind.QUESTION.value, code="everybody-out", where=("site",))
    assert call_answers(everywhere)[0].words == ("yes", "everybody-out")
