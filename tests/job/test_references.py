"""All checks of a file together, and the job that comes out."""

from __future__ import annotations

import pytest

from readiness.facts.loader import load_facts
from readiness.job.loading import load_job_text
from readiness.job.problems import JobFileError
from readiness.job.reading import read_job_with_lines
from readiness.job.references import check_references
from tests.job.builders import FILE, job_text, line_with, loaded

BAD = job_text(
    'rules = ["none-such"]\n',
    rooms='bath-1 = { is = "bath" }\nkitchen = { is = "kitchen" }\npantry = {}',
    work='tub = { trade = "plumbr", in = "bth-1" }',
    trips='first = { surfaces = "kitchen" }\nsecond = { surfaces = "kitchen" }',
).replace("America/New_York", "America/NewYork")


def test_every_check_speaks_and_all_problems_come_by_line() -> None:
    with pytest.raises(JobFileError) as caught:
        load_job_text(BAD, FILE, load_facts())
    assert [(problem.line, problem.key) for problem in caught.value.problems] == [
        (line_with(BAD, "time_zone"), "site.time_zone"),
        (line_with(BAD, "none-such"), "rules[1]"),
        (line_with(BAD, "pantry"), "rooms.pantry"),
        (line_with(BAD, "plumbr"), "work.tub.in"),
        (line_with(BAD, "plumbr"), "work.tub.trade"),
        (line_with(BAD, "second"), "trips.second.surfaces"),
    ]


def test_problems_are_a_list_for_whom_does_not_want_an_error() -> None:
    job, lines = read_job_with_lines(BAD, FILE)
    problems = check_references(job, load_facts(), lines)
    assert len(problems) == 6
    assert problems == sorted(problems, key=lambda problem: (problem.line or 0, problem.key))
    assert {problem.file for problem in problems} == {FILE}


def test_a_file_that_passes_gives_the_job_and_its_lines() -> None:
    text = job_text()
    job, lines = loaded(text)
    assert job.name == "Cedar Lane 3"
    assert lines.of("board") == line_with(text, "board")
    assert check_references(job, load_facts(), lines) == []


def test_a_card_needs_no_network_of_work() -> None:
    text = (
        'name = "Shop 9"\nkey = "abcd"\ncard = true\nsite = { time_zone = "America/Chicago" }\n'
        '[surfaces]\nwalls = { is = "metal wall", area = "900 sq ft gross", depth = "2 in" }\n'
        "[trips]\nfirst = { offered = [2026-05-11T07:00:00, 2026-05-12T07:00:00] }\n"
        '[answers]\ncall = { yes = "site-power", by = "Ida Moss", at = 2026-05-04 }\n'
    )
    job, _ = loaded(text)
    assert job.card
    assert job.rooms == {}
