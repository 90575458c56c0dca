"""Work that waits for itself is a problem of the file, told as a chain with lines."""

from __future__ import annotations

import pytest

from readiness.desk.circle_problems import circle_problems
from readiness.job.loading import load_job_text
from readiness.job.problems import Problem
from readiness.schedule.frame import frame_of
from readiness.schedule.network import CircleError
from readiness.site.lay_out import lay_out
from tests.builders import HEAD, ROOMS, TINY, TRIP, with_head


def circles(text: str) -> list[Problem]:
    """Return the problems of a job whose tasks wait for each other."""
    job, lines = load_job_text(with_head(text), "job.toml", TINY)
    site = lay_out(job, TINY, lines.origin)
    with pytest.raises(CircleError) as caught:
        frame_of(site)
    return circle_problems(site, caught.value.circles)


def test_two_works_that_wait_for_each_other_are_told_with_their_lines() -> None:
    text = (
        ROOMS + '[work]\npipes = { trade = "plumber", in = ["bath"], takes = "1 d", '
        'starts_after = [{ end_of = "wires" }] }\n'
        'wires = { trade = "electrician", in = ["bath"], takes = "1 d", '
        'starts_after = [{ end_of = "pipes" }] }\n' + TRIP
    )
    (problem,) = circles(text)
    lines = (HEAD + text).splitlines()
    for name in ("pipes", "wires"):
        number = next(n for n, line in enumerate(lines, 1) if line.startswith(name))
        assert f"line {number}" in problem.what
    assert "wait for each other" in problem.what
    assert "two trips" not in problem.what


def test_a_circle_is_a_problem_even_where_dates_could_be_found() -> None:
    """Start-to-start both ways has dates, and is still a slip."""
    text = (
        ROOMS + '[work]\npipes = { trade = "plumber", in = ["bath"], takes = "1 d", '
        'starts_after = [{ start_of = "wires" }] }\n'
        'wires = { trade = "electrician", in = ["bath"], takes = "1 d", '
        'starts_after = [{ start_of = "pipes" }] }\n' + TRIP
    )
    assert len(circles(text)) == 1


def test_a_circle_through_one_trip_needs_two_trips_and_names_both_surfaces() -> None:
    """The furnace goes in after the foam on one wall and before that on another."""
    text = (
        ROOMS + '[work]\nfurnace = { trade = "hvac", in = ["bath", "kitchen"], takes = "1 d", '
        "together = true, "
        'order = { "bath.outer" = "after", "kitchen.outer" = "before" } }\n' + TRIP
    )
    (problem,) = circles(text)
    assert "needs two trips" in problem.what
    assert "Bath" in problem.hint
    assert "Kitchen" in problem.hint


def test_the_circle_through_the_foam_may_run_through_several_works() -> None:
    text = (
        ROOMS
        + '[work]\ntrunk = { trade = "hvac", in = ["bath"], takes = "1 d", order = "after" }\n'
        + 'wires = { trade = "electrician", in = ["kitchen"], takes = "1 d", order = "before", '
        + 'starts_after = [{ end_of = "trunk" }] }\n'
        + TRIP
    )
    (problem,) = circles(text)
    assert "needs two trips" in problem.what
    assert "Bath" in problem.hint
    assert "Kitchen" in problem.hint


def test_two_trips_end_the_circle() -> None:
    text = (
        ROOMS + '[work]\nfurnace = { trade = "hvac", in = ["bath", "kitchen"], takes = "1 d", '
        'together = true, order = { "bath.outer" = "after", "kitchen.outer" = "before" } }\n'
        '[trips]\nearly = { surfaces = ["bath.outer"] }\nmain = { surfaces = ["kitchen.outer"] }\n'
    )
    job, lines = load_job_text(with_head(text), "job.toml", TINY)
    assert frame_of(lay_out(job, TINY, lines.origin)).network.ids
