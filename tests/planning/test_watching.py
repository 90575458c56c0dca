"""A search for a plan that is watched: it says what it looks at, and ends when it is told to."""

from __future__ import annotations

import tomllib
from pathlib import Path
from threading import Event, Thread
from typing import TYPE_CHECKING

import pytest

from readiness.desk.desk import desk_of
from readiness.planning.activities import End
from readiness.planning.model import Model
from readiness.questions.plan import plan
from tests.planning.clock_problems import shop_of_jobs
from tests.questions.test_plan import HEAD, ONE_TRIP, work

if TYPE_CHECKING:
    from collections.abc import Callable

SHOPS = Path(__file__).parents[1] / "outside" / "job_shops.toml"


class _LeftError(Exception):
    """Nobody waits any more."""


def test_watching_changes_nothing_and_what_is_raised_ends_it() -> None:
    """The levels are named in the order in which they count."""
    text = f"{HEAD}[work]\n{work('one')}\n{work('two')}\n{ONE_TRIP}"
    case = desk_of(text, Path("/nowhere/job.toml")).case()
    said: list[str] = []
    watched = plan(case, lambda says, stop: said.append(says) if callable(stop) else None)
    assert watched == plan(case)
    assert said[0] == "what can come when"
    assert said.index("start of board") < said.index("everything else as early as it goes")

    def leave(says: str, stop: Callable[[], None]) -> None:
        del stop
        if says == "start of board":
            raise _LeftError

    with pytest.raises(_LeftError):
        plan(case, leave)


def test_a_search_that_takes_long_ends_early_when_it_is_stopped() -> None:
    """Ten jobs on ten machines (Muth and Thompson 1963) take minutes to be proven."""
    problem = shop_of_jobs(tomllib.loads(SHOPS.read_text(encoding="utf-8"))["ft10"]["jobs"])
    clocked, is_over = problem.clocked(), Event()
    stoppers: list[Thread] = []

    def stop_it(says: str, stop: Callable[[], None]) -> None:
        def until_over() -> None:
            while not is_over.wait(0.01):
                stop()

        del says
        stoppers.append(Thread(target=until_over))
        stoppers[-1].start()

    model = Model(clocked.problem, 1000.0, None, stop_it)
    reached = model.least(model.instant(End(clocked.end)))
    is_over.set()
    stoppers[0].join()
    assert not reached.is_proven
