"""Whether the foam of one surface owes a work, asked while a job is laid out.

Invariant: the answer is the one that the question about foam gives for the same surface.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.facts.loader import load_foam
from readiness.foam.foam_spot import foam_spot_of, ruled_of
from readiness.foam.roofs import roof_said
from readiness.foam.said import State
from readiness.foam.surroundings import ground_said
from readiness.foam.walls import wall_said

if TYPE_CHECKING:
    from readiness.facts.rows import SurfaceRow
    from readiness.job.job import Job


def is_owed(what: str, job: Job, surface: str, kind: SurfaceRow) -> bool | None:
    """Say whether the foam of a surface owes something; None where the tables have no row.

    Args:
        what: `retarder`, `coating` or `ground sheet`.
        job: The job.
        surface: Id of the surface.
        kind: What the facts say of its kind.
    """
    tables = load_foam()
    ruled = ruled_of(job, tables)
    spot = foam_spot_of(job, tables, surface, kind)
    said = [one for rule in (wall_said, roof_said, ground_said) for one in rule(spot, ruled)]
    if any(one.owes == what and one.state is State.OWED for one in said):
        return True
    return None if any(one.state is State.NO_ROW for one in said) else False
