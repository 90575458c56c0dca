"""Which of the published limits are in force for a job.

Invariant: a limit that the job wrote from its product sheet goes before every usual one, and says
so.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.facts.limit_rows import Bound, LimitRow, Measure
from readiness.foam.conditions import Limit, limit_of

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.facts.limit_rows import Limits
    from readiness.job.job import Job

AS_WRITTEN = "as written in the job file"


def limits_in_force(job: Job, limits: Limits) -> tuple[Limit, ...]:
    """Return the limits that are applied to a job, in the order of the table."""
    return tuple(
        _of_job(job, code, row)
        for code, row in limits.limits.items()
        if row.in_force and row.units in ("", job.units)
    )


def limits_beside(job: Job, limits: Limits) -> tuple[Limit, ...]:
    """Return the other published figures, which are told and never applied."""
    return tuple(
        limit_of(code, row)
        for code, row in limits.limits.items()
        if not row.in_force and row.units in ("", job.units)
    )


def _of_job(job: Job, code: str, row: LimitRow) -> Limit:
    change = job.requirements.get(row.requirement)
    if not change:
        return limit_of(code, row)
    written = change.at_least if row.bound is Bound.AT_LEAST else change.at_most
    sheet = change.sheet or AS_WRITTEN
    limit = limit_of(code, row, written, sheet) if written else limit_of(code, row)
    return limit._replace(decides=change.effect) if change.effect else limit


def one_of(limits: Iterable[Limit], measure: Measure, bound: Bound) -> Limit | None:
    """Return the limit in force on one side of what is measured, if there is one."""
    return next(
        (one for one in limits if one.measures is measure and (one.bound is bound)),
        None,
    )
