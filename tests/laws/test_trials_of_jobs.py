"""Without spread a trial is the forecast: both edges of the spray windows, to the minute.

And with drawn lengths each trial has the edges that the gates find for a job of those lengths.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import assume, given

from readiness.desk.desk import desk_of
from readiness.facts.loader import load_chances
from readiness.gates.verdict import Judge
from readiness.job.instants import EARLIER, NEVER
from readiness.planning.trials import Subject, tried
from readiness.planning.trials_assumed import Assuming
from readiness.planning.trials_drawn import Shape, Uncertain, drawn
from readiness.planning.trials_subject import open_surfaces, subject_of
from readiness.schedule.forward import forward
from tests.conftest import ROOT
from tests.laws.random_jobs import Plan, Work, asked_of, plans

if TYPE_CHECKING:
    from readiness.schedule.outlook import Outlook

SAMPLES = sorted((ROOT / "sample_jobs").glob("*/job.toml"))
SHOWN = 6
"""Trials that are worked out once more by the gates."""


def edges(judge: Judge, trip: str) -> tuple[int, int]:
    """Return when the last surface of a trip opens and the first one closes."""
    windows = [judge.windows[surface] for surface in open_surfaces(judge, trip)]
    return (
        max((window.opens for window in windows), default=EARLIER),
        min((window.last_start for window in windows), default=NEVER),
    )


def subject(judge: Judge, trip: str, *, only_own: bool) -> Subject:
    """Return a trip as the subject of trials."""
    assuming = Assuming(judge.outlook, load_chances().chances, only_own=only_own)
    return subject_of(judge, trip, assuming, Shape.TRIANGULAR)[0]


def opened_last(judge: Judge, trip: str, opens: int) -> set[int]:
    """Return the task that opens a trip last, of several the one with the smallest id."""
    tasks = judge.outlook.site.tasks
    found = {
        window.opens_by
        for surface in open_surfaces(judge, trip)
        if (window := judge.windows[surface]).opens == opens and window.opens_by is not None
    }
    return {min(found, key=lambda task: tasks[task].id)} if found else set()


def without_spread(judge: Judge) -> None:
    """Look whether every trial of every trip is the forecast."""
    for trip in judge.outlook.site.trips:
        still = replace(subject(judge, trip, only_own=True), uncertain=Uncertain())
        (outcome,) = tried(still, 3, 1)
        opens, last_start = edges(judge, trip)
        assert outcome.opens.tolist() == [opens] * 3
        assert outcome.last_start.tolist() == [last_start] * 3
        assert set(outcome.last) == opened_last(judge, trip, opens)


@given(plans())
def test_without_spread_every_trial_of_a_job_is_the_forecast(plan: Plan) -> None:
    job = asked_of(plan)
    assume(job is not None)
    assert job is not None
    without_spread(job.case.judge)


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda sample: sample.parent.name)
def test_without_spread_every_trial_of_a_sample_is_the_forecast(sample: object) -> None:
    path = ROOT / str(sample)
    without_spread(desk_of(path.read_bytes(), path).case().judge)


def lengths_only(judge: Judge, trip: str) -> Subject:
    """Return a trip of which the lengths are drawn and nothing else."""
    whole = subject(judge, trip, only_own=False)
    return replace(whole, uncertain=Uncertain(spreads=whole.uncertain.spreads))


def of_trial(outlook: Outlook, lengths: dict[int, int]) -> Outlook:
    """Return the outlook of a job whose open tasks last as long as in one trial."""
    state = outlook.known.state
    begun = {
        task: each._replace(remaining_minutes=lengths.get(task, each.remaining_minutes))
        for task, each in state.begun.items()
    }
    known = outlook.known._replace(
        minutes={
            **outlook.known.minutes,
            **{task: each for task, each in lengths.items() if task not in begun},
        },
        state=replace(state, begun=begun),
    )
    network = outlook.network.with_minutes(known.minutes)
    return replace(
        outlook,
        known=known,
        network=network,
        forecast=forward(network, outlook.calendars, known.state),
    )


def by_the_gates(judge: Judge, trip: str) -> None:
    """Look whether the trials of a trip have the edges that the gates find for their lengths."""
    asked = lengths_only(judge, trip)
    (outcome,) = tried(asked, SHOWN, 5)
    minutes = drawn(asked.uncertain, 5, 0, SHOWN).minutes
    for trial in range(SHOWN):
        lengths = {task: int(found[trial]) for task, found in minutes.items()}
        edge = edges(Judge(of_trial(judge.outlook, lengths)), trip)
        assert (outcome.opens[trial], outcome.last_start[trial]) == edge


@given(plans())
def test_each_trial_of_a_job_has_the_edges_that_the_gates_find(plan: Plan) -> None:
    job = asked_of(plan)
    assume(job is not None)
    assert job is not None
    for trip in job.site.trips:
        by_the_gates(job.case.judge, trip)


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda sample: sample.parent.name)
def test_each_trial_of_a_sample_has_the_edges_that_the_gates_find(sample: object) -> None:
    path = ROOT / str(sample)
    judge = desk_of(path.read_bytes(), path).case().judge
    for trip in judge.outlook.site.trips:
        by_the_gates(judge, trip)


def test_the_law_of_lengths_meets_edges_that_move() -> None:
    """Some sample's opening edge differs from trial to trial, so the law says something."""
    moved = 0
    for sample in SAMPLES:
        judge = desk_of(sample.read_bytes(), sample).case().judge
        for trip in judge.outlook.site.trips:
            (outcome,) = tried(lengths_only(judge, trip), 200, 5)
            moved += len(np.unique(outcome.opens)) > 1
    assert moved


def test_what_is_under_way_between_two_edges_counts_whole() -> None:
    """Work that was done early waits for work under way: its rest alone would open a later edge."""
    under_way = Work("w0", "electrician", ("bath",), "after", 1, begun="2026-04-20")
    done = Work("w1", "electrician", ("bath",), "after", 1, (("w0", 0),), done="2026-04-20")
    job = asked_of(Plan(works=(under_way, done), trip_day="2026-05-05T07:00:00"))
    assert job is not None
    by_the_gates(job.case.judge, "first")
