"""What people write, row by row: places, trades, work, approvals, obstructions, trips, answers.

Invariant: a row holds what was written and nothing derived; every row forbids unknown keys, so a
typing slip is found where it stands.
"""

from __future__ import annotations

from datetime import date, datetime
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from readiness.facts.vocabulary import (
    ApprovalResult,
    Effect,
    Gate,
    Order,
    Proof,
    Protection,
    ReadingKind,
    Role,
    RoomKind,
    Rung,
    SurfaceKind,
    Where,
)
from readiness.job.bookings import Booking
from readiness.job.hours import DaysOff, Hours
from readiness.job.quantities import Area, Duration, Length

Text = str
Day = date | datetime
"""A day, or a moment of it; a day alone is read to the disadvantage of readiness."""

Places = tuple[Text, ...]
"""Ids of rooms, surfaces, storeys or groups, `all`, or one `all but NAME`."""


class Row(BaseModel):
    """What all rows have in common."""

    model_config = ConfigDict(
        extra="forbid", frozen=True, populate_by_name=True, use_attribute_docstrings=True
    )


class SiteRow(Row):
    """The `site` line: where the job is and which calendar and code hold there."""

    time_zone: Text
    """Name of the zone, e.g. `America/New_York`."""
    country: Text = "US"
    """Two letters, for public holidays."""
    state: Text = ""
    """State or province, for public holidays."""
    climate: Text = ""
    """Climate zone of the energy code, e.g. `5A`."""
    code: Text = ""
    """Code and edition that the office has adopted, e.g. `IRC 2021`."""
    address: Text = ""
    contact: Text = ""
    phone: Text = ""
    hours: Hours = Hours.parse("Mon-Fri 07:00-15:30")
    """When the site is open; working gaps and `in 3 working days` count on it."""
    holidays: bool = True
    """Public holidays are closed days."""
    closed: tuple[DaysOff, ...] = ()
    """Further closed days, for everybody."""
    open: tuple[date, ...] = ()
    """Days that are open although they are public holidays."""


class RoomRow(Row):
    """A room or other part of the building."""

    is_: RoomKind = Field(default=RoomKind.OTHER, alias="is")
    name: Text = ""
    storey: Text = ""
    floor_area: Area | None = None


class SurfaceRow(Row):
    """What is sprayed."""

    is_: SurfaceKind = Field(alias="is")
    name: Text = ""
    rooms: Places = ()
    """Rooms it runs through; a surface written as `room.name` runs through that room."""
    area: Area | None = None
    cavity: Length | None = None
    """Depth of the cavity; foam may not be deeper."""
    depth: Length | None = None
    """Depth of foam as agreed."""
    foam: Literal["open cell", "closed cell", ""] = ""


class TradeRow(Row):
    """A trade on this job."""

    name: Text = ""
    """Firm or person."""
    phone: Text = ""
    email: Text = ""
    hours: Hours | None = None
    day: Duration | None = None
    """Length of a working day, if not the commonest shift."""
    off: tuple[DaysOff, ...] = ()
    crews: int = Field(default=1, ge=1, le=50)


class OfficeRow(Row):
    """Whoever approves: when it takes requests and when it comes to see."""

    name: Text = ""
    phone: Text = ""
    hours: Hours = Hours.parse("Mon-Fri 08:00-16:30")
    visits: Hours | None = None
    """Slots in which it comes, e.g. `Tue,Thu 09:00-12:00 13:00-16:00`; else a look takes its day."""
    cut_off: Text = ""
    """Requests after this time count for the next office day, e.g. `15:00`."""
    notice: Duration | None = None
    """From request to look; else that of the approval's row of facts."""
    off: tuple[DaysOff, ...] = ()
    for_: Places = Field(default=(), alias="for")
    """Approvals it gives; an approval that no office names is given by the first office."""


class LinkRow(Row):
    """A written wait; exactly one of `end_of` and `start_of`."""

    end_of: Text = ""
    start_of: Text = ""
    gap: Duration | None = None
    why: Text = ""


class WorkRow(Row):
    """One line of `[work]`: changes a usual work or adds one."""

    title: Text = ""
    trade: Text = ""
    in_: Places | None = Field(default=None, alias="in")
    order: Order | dict[Text, Order] | None = None
    """Foam order, one for all its surfaces or one per surface, group or kind of surface."""
    takes: Duration | None = None
    crews_on: int | None = Field(default=None, ge=1, le=50)
    together: bool | None = None
    weights: dict[Text, float] | None = None
    """Shares of the duration by place; else by area."""
    agreed: Booking | None = None
    booked: Booking | None = None
    not_before: Day | None = None
    not_after: Day | None = None
    done: bool | Day | None = None
    done_in: Places | dict[Text, Day] = ()
    begun: Day | None = None
    """When the first of its open parts began."""
    share: float | None = None
    """Share done of the part that is begun, written as `60 %`."""
    remaining: Duration | None = None
    """What the begun part still takes."""
    how: Rung = Rung.SEEN
    """How what is written here as done or begun is known."""
    starts_after: tuple[LinkRow, ...] = ()
    finishes_after: tuple[LinkRow, ...] = ()
    waits_not_for: Places = ()
    """Works whose usual links into this one are dropped."""
    proof: Proof | None = None
    approval: Text = ""
    protection: Protection | None = None
    where: Where | None = None
    hot: bool | None = None
    effect: Effect | None = None
    note: Text = ""


class ApprovalRow(Row):
    """One statement about an approval, for all or some of its surfaces."""

    surfaces: Places = ("all",)
    requested: datetime | None = None
    slot: datetime | None = None
    """Start of the slot the office has confirmed."""
    result: ApprovalResult | None = None
    at: Day | None = None
    by: Text = ""
    """Who said so."""
    how: Rung = Rung.RECORDED
    correct: Text = ""
    """What is to be corrected, with a failed look or `may cover, correct later`."""


class ObstructionRow(Row):
    """A thing in the gun's way."""

    is_: Text = Field(alias="is")
    name: Text = ""
    blocks: Places = ()
    distance: dict[Text, Length] = Field(default_factory=dict)
    """Free depth to a surface, instead of `blocks`."""
    in_: Places = Field(default=(), alias="in")
    """With neither `blocks` nor `distance`: blocks the surfaces of these places that its kind blocks."""
    set_: Day | None = Field(default=None, alias="set")
    """When it was or will be put there; a thing without a date stands already."""
    set_by: Text = ""
    """The work that puts it there."""
    pull: Day | None = None
    """When it will be pulled."""
    pulled: Day | None = None
    """When it was pulled."""
    reset: Day | None = None
    """When it comes back."""
    pull_takes: Duration | None = None
    fixed: bool | None = None


class TripRow(Row):
    """One coming of a rig."""

    name: Text = ""
    surfaces: Places = ("all",)
    agreed: datetime | date | None = None
    booked: datetime | date | None = None
    offered: tuple[datetime, ...] = ()
    offer_holds_until: datetime | None = None
    lasts: Duration | None = None
    """From arrival to leaving, on the spray crew's calendar."""
    lasts_at_most: Duration | None = None
    """The pessimistic one; the keep-out is planned with it."""
    keep_out: Duration | None = None
    """The product sheet's time from the last foam until others may be let in."""
    sheet: Text = ""
    """Name or number of the product data sheet that was read."""
    zone: Places = ("all",)
    """Who is kept out: rooms and storeys of one building, unit or contained area."""
    arrived: datetime | None = None
    sprayed: Places | dict[Text, Day] = ()
    last_foam: datetime | None = None
    cleaned: datetime | None = None
    ventilated: bool | None = None
    released: datetime | None = None
    released_by: Text = ""
    reserved: Places = ()
    """Surfaces left unsprayed on purpose."""
    left_exposed: Places = ()
    """Surfaces that nothing will cover."""


class AnswerRow(Row):
    """One call, message or walk: which statements were answered how."""

    yes: Places = ()
    no: Places = ()
    unknown: Places = ()
    in_: Places = Field(default=("all",), alias="in")
    """Places the answers speak for."""
    by: Text = ""
    at: Day
    how: Rung = Rung.SAID
    trip: Text = ""


class ReadingRow(Row):
    """One reading of an instrument and the places it speaks for."""

    is_: ReadingKind = Field(alias="is")
    value: Text
    in_: Places = Field(default=("all",), alias="in")
    at: datetime
    by: Text = ""
    instrument: Text = ""


class RequirementChange(Row):
    """One line of `[requirements]`: changes a usual requirement; `false` removes it."""

    effect: Effect | None = None
    due: Gate | None = None
    wanted_before: Duration | None = None
    at_most: Text = ""
    at_least: Text = ""
    sheet: Text = ""
    """The product data sheet a changed limit was read from."""


class WaiverRow(Row):
    """A named person's decision to go on in spite of one blocker, on named surfaces and one trip."""

    requirement: Text
    surfaces: Places
    trip: Text
    role: Role
    by: Text
    reason: Text
    at: Day


class StopRow(Row):
    """Somebody's stop; it beats every verdict until the same role lifts it."""

    by: Text
    role: Role
    reason: Text
    at: datetime
    places: Places = ("all",)
    lifted: datetime | None = None
