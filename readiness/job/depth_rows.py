"""What the agreed depth of foam means on this job, and how it is to be read.

Invariant: what is left out is not guessed: without a meaning no reading is judged.
"""

from __future__ import annotations

from readiness.facts.vocabulary import DepthMeans
from readiness.job.fields import Count
from readiness.job.quantities import Length, Share
from readiness.job.rows import Row


class DepthRow(Row):
    """The `depth` line: what an agreed depth means, for every surface that says nothing else."""

    means: DepthMeans | None = None
    """`average`, `average with tolerance` or `minimum`, as the scope in writing says."""
    tolerance: Length | None = None
    """With a tolerance: how far one reading may lie to either side."""
    readings: Count | None = None
    """Readings wanted in the field of each surface; no standard gives a number."""
    perimeter: Count | None = None
    """Readings wanted at the perimeter of each surface."""
    spread_at_most: Share | None = None
    """Standard deviation of an average, as a share of the agreed depth."""
    least_anywhere: Share | None = None
    """Least single reading of a plain average, as a share of the agreed depth."""
