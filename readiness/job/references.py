"""Checks a whole job file against itself and against the tables of facts.

Invariant: a job without a problem here can be laid out: every name in it leads to something.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.job.check_calendars import check_calendars
from readiness.job.check_dates import check_dates
from readiness.job.check_depth import check_depth
from readiness.job.check_foam import check_foam
from readiness.job.check_names import check_names
from readiness.job.check_places import check_places
from readiness.job.check_ranges import check_ranges
from readiness.job.check_trips import check_readings, check_trips
from readiness.job.checking import Checking

if TYPE_CHECKING:
    from readiness.facts.rows import Facts
    from readiness.job.job import Job
    from readiness.job.lines import Lines
    from readiness.job.problems import Problem


def check_references(job: Job, facts: Facts, lines: Lines) -> list[Problem]:
    """Return everything that is wrong across the lines of a job file, sorted by line."""
    checking = Checking(job, facts, lines)
    check_places(checking)
    check_names(checking)
    check_dates(checking)
    check_trips(checking)
    check_readings(checking)
    check_depth(checking)
    check_ranges(checking)
    check_foam(checking)
    check_calendars(checking)
    return sorted(checking.problems, key=lambda problem: (problem.line or 0, problem.key))
