"""How likely things go wrong on this job, as whoever owns it has seen them go.

Invariant: what is left out is not zero but the usual figure, told with its source.
"""

from __future__ import annotations

from pydantic import Field

from readiness.job.fields import Id
from readiness.job.quantities import Duration, Share
from readiness.job.rows import Row


class ChancesRow(Row):
    """Your own chances; what is left out is the usual figure, and the answer says so."""

    quick_by: Share | None = None
    """How much less than planned a work takes at the least, without a range of its own."""
    slow_by: Share | None = None
    """How much more than planned a work takes at the most, without a range of its own."""
    look_fails: Share | None = None
    """A look of an office fails."""
    looks: dict[Id, Share] = Field(default_factory=dict)
    """The same for single approvals, by id."""
    no_show: Share | None = None
    """A trade does not come on the day on which its stay would begin."""
    no_shows: dict[Id, Share] = Field(default_factory=dict)
    """The same for single trades, by id."""
    material_late: Share | None = None
    """Something is missing on the day on which a stay would begin."""
    materials: dict[Id, Share] = Field(default_factory=dict)
    """The same for single works, by id."""
    material_takes: Duration | None = None
    """How long a stay waits for what is missing, in its trade's working time."""
    outside_weather: Share | None = None
    """A day of work outside is lost to the weather."""
    spray_weather: Share | None = None
    """The weather keeps the crew from spraying on a day."""
