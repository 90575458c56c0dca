"""What people write, row by row: places, trades, work, approvals, obstructions, trips, answers.

Invariant: a row holds what was written and nothing derived; every row forbids unknown keys, so a
typing slip is found where it stands.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

from readiness.facts.vocabulary import (
    ApprovalResult,
    DepthMeans,
    Effect,
    FoamExposure,
    Gate,
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
from readiness.job.days_off import DaysOff
from readiness.job.fields import (
    Clock,
    Count,
    Country,
    Day,
    DaysByPlace,
    Done,
    Moment,
    Money,
    Note,
    OrderByPlace,
    Places,
    PlainDay,
    Text,
    Truth,
    Weight,
    as_many,
)
from readiness.job.foam_quantities import Resistance
from readiness.job.hours import Hours
from readiness.job.quantities import Area, Duration, Length, Share

ClosedDays = Annotated[tuple[DaysOff, ...], BeforeValidator(as_many)]


class Row(BaseModel):
    """What all rows have in common."""

    model_config = ConfigDict(
        extra="forbid",
        frozen=True,
        populate_by_name=True,
        defer_build=True,
    )


class SiteRow(Row):
    """The `site` line: where the job is and which calendar and code hold there."""

    time_zone: Text
    """Name of the zone, e.g. `America/New_York`."""
    country: Country = "US"
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
    holidays: Truth = True
    """Public holidays are closed days."""
    closed: ClosedDays = ()
    """Further closed days, for everybody."""
    open: Annotated[tuple[PlainDay, ...], BeforeValidator(as_many)] = ()
    """Days that are open although they are public holidays."""


class RoomRow(Row):
    """A room or other part of the building."""

    is_: RoomKind = Field(default=RoomKind.OTHER, alias="is")
    name: Text = ""
    storey: Text = ""
    floor_area: Area | None = None
    service_only: Truth | None = None
    """Entered only to service what is in it: for an attic or crawl space neither stored in nor
    lived in."""


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
    depth_means: DepthMeans | None = None
    """What that depth means, if not what `[depth]` says."""
    tolerance: Length | None = None
    """Its tolerance, if not that of `[depth]`."""
    foam: Literal["open cell", "closed cell", ""] = ""
    product: Text = ""
    """Id of its foam in `[products]`; without it the one product of its class."""
    exposure: FoamExposure | None = None
    """What the foam has to live with, if it is not what its kind of surface usually has."""
    outside_r: Resistance | None = None
    """Continuous insulation outside the frame, or above the roof deck."""
    fill_r: Resistance | None = None
    """Other insulation in the same cavity, in front of the foam."""
    framing: Share | None = None
    """Share of the area that is wood and gets no foam."""


class TradeRow(Row):
    """A trade on this job."""

    name: Text = ""
    """Firm or person."""
    phone: Text = ""
    email: Text = ""
    hours: Hours | None = None
    day: Duration | None = None
    """Length of a working day, if not the commonest shift."""
    off: ClosedDays = ()
    extra: Annotated[tuple[PlainDay, ...], BeforeValidator(as_many)] = ()
    """Days off on which it comes all the same, e.g. one Saturday; it works its usual shift then."""
    late: Annotated[tuple[Moment, ...], BeforeValidator(as_many)] = ()
    """Evenings: on each of these days it works on until that time."""
    crews: Count = 1


class OfficeRow(Row):
    """Whoever approves: when it takes requests and when it comes to see."""

    name: Text = ""
    phone: Text = ""
    hours: Hours = Hours.parse("Mon-Fri 08:00-16:30")
    visits: Hours | None = None
    """Slots in which it comes, e.g. `Tue,Thu 09:00-12:00 13:00-16:00`; else a look takes a day."""
    cut_off: Clock = ""
    """Requests after this time count for the next office day, e.g. `15:00`."""
    notice: Duration | None = None
    """From request to look; else that of the approval's row of facts."""
    off: ClosedDays = ()
    for_: Places = Field(default=(), alias="for")
    """Approvals it gives; an approval that no office names is given by the first office."""
    conditions: tuple[Text, ...] = ()
    """What it asks for beyond the usual, told to every trade whose work it looks at."""


class LinkRow(Row):
    """A written wait; exactly one of `end_of` and `start_of`."""

    end_of: Text = ""
    start_of: Text = ""
    gap: Duration | None = None
    why: Text = ""
    each_place: Truth = False
    """In each place it waits only for what is there, of a work or of an approval."""


Links = Annotated[tuple[LinkRow, ...], BeforeValidator(as_many)]


class WorkRow(Row):
    """One line of `[work]`: changes a usual work or adds one."""

    title: Text = ""
    trade: Text = ""
    in_: Places | None = Field(default=None, alias="in")
    order: OrderByPlace | None = None
    """Foam order, one for all its surfaces or one per surface, group or kind of surface."""
    takes: Duration | None = None
    takes_at_least: Duration | None = None
    """When everything goes well; only `chance` reads it."""
    takes_at_most: Duration | None = None
    """When little goes well; only `chance` reads it."""
    fast_takes: Duration | None = None
    """How long it takes if it is hurried; only `plan` and `ways` read it."""
    fast_costs: Money | None = None
    """What hurrying it costs more, in the currency of `[costs]`."""
    dried_takes: Duration | None = None
    """How long it takes if heat or a dehumidifier runs all the time; only `ways` reads it."""
    crews_on: Count | None = None
    first: Places = ()
    """Places of it that are worked first, in this order, e.g. a storey; then the others."""
    together: Truth | None = None
    weights: dict[Text, Weight] | None = None
    """Shares of the duration by place; else by area."""
    agreed: Booking | None = None
    booked: Booking | None = None
    not_before: Day | None = None
    not_after: Day | None = None
    done: Done | None = None
    done_in: DaysByPlace = ()
    begun: Day | None = None
    """When the first of its open parts began."""
    share: Share | None = None
    """Share done of the part that is begun, written as `60 %`."""
    remaining: Duration | None = None
    """What the begun part still takes."""
    how: Rung = Rung.SEEN
    """How what is written here as done or begun is known."""
    starts_after: Links = ()
    finishes_after: Links = ()
    waits_not_for: Places = ()
    """Works whose usual links into this one are dropped."""
    proof: Proof | None = None
    approval: Text = ""
    protection: Protection | None = None
    where: Where | None = None
    hot: Truth | None = None
    effect: Effect | None = None
    note: Note = ""


class ApprovalRow(Row):
    """One statement about an approval, for all or some of its surfaces."""

    surfaces: Places = ("all",)
    requested: Moment | None = None
    slot: Moment | None = None
    """Start of the slot the office has confirmed."""
    result: ApprovalResult | None = None
    at: Day | None = None
    by: Text = ""
    """Who said so."""
    how: Rung = Rung.RECORDED
    correct: Text = ""
    """What is to be corrected, with a failed look or `may cover, correct later`."""
    part: Truth = False
    """Its surfaces are looked at by themselves, once their own work is done, before the rest."""


class ObstructionRow(Row):
    """A thing in the gun's way."""

    is_: Text = Field(alias="is")
    name: Text = ""
    blocks: Places = ()
    distance: dict[Text, Length] = Field(default_factory=dict)
    """Free depth to a surface, instead of `blocks`."""
    in_: Places = Field(default=(), alias="in")
    """With neither `blocks` nor `distance`: where it blocks what its kind blocks."""
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
    fixed: Truth | None = None
    reserved: Places = ()
    """Surfaces on which the bay behind it is left without foam on purpose."""
    follow_up: Text = ""
    """What is to happen in such a bay later; the board waits for it."""


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
    at: Moment
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
    """A named person's decision to go on in spite of one blocker, for named surfaces and a trip."""

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
    at: Moment
    places: Places = ("all",)
    lifted: Moment | None = None
