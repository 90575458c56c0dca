"""The prices of one job, as its owner knows them.

Invariant: what is left out is not guessed; whoever adds up says what a sum leaves out.
"""

from __future__ import annotations

from pydantic import Field

from readiness.job.fields import Id, Money, Text
from readiness.job.quantities import Duration
from readiness.job.rows import Row


class CostsRow(Row):
    """Your own prices; what is left out is not guessed, and a sum without it says so."""

    currency: Text = ""
    """What the amounts are counted in, e.g. `USD`; it stands behind every figure."""
    trip: Money | None = None
    """One coming of the rig, wasted or further: crew, fuel, drums warmed."""
    day: Money | None = None
    """One working day that the whole job stands still."""
    trade_day: Money | None = None
    """One working day of a trade's crew: come extra, or kept away."""
    trade_days: dict[Id, Money] = Field(default_factory=dict)
    """The same for single trades, by id."""
    move: Money | None = None
    """Moving one date that was agreed or booked."""
    shift: Money | None = None
    """One extra shift of a trade, beside its usual hours."""
    crew: Money | None = None
    """Bringing one more crew of a trade."""
    rig: Money | None = None
    """Bringing one more rig with its crew to a trip."""
    approval: Money | None = None
    """One more look of an office."""
    heat_hour: Money | None = None
    """One hour of heating or drying the place."""
    seal: Money | None = None
    """Sealing one surface, or one bay, by hand; for whatever method has no price of its own."""
    seal_cans: Money | None = None
    """The same with canned foam and sealant."""
    seal_boards: Money | None = None
    """The same with boards cut to fit and sealed at the edges."""
    seal_kit: Money | None = None
    """The same with a small two-part kit."""
    rebook: Duration | None = None
    """How long it takes until a rig that came in vain comes again, in the job's working days."""
    cut_out: Money | None = None
    """Cutting foam out again, for each square foot."""
    foam: Money | None = None
    """Spraying foam, for each board foot."""
