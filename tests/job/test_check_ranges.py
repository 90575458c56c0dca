"""Ranges in order, counted alike, and chances of what the job has."""

from __future__ import annotations

import pytest

from tests.job.builders import checked, job_text, loaded


def told(work: str = "", chances: str = "") -> list[str]:
    """Return the problems of a range or a table of chances, without the file."""
    text = job_text(work=work, chances=chances) if work else job_text(chances=chances)
    return [str(problem).partition(": ")[2] for problem in checked(text)]


@pytest.mark.parametrize(
    ("line", "sentence"),
    [
        ('takes = "3 d", takes_at_least = "4 d"', "at least 4 d is more than the likely 3 d"),
        ('takes = "3 d", takes_at_most = "2 d"', "at most 2 d is less than the likely 3 d"),
        ('takes = "3 d", takes_at_most = "90 h elapsed"', "is not counted like 3 d"),
        ('takes_at_most = "2 d"', "a range without its likely duration"),
    ],
)
def test_a_range_out_of_order_is_told_by_its_key(line: str, sentence: str) -> None:
    (problem,) = told(work=f"blocking = {{ {line} }}")
    assert sentence in problem


def test_a_range_in_order_is_taken() -> None:
    line = 'blocking = { takes = "3 d", takes_at_least = "2 d", takes_at_most = "3 d" }'
    job, _ = loaded(job_text(work=line))
    row = job.work["blocking"]
    assert row
    assert str(row.takes_at_most) == "3 d"


@pytest.mark.parametrize(
    ("chances", "sentence"),
    [
        ('no_shows = { plumbr = "5 %" }', "plumbr is no known trade; did you mean plumber?"),
        ('materials = { nothing = "5 %" }', "nothing is no work of this job"),
        ('looks = { electric-approval = "5 %" }', "is no known approval"),
        ("no_show = 5", "no_show"),
        ('no_show = "150 %"', "a share from 0 % to 100 %"),
    ],
)
def test_a_chance_of_nothing_is_told(chances: str, sentence: str) -> None:
    (problem,) = told(chances=chances)
    assert sentence in problem


def test_the_wait_for_another_rig_is_in_working_days() -> None:
    (problem,) = checked(job_text(costs='rebook = "3 cal d"'))
    assert "costs.rebook: 3 cal d is counted on the clock" in str(problem)
    loaded(job_text(costs='rebook = "3 d"'))
