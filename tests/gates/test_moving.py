"""What a call about a booking asks for is the least start with which the arrival is in time."""

from __future__ import annotations

from pathlib import Path

import pytest

from readiness.desk.desk import desk_of
from readiness.gates.moving import least_start
from readiness.questions.check import check
from readiness.telling.case import Case
from tests.conftest import ROOT

DAY = 1440
HOUSE = (ROOT / "sample_jobs" / "two-storey-house" / "job.toml").read_text(encoding="utf-8")


def case_with(booked: str, moved: str) -> Case:
    assert booked in HOUSE
    return desk_of(HOUSE.replace(booked, moved), Path("job.toml")).case()


def case_with_board(day: str) -> Case:
    return case_with('{ agreed = "2026-06-24 to 2026-06-30" }', f"{{ agreed = {day} }}")


@pytest.mark.parametrize("days_later", [0, 1, 2, 3, 6])
def test_it_agrees_with_the_latest_arrival(days_later: int) -> None:
    """An arrival is in time for an item exactly when that starts at the least start or later."""
    case = case_with_board("2026-06-24")
    outlook = case.outlook
    on = outlook.known.arrivals["main"] + days_later * DAY
    closers = {c for window in case.judge.windows.values() for c in window.closers}
    items = [(closer, closer.task) for closer in closers if closer.task is not None]
    assert len(items) > 5
    for closer, task in items:
        in_time = closer.commit >= least_start(outlook, "main", task, on)
        assert in_time == (closer.latest >= on)


def test_what_follows_the_foam_counts_and_not_the_release_alone() -> None:
    """Board booked after the release can still be too soon: the look and the trim come first."""
    answer = check(case_with_board("2026-06-22"))
    (line,) = [line for line in answer.blockers if line.code == "hang-board"]
    assert line.says.startswith("booked too soon after the release")
    assert "Tue 23 Jun" in line.clears_says


def test_board_on_the_day_asked_for_is_in_time() -> None:
    answer = check(case_with_board("2026-06-23"))
    assert not [line for line in answer.blockers if line.code == "hang-board"]


def test_before_the_release_is_told_as_such() -> None:
    answer = check(case_with("{ agreed = 2026-06-17 }", "{ agreed = 2026-06-10 }"))
    (line,) = [line for line in answer.blockers if line.code == "tub"]
    assert line.says.startswith("booked before the release")
