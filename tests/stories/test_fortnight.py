"""A fortnight from an empty diary, by one documented script, with the expected word at each step.

Invariant: every step runs the real command line on one copy of one sample, in order.
"""

from __future__ import annotations

import dataclasses
from pathlib import Path

import pytest

from tests.conftest import ROOT
from tests.stories import page
from tests.stories.replay import Seen, Step, copied, run, story

HAPPENS = (
    "failed framing",
    "all but bath.east-wall",
    "change ",
    "--cause storm",
    "stop ",
    "lift",
    "override ",
    "60 %",
    "last-foam",
    "release",
    "calls ",
    "receive ",
)
"""What the script must hold."""


@pytest.fixture(scope="module")
def job(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the folder in which the script is replayed once for all."""
    return copied(story().sample, tmp_path_factory.mktemp("fortnight"))


@pytest.fixture(scope="module")
def replayed(job: Path) -> list[tuple[Step, Seen]]:
    """Return each step with what it came to."""
    assert not (job / "diary").exists()
    return [(step, run(step, job)) for step in story().steps]


def differences(step: Step, seen: Seen) -> list[str]:
    """Return where a step came to something else than the script says."""
    wrong = []
    if seen.exit != step.exit:
        wrong.append(f"exit {seen.exit}, not {step.exit}")
    if seen.verdict != step.verdict:
        wrong.append(f"verdict {seen.verdict}, not {step.verdict}")
    if step.gate and seen.gate != step.gate:
        wrong.append(f"gate {seen.gate}, not {step.gate}")
    if step.prints not in " ".join(seen.printed.split()):
        wrong.append(f"does not print {step.prints!r}")
    wrong += [
        f"{surface} is {seen.surfaces[surface]}, not {word}"
        for surface, word in step.surfaces
        if seen.surfaces[surface] != word
    ]
    return [f"{step.at} {step.run}: {each}" for each in wrong]


def test_every_step_comes_to_what_the_script_says(replayed: list[tuple[Step, Seen]]) -> None:
    wrong = [line for step, seen in replayed for line in differences(step, seen)]
    assert not wrong, "\n".join(wrong)


def test_the_script_holds_everything_that_goes_wrong_on_a_site() -> None:
    commands = "\n".join(f"{step.run}\n{step.message}" for step in story().steps)
    assert [word for word in HAPPENS if word not in commands] == []
    words = {step.verdict for step in story().steps}
    assert {"too early", "too late", "not prepared", "ready", "stopped", "keep-out"} <= words


def test_the_clock_of_the_script_never_goes_back() -> None:
    clocks = [step.at for step in story().steps]
    assert clocks == sorted(clocks)


def test_the_past_answers_as_it_did_then(job: Path, replayed: list[tuple[Step, Seen]]) -> None:
    """With the whole diary written, each step asked as of its own minute gives its own word."""
    last_of_minute = {step.at: step for step, _ in replayed}
    for step in list(last_of_minute.values())[::4]:
        asked = dataclasses.replace(step, run="check JOB", message="", by="", prints="")
        assert run(asked, job).verdict == step.verdict, step.at


def test_a_step_that_comes_to_something_else_is_noticed(tmp_path: Path) -> None:
    told = story()
    job = copied(told.sample, tmp_path)
    seen = run(told.steps[0], job)
    assert not differences(told.steps[0], seen)
    other = dataclasses.replace(
        told.steps[0],
        verdict="ready",
        gate="gun",
        exit=4,
        prints="the rig stays in the yard",
        surfaces=(("roof", "passed"),),
    )
    assert len(differences(other, seen)) == 5


def test_the_page_that_tells_the_fortnight_is_as_it_would_be_made_now(
    replayed: list[tuple[Step, Seen]],
) -> None:
    assert page.PAGE.read_text("utf-8") == page.page(replayed), (
        f"run python -m tests.stories.page; {page.PAGE.relative_to(ROOT)} is stale"
    )
