"""What waits for what, as people read it."""

from __future__ import annotations

import re

import pytest
from click.testing import CliRunner

from readiness.cli.main import readiness
from readiness.pages.sequence_text import sequence_text
from readiness.questions.sequence import SequenceAnswer, StepLine, sequence
from readiness.telling.case import case_of
from tests.builders import ROOMS, TRIP, asked
from tests.conftest import ROOT
from tests.samples.test_samples import VERDICTS, desk_of_sample


def answer_of(text: str) -> SequenceAnswer:
    return sequence(case_of(asked(text).outlook))


def step_of(answer: SequenceAnswer, name: str) -> StepLine:
    return next(step for step in answer.steps if name in step.ids)


WORKS = (
    '[work]\nwires = { trade = "electrician", in = ["bath"], order = "before", takes = "1 d" }\n'
    'boxes = { trade = "electrician", in = ["bath"], order = "before", takes = "1 d", '
    'starts_after = [{ end_of = "wires", why = "boxes hold the wires" }] }\n'
    'tiles = { trade = "contractor", in = ["bath"], order = "after", takes = "1 d" }\n'
)


def test_a_trip_waits_for_the_last_of_what_belongs_behind_the_foam() -> None:
    """Wires come before boxes, so the trip's own wait for the wires says nothing new."""
    answer = answer_of(ROOMS + WORKS + TRIP)
    trip = step_of(answer, "trip:first")
    assert [answer.steps[wait.step].ids for wait in trip.waits_for] == [("boxes",)]
    assert ("tiles",) in [answer.steps[wait.step].ids for wait in trip.holds_up]
    boxes = step_of(answer, "boxes")
    assert [wait.reason for wait in boxes.waits_for] == ["boxes hold the wires"]
    assert step_of(answer, "wires").behind_steps == len(answer.steps) - 1


def test_what_is_done_is_no_step() -> None:
    done = WORKS.replace('takes = "1 d" }\nboxes', 'takes = "1 d", done = 2026-05-02 }\nboxes')
    answer = answer_of(ROOMS + done + TRIP)
    assert "wires" not in [name for step in answer.steps for name in step.ids]
    assert step_of(answer, "boxes").waits_for == ()


@pytest.mark.parametrize("sample", VERDICTS)
def test_every_sample_has_its_steps_in_order_up_to_board(sample: str) -> None:
    answer = sequence(desk_of_sample(sample).case())
    for place, step in enumerate(answer.steps):
        assert all(wait.step < place for wait in step.waits_for)
        assert step.who.name
    assert [step.kind for step in answer.steps].count("board") == 1
    assert any(step.drives_board for step in answer.steps)


def test_the_text_of_one_step_tells_why_and_who_stands_behind() -> None:
    answer = sequence(desk_of_sample("two-storey-house").case())
    text = sequence_text(answer, of="trip:main")
    assert "holds up 8 Walk every room: depth, bond, gaps, odor, because not before" in text
    assert "holds up 7 Check the foam of the main trip" in text
    assert "Ruiz Board" in text


def test_a_step_that_is_not_open_is_refused_with_those_that_are() -> None:
    job = str(ROOT / "sample_jobs" / "two-storey-house")
    result = CliRunner().invoke(readiness, ["sequence", job, "--of", "framing"])
    assert result.exit_code == 2
    assert "'framing' is no open step" in result.output
    assert "trip:main" in result.output
    nearly = CliRunner().invoke(readiness, ["sequence", job, "--of", "TRIP:Main"])
    assert "did you mean trip:main?" in nearly.output


def test_why_tells_where_each_step_comes_from() -> None:
    answer = sequence(desk_of_sample("two-storey-house").case())
    text = sequence_text(answer, of="bath-fan-ducts", why=True)
    assert re.search(r"from: job\.toml:[0-9]+ work\.bath-fan-ducts", text)
