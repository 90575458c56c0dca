"""Every story has its test, and every test that tells a story is listed.

Invariant: the list names tests that are there.
"""

from __future__ import annotations

import ast
import tomllib
from pathlib import Path

import pytest

from tests.conftest import ROOT

HERE = Path(__file__).parent
LISTED: dict[str, str] = tomllib.loads((HERE / "stories.toml").read_text(encoding="utf-8"))
TOLD = ("test_stories.py", "test_stories_of_foam.py")
OF_THE_WEATHER = {
    "stories/test_stories_of_foam.py::test_a_forecast_that_ends_before_the_trip_does",
    "stories/test_stories_of_foam.py::test_a_gap_in_the_forecast_is_told_and_not_filled",
}
"""Tests beside the stories that tell none of a site."""


def told_in(file: Path) -> set[str]:
    """Return the tests of a file that assert something, each with its file."""
    folder = file.relative_to(ROOT / "tests").as_posix()
    return {
        f"{folder}::{node.name}"
        for node in ast.parse(file.read_text(encoding="utf-8")).body
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
        and node.name.startswith("test_")
        and any(isinstance(inner, ast.Assert) for inner in ast.walk(node))
    }


@pytest.mark.parametrize("story", LISTED)
def test_a_story_has_its_test(story: str) -> None:
    file, _, _ = LISTED[story].partition("::")
    assert LISTED[story] in told_in(ROOT / "tests" / file)


def test_every_test_that_tells_a_story_is_listed() -> None:
    told = set().union(*(told_in(HERE / name) for name in TOLD))
    assert told - OF_THE_WEATHER == {test for test in LISTED.values() if test in told}
    assert len(set(LISTED.values())) == len(LISTED)
