"""Order of lines, names, units and whole weeks change nothing but names, units and dates."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from hypothesis import assume, given
from hypothesis import strategies as st

from readiness.facts.vocabulary import Gate
from readiness.job.instants import is_dated
from tests.builders import asked
from tests.laws.random_jobs import SURFACES, TABLES, Plan, asked_of, plans
from tests.laws.test_windows_and_flags import arrivals

if TYPE_CHECKING:
    from tests.builders import Asked

WEEK = 7 * 24 * 60


def told(job: Asked, on: int, shift: int = 0) -> object:
    """Return what a question answers: verdict, windows and blockers, its dates moved back."""

    def back(instant: int) -> int:
        return instant - shift if is_dated(instant) else instant

    verdicts = job.verdicts(Gate.PROMISE, on)
    windows = {}
    for surface in SURFACES:
        window = job.window(surface)
        edges = (window.opens, window.last_start, window.closes, window.costs_from)
        windows[surface] = tuple(back(edge) for edge in edges)
    blockers = {
        (blocker.holds, blocker.code, frozenset(blocker.surfaces), back(blocker.clears_at))
        for blocker in job.blockers(Gate.PROMISE, on)
    }
    words = {surface: verdicts.surfaces[surface].word for surface in SURFACES}
    return verdicts.word, words, windows, blockers


@given(plans(), arrivals, st.permutations(range(7)), st.randoms(use_true_random=False))
def test_the_order_of_tables_and_lines_changes_nothing(
    plan: Plan, on: int, tables: list[int], chooser: object
) -> None:
    job = asked_of(plan)
    assume(job is not None)
    assert job is not None
    works = list(plan.works)
    chooser.shuffle(works)  # type: ignore[attr-defined]
    answers = list(plan.answers)
    chooser.shuffle(answers)  # type: ignore[attr-defined]
    mixed = replace(plan, works=tuple(works), answers=tuple(answers), order_of_tables=tuple(tables))
    again = asked_of(mixed)
    assert again is not None
    assert told(again, on) == told(job, on)
    by_id = {task.id: job.outlook.forecast.finish[task.index] for task in job.site.tasks}
    assert by_id == {
        task.id: again.outlook.forecast.finish[task.index] for task in again.site.tasks
    }


@given(plans(), arrivals)
def test_renaming_with_the_order_kept_changes_nothing_but_names(plan: Plan, on: int) -> None:
    job = asked_of(plan)
    assume(job is not None)
    assert job is not None
    renamed = re.sub(r"\bw(\d)\b", r"works-\1-renamed", plan.text())
    again = asked(renamed, tables=TABLES)
    by_name = {
        (holds, re.sub(r"works-(\d)-renamed", r"w\1", code), surfaces, clears)
        for holds, code, surfaces, clears in told(again, on)[3]  # type: ignore[index]
    }
    assert told(again, on)[:3] == told(job, on)[:3]  # type: ignore[index]
    assert by_name == told(job, on)[3]  # type: ignore[index]


@given(plans(), arrivals)
def test_metric_and_inch_say_the_same(plan: Plan, on: int) -> None:
    inch = replace(plan, surface_depth="5.5 in", area="1076.39104167 sq ft")
    metric = replace(plan, surface_depth="139.7 mm", area="100 m2")
    jobs = [asked_of(inch), asked_of(metric)]
    assume(jobs[0] is not None)
    assert jobs[0] is not None
    assert jobs[1] is not None
    assert told(jobs[0], on) == told(jobs[1], on)


@given(plans(), arrivals, st.integers(1, 20))
def test_whole_weeks_move_dates_and_nothing_else(plan: Plan, on: int, weeks: int) -> None:
    """In a calendar without holidays and without a clock change."""

    def moved(match: re.Match[str]) -> str:
        day = datetime.fromisoformat(match[0]) + timedelta(weeks=weeks)
        return day.date().isoformat()

    job = asked_of(plan)
    assume(job is not None)
    assert job is not None
    text = re.sub(r"\d{4}-\d\d-\d\d", moved, plan.text())
    as_of = re.sub(r"\d{4}-\d\d-\d\d", moved, "2026-05-04 06:30")
    again = asked(text, as_of, TABLES)
    shift = weeks * WEEK
    assert told(again, on + shift, shift) == told(job, on)
