"""On each sample a plan is accepted by the checker, and is never later than the solver's dates."""

from __future__ import annotations

import shutil
from functools import cache
from pathlib import Path

import pytest

from readiness.desk.desk import open_desk
from readiness.desk.drafting import Draft
from readiness.desk.statement import Statement, writer_of
from readiness.planning.plan_timed import Timed
from readiness.planning.plan_told import PlanTold
from readiness.planning.whole_plan import whole_plan
from readiness.questions.check import check
from readiness.questions.plan import plan
from readiness.schedule.outlook import Outlook
from readiness.telling.case import Case
from tests.conftest import ROOT
from tests.planning.plan_checker import dates_of, faults

SAMPLES = sorted((ROOT / "sample_jobs").glob("*/job.toml"))


def case_of_sample(sample: Path) -> Case:
    """Return a sample at its own moment."""
    return open_desk(sample.parent).case()


@cache
def planned(sample: Path) -> tuple[Outlook, Timed]:
    """Return the forecast of a sample and its plan, worked out once."""
    outlook = case_of_sample(sample).outlook
    timed = whole_plan(outlook).timed
    assert timed is not None
    return outlook, timed


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda sample: sample.parent.name)
def test_the_checker_accepts_the_plan_of_a_sample(sample: Path) -> None:
    """Links, slots, crews, rooms, keep-outs and agreed dates, counted by other code."""
    assert faults(dates_of(PlanTold(*planned(sample)))) == []


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda sample: sample.parent.name)
def test_every_level_of_a_sample_is_proven_and_no_date_is_later_than_the_solver_had(
    sample: Path,
) -> None:
    """The forward pass under the plan's choices only ever brings dates forward."""
    _, timed = planned(sample)
    assert all(standing.is_proven for standing in timed.solved.standings)
    for number, leg in enumerate(timed.planned.legs):
        for part, task in enumerate(leg.tasks):
            assert timed.forecast.finish[task] <= timed.solved.end(number, part)
            assert timed.forecast.start[task] <= timed.solved.start(number, part)


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda sample: sample.parent.name)
def test_the_same_question_gives_the_same_plan(sample: Path) -> None:
    """One worker, one seed, a limit of work instead of time."""
    assert plan(case_of_sample(sample)) == plan(case_of_sample(sample))


def test_a_written_plan_is_what_the_forecast_then_says(tmp_path: Path) -> None:
    """The dates are booked, the job file stays as it was, and the board keeps its date."""
    for sample in SAMPLES:
        folder = tmp_path / sample.parent.name
        shutil.copytree(sample.parent, folder)
        desk = open_desk(folder)
        answer = plan(desk.case())
        if answer.board is None:
            assert not answer.lines or answer.undated
            continue
        draft = Draft(desk, writer_of("Noor Haddad, contractor"), "by plan")
        for line in answer.lines:
            draft.add(Statement(dict(line), writer_of("Noor Haddad, contractor")))
        draft.write()
        after = open_desk(folder).case()
        board = after.teller.moment(after.outlook.forecast.start[after.site.board_start])
        assert board is not None
        assert board <= answer.board
        trips = {date.id.partition(":")[2]: date for date in answer.dates if date.kind == "trip"}
        for name, date in trips.items():
            assert after.teller.moment(after.outlook.known.arrivals[name]) == date.starts
        assert check(after, answer.instants.on).verdict is not None
        assert (folder / "job.toml").read_bytes() == sample.read_bytes()
        again = plan(after)
        moves = [date for date in again.dates if date.change == "moves"]
        assert all(date.starts != date.was for date in moves)
        levels = {line.level: line.value for line in again.levels}
        assert levels["people told something new"] == len(again.tell)
        assert len(again.tell) == len({date.who.id for date in moves})
