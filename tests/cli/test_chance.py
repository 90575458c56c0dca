"""`chance` from the command line: days that cannot be, prices that are missing, exit codes."""

from __future__ import annotations

import json

import pytest

from tests.cli.conftest import Run

SAMPLE = "sample_jobs/two-storey-house"


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        (("--on", "2026-06-01"), "has passed; it is Tue 9 Jun 06:15"),
        (("--on", "2026-06-13"), "does not work on Sat 13 Jun; next to it are Fri 12 Jun and Mon"),
        (("--trip", "second"), "there is no trip 'second'"),
        (("--trials", "10"), "100<=x<=200000"),
        (("--shape", "square"), "'square' is not one of"),
    ],
)
def test_words_that_mean_no_day_are_refused(run: Run, words: tuple[str, ...], wanted: str) -> None:
    result = run("chance", SAMPLE, *words)
    assert result.returncode == 2
    assert result.stdout == ""
    assert "Traceback" not in result.stderr
    assert wanted in result.stderr


def test_without_prices_the_rest_of_the_answer_stands_and_says_what_is_missing(run: Run) -> None:
    result = run("chance", SAMPLE, "--trials", "500")
    assert result.returncode == 0
    assert "No day is recommended: [costs] does not say trip and day." in result.stdout
    assert "8 of 10 chance by" in result.stdout


def test_json_holds_the_same_as_the_text_and_the_same_seed_the_same_bytes(run: Run) -> None:
    words = ("chance", SAMPLE, "--trials", "500", "--seed", "7", "--json")
    first, second = run(*words), run(*words)
    assert first.stdout == second.stdout
    told = json.loads(first.stdout)
    assert (told["trials"], told["seed"], told["best"]) == (500, 7, None)
    assert [line["chance"] for line in told["opens"]] == [0.5, 0.8, 0.9]


def test_why_tells_where_figures_and_works_come_from(run: Run) -> None:
    told = run("chance", SAMPLE, "--trials", "500", "--why").stdout
    assert "[common practice, no source]" in told
    assert "job.toml:" in told
