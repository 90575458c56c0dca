"""Problems of files, and the word that was probably meant."""

from __future__ import annotations

import pytest

from readiness.job.problems import JobFileError, Problem, did_you_mean, nearest


def test_a_problem_is_one_line_with_file_line_key_and_what_to_do() -> None:
    problem = Problem(
        "job.toml", 12, "work.rough-electricl", "rough-electricl is no usual work",
        read="rough-electricl", hint="did you mean rough-electrical?",
    )  # fmt: skip
    assert str(problem) == (
        "job.toml:12: work.rough-electricl: rough-electricl is no usual work; "
        "did you mean rough-electrical?"
    )


def test_a_problem_of_the_whole_file_has_no_line_and_no_key() -> None:
    assert str(Problem("job.toml", None, "", "there is nothing in it")) == (
        "job.toml: there is nothing in it"
    )


def test_what_is_wanted_is_told_once() -> None:
    told = str(Problem("f", 1, "k", "x is not a day", wanted="a day", hint="write it"))
    assert told == "f:1: k: x is not a day; write it"
    told = str(Problem("f", 1, "k", "x is odd", wanted="a day"))
    assert told == "f:1: k: x is odd; wanted a day"


def test_the_error_holds_all_problems_by_line_each_once() -> None:
    late = Problem("f", 20, "b", "late")
    early = Problem("f", 3, "b", "early")
    first = Problem("f", 3, "a", "first")
    whole = Problem("f", None, "", "whole")
    error = JobFileError([late, early, first, late, whole])
    assert error.problems == (whole, first, early, late)
    assert str(error).splitlines() == [str(problem) for problem in error.problems]


KNOWN = ("rough-electrical", "rough-plumbing", "tub", "wall above grade", "gas-approval")


@pytest.mark.parametrize(
    ("word", "meant"),
    [
        ("rough-electricl", "rough-electrical"),
        ("Rough-Electrical", "rough-electrical"),
        ("wall abve grade", "wall above grade"),
        ("tbu", None),
        ("completely-else", None),
        ("cover-approval", None),
        ("", None),
    ],
)
def test_only_a_word_that_is_much_alike_is_proposed(word: str, meant: str | None) -> None:
    assert nearest(word, KNOWN) == meant
    assert did_you_mean(word, KNOWN) == (f"did you mean {meant}?" if meant else "")


def test_of_words_equally_alike_the_same_is_always_proposed() -> None:
    assert nearest("bath-3", ["bath-2", "bath-1"]) == nearest("bath-3", ["bath-1", "bath-2"])
