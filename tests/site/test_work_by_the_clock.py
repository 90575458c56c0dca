"""Work whose duration is counted on the clock, such as drying, runs through nights and weekends."""

from __future__ import annotations

from pathlib import Path

from readiness.desk.desk import desk_of
from readiness.questions.check import check
from readiness.questions.plan import plan
from tests.builders import told
from tests.planning.test_helping_changes import HEAD

DRYING = """
[approvals]
[work]
dry-out = { trade = "framer", in = ["bath"], order = "before", takes = "100 h elapsed" }
other = { trade = "framer", in = ["kitchen"], order = "before", takes = "16 h" }
"""


def test_drying_does_not_stop_at_the_end_of_a_shift() -> None:
    """From Monday 4 May 06:30 a hundred hours are over on Friday 8 at 10:30."""
    case = desk_of((HEAD + DRYING).encode(), Path("job.toml")).case()
    task = next(task for task in case.site.tasks if task.stay == "dry-out")
    assert task.calendar is None
    assert told(case.outlook.forecast.finish[task.index]) == "2026-05-08 10:30"


def test_drying_keeps_no_crew_busy() -> None:
    """One crew of the framer sets it going and works in the kitchen meanwhile."""
    case = desk_of((HEAD + DRYING).encode(), Path("job.toml")).case()
    assert not [line for line in check(case).findings if line.code == "crew-overlap"]
    slow = DRYING.replace(" elapsed", "")
    case = desk_of((HEAD + slow).encode(), Path("job.toml")).case()
    assert [line for line in check(case).findings if line.code == "crew-overlap"]


def test_a_plan_holds_what_dries_by_the_clock() -> None:
    case = desk_of((HEAD + DRYING).encode(), Path("job.toml")).case()
    answer = plan(case)
    assert answer.board is not None
    assert all(level.is_proven for level in answer.levels)
