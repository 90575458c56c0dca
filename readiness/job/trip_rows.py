"""One coming of a rig as people write it, and what its rig is called among calendars.

Invariant: a row holds what was written; two ways to write a rig's letters are one rig.
"""

from __future__ import annotations

from typing import Annotated

from pydantic import BeforeValidator, Field

from readiness.job.fields import Count, Day, DaysByPlace, Id, Moment, Places, Text, Truth, as_many
from readiness.job.quantities import Duration, Length
from readiness.job.rows import Row


class TripRow(Row):
    """One coming of a rig."""

    name: Text = ""
    rig: Id | None = None
    """Which rig comes, as the spray company calls it; it gets a calendar of its own."""
    rigs: Count = 1
    """How many rigs spray at once; they share the spraying time."""
    surfaces: Places = ("all",)
    agreed: Day | None = None
    booked: Day | None = None
    offered: Annotated[tuple[Moment, ...], BeforeValidator(as_many)] = ()
    offer_holds_until: Moment | None = None
    lasts: Duration | None = None
    """From arrival to leaving with one rig, on the spray crew's calendar."""
    lasts_at_most: Duration | None = None
    """The pessimistic one; the keep-out is planned with it."""
    keep_out: Duration | None = None
    """The product sheet's time from the last foam until others may be let in."""
    residents_after: Duration | None = None
    """The sheet's time from the last foam until residents may be let in; without it the same."""
    sheet: Text = ""
    """Name or number of the product data sheet that was read."""
    lots: Places = ()
    """Lot numbers of the drums, for the closing record."""
    zone: Places = ("all",)
    """Who is kept out: rooms and storeys of one building, unit or contained area."""
    confirmed: Day | None = None
    """When the dispatcher confirmed that the rig comes as agreed."""
    confirmed_by: Text = ""
    arrived: Moment | None = None
    sprayed: DaysByPlace = ()
    last_foam: Moment | None = None
    cleaned: Moment | None = None
    ventilated: Truth | None = None
    released: Moment | None = None
    released_by: Text = ""
    reserved: Places = ()
    """Surfaces left unsprayed on purpose."""
    follow_ups: dict[Text, Text] = Field(default_factory=dict)
    """What is to happen later where a surface is left out, by place; the board waits for it."""
    left_exposed: Places = ()
    """Surfaces that nothing will cover."""
    depths: dict[Text, Length] = Field(default_factory=dict)
    """Depth that this trip sprays, by place, where the rest waits for another one."""


def rig_id(row: TripRow | None) -> str:
    """Return the name of a trip's rig among trades and roles, empty without one."""
    return f"rig-{row.rig.casefold()}" if row is not None and row.rig else ""
