"""Whole plans of the samples and of twenty houses made by chance, against importing the solver.

Every level is proven, or the answer names the level that is not.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
from functools import partial

from readiness.desk.desk import open_desk
from readiness.pages.plan_text import plan_text
from readiness.planning.whole_plan import whole_plan
from readiness.questions.plan import plan
from readiness.telling.case import Case
from tests.bench.ratio import Ratio, elapsed_ms, fails_when_delayed
from tests.conftest import ROOT
from tests.planning.house_jobs import house

LIMIT = 10.0
"""Times a process that imports the solver and nothing else."""

SAMPLES = tuple(path.parent for path in sorted((ROOT / "sample_jobs").glob("*/job.toml")))


def imported() -> object:
    """Start a process that imports the solver."""
    code = "from ortools.sat.python import cp_model"
    return subprocess.run([sys.executable, "-c", code], check=True)


def cases() -> list[tuple[str, Case]]:
    """Return the samples, then twenty houses."""
    found = [(folder.name, open_desk(folder).case()) for folder in SAMPLES]
    return found + [(f"house {number}", house(number).case()) for number in range(20)]


def test_every_plan_is_proven_in_a_few_times_the_import_of_the_solver() -> None:
    """The slowest of them counts; each is planned once, between two imports."""
    whole_plan(open_desk(SAMPLES[0]).case().outlook)
    worst = None
    for name, case in cases():
        against = statistics.mean((elapsed_ms(imported), elapsed_ms(imported)))
        measured = elapsed_ms(partial(whole_plan, case.outlook))
        found = Ratio(f"plan of {name}", measured, against, measured / against, LIMIT)
        print(f"\n{found}, {len(case.site.stays)} works")  # noqa: T201 - read from the output
        if worst is None or found.ratio > worst.ratio:
            worst = found
        timed = whole_plan(case.outlook).timed
        assert timed is not None
        if not all(standing.is_proven for standing in timed.solved.standings):
            assert "Not proven" in plan_text(plan(case))
    assert worst is not None
    worst.check()


def test_the_bench_of_plans_can_fail() -> None:
    """With a delay just past the limit it must."""
    outlook = open_desk(SAMPLES[2]).case().outlook
    fails_when_delayed("plan of a shop", lambda: whole_plan(outlook), imported, limit=LIMIT)
