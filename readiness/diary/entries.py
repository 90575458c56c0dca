"""The kinds of diary entry: what was seen, said and decided, each by one person at one moment.

Invariant: an entry is never changed; a correction is a new entry that names the one it replaces.
`seen` is when it was so on site, `written` when it was recorded; both are kept.
"""

from __future__ import annotations

from datetime import date, datetime
from typing import Annotated, Literal

from pydantic import (
    AwareDatetime,
    BaseModel,
    ConfigDict,
    Field,
    PlainSerializer,
    PlainValidator,
    TypeAdapter,
)

from readiness.facts.vocabulary import ApprovalResult, ReadingKind, Role, Rung, SurfaceKind
from readiness.job.bookings import Booking
from readiness.job.dates import read_day, read_moment
from readiness.job.days_off import DaysOff
from readiness.job.fields import Note, Places, Text, Truth
from readiness.job.quantities import Area, Duration, Length, Share


def _written_day(value: date | datetime) -> str:
    return value.isoformat()


Day = Annotated[
    date | datetime,
    PlainValidator(read_day, json_schema_input_type=str),
    PlainSerializer(_written_day, return_type=str),
]
"""A day, or a moment of it on the wall clock at the site."""

Moment = Annotated[
    datetime,
    PlainValidator(read_moment, json_schema_input_type=str),
    PlainSerializer(_written_day, return_type=str),
]
"""A wall-clock time at the site."""


class Entry(BaseModel):
    """What every entry carries."""

    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=True, defer_build=True)

    writer: Text
    """Whose file it stands in; with the number it names the entry for ever."""
    number: int = Field(ge=1)
    """Position in its writer's file, counted from 1 and never used twice."""
    seen: Day
    """When it was so on site, on the wall clock there; a day alone if nobody knows the hour."""
    written: AwareDatetime
    """When it was recorded."""
    by: Text
    """Whose statement it is."""
    role: Role | None = None
    """What they are on this job; None is unknown, and may remark but never override."""
    trade: Text = ""
    """Which trade, for the role trade."""
    how: Rung = Rung.SAID
    via: Text = ""
    """How it reached the diary, e.g. `by message`, `by phone`."""
    replaces: Text = ""
    """The entry it corrects, as `writer#number`."""


class WorkBegun(Entry):
    """Work has begun; without a share or a rest what is left is reckoned from the plan."""

    kind: Literal["begun"] = "begun"
    work: Text
    places: Places = ("all",)
    share: Share | None = None
    remaining: Duration | None = None


class WorkDone(Entry):
    """Work is done in some places or everywhere."""

    kind: Literal["done"] = "done"
    work: Text
    places: Places = ("all",)


class WorkNotDone(Entry):
    """What was taken for done is not."""

    kind: Literal["not-done"] = "not-done"
    work: Text
    places: Places = ("all",)


class ApprovalRequested(Entry):
    """The office was asked to come and see; `slot` once it has confirmed one."""

    kind: Literal["requested"] = "requested"
    approval: Text
    surfaces: Places = ("all",)
    slot: Moment | None = None


class ApprovalTold(Entry):
    """What the office said."""

    kind: Literal["result"] = "result"
    approval: Text
    surfaces: Places = ("all",)
    result: ApprovalResult
    office: Text = ""
    correct: Text = ""


class ThingSet(Entry):
    """A thing stands in the gun's way; `is_` for one that the job file does not have."""

    kind: Literal["set"] = "set"
    thing: Text
    is_: Text = Field(default="", alias="is")
    blocks: Places = ()


class ThingPulled(Entry):
    """A thing was taken out of the way."""

    kind: Literal["pulled"] = "pulled"
    thing: Text


class ThingDated(Entry):
    """It is agreed when a thing will be set, pulled or come back."""

    kind: Literal["thing-dated"] = "thing-dated"
    thing: Text
    set_: Day | None = Field(default=None, alias="set")
    pull: Day | None = None
    reset: Day | None = None


class ReadingTaken(Entry):
    """One reading, and the places it speaks for."""

    kind: Literal["reading"] = "reading"
    reading: ReadingKind
    value: Text
    places: Places = ("all",)
    instrument: Text = ""


class ReadingsVoid(Entry):
    """Rain, a power cut or heat off: readings there speak no longer."""

    kind: Literal["readings-void"] = "readings-void"
    cause: Text
    places: Places = ("all",)


class Prepared(Entry):
    """A preparation was seen done: a requirement of the facts, met by eye."""

    kind: Literal["prepared"] = "prepared"
    requirement: Text
    places: Places = ("all",)


class Photo(Entry):
    """A picture, by its name in the job's own folder or wherever it is kept."""

    kind: Literal["photo"] = "photo"
    reference: Text
    places: Places = ("all",)


class Answered(Entry):
    """An answer to the question of one requirement."""

    kind: Literal["answer"] = "answer"
    requirement: Text
    value: Literal["yes", "no", "doesn't know", "promised"]
    promised_by: Day | None = None
    places: Places = ("all",)
    trip: Text = ""


class SiteConfirmed(Entry):
    """The dispatcher's confirmation or refusal of a trip."""

    kind: Literal["confirmed"] = "confirmed"
    trip: Text
    yes: Truth = True
    reason: Text = ""


class DaysOffered(Entry):
    """Days that the spray company offers, and until when the offer holds."""

    kind: Literal["offered"] = "offered"
    trip: Text
    moments: tuple[Moment, ...]
    holds_until: Moment | None = None


class Dated(Entry):
    """A date set for a work or a trip: agreed with the people concerned, or booked by us."""

    kind: Literal["dated"] = "dated"
    what: Text
    """Id of a work or of a trip."""
    when: Booking | None
    """None strikes the date."""
    agreed: Truth = True


class TripChanged(Entry):
    """A trip added, or its surfaces changed."""

    kind: Literal["trip"] = "trip"
    trip: Text
    surfaces: Places | None = None
    lasts: Duration | None = None
    keep_out: Duration | None = None
    sheet: Text = ""


class BayReserved(Entry):
    """Surfaces left unsprayed on purpose, and what follows."""

    kind: Literal["reserved"] = "reserved"
    trip: Text
    surfaces: Places
    follow_up: Text = ""


class SealedByHand(Entry):
    """Sealed by hand instead of by gun."""

    kind: Literal["sealed"] = "sealed"
    surfaces: Places
    what: Text = ""


class TradeOff(Entry):
    """Days on which a trade does not come."""

    kind: Literal["off"] = "off"
    off_trade: Text
    days: tuple[DaysOff, ...]


class Slip(Entry):
    """A moved booking, why, and who moved it."""

    kind: Literal["slip"] = "slip"
    what: Text
    to: Booking
    cause: Text
    moved_by: Text = ""


class ChangeOrder(Entry):
    """A change: it reopens the work on its surfaces and voids approvals, photos, readings there."""

    kind: Literal["change"] = "change"
    what: Text
    surfaces: Places
    works: Places = ()
    """Works that it reopens; none means every work before the foam there."""
    asked_by: Text = ""
    agreed_by: Text = ""
    area: Area | None = None
    surface_is: SurfaceKind | None = None
    """With a surface that the job file does not have yet."""


class Damage(Entry):
    """Foam that passed was damaged; reopens what is proven of that surface."""

    kind: Literal["damage"] = "damage"
    surfaces: Places
    what: Text
    by_trade: Text = ""


class Override(Entry):
    """A named person's decision to go on in spite of one blocker."""

    kind: Literal["override"] = "override"
    requirement: Text
    surfaces: Places
    trip: Text
    reason: Text


class Stopped(Entry):
    """Somebody's stop."""

    kind: Literal["stop"] = "stop"
    reason: Text
    places: Places = ("all",)


class Lifted(Entry):
    """The stop is lifted, by the same role."""

    kind: Literal["lift"] = "lift"
    stop: Text = ""
    """The stop it lifts, as `writer#number`; empty means the last one of that role."""
    reason: Text = ""


class Arrived(Entry):
    """The rig is on site."""

    kind: Literal["arrived"] = "arrived"
    trip: Text


class Sprayed(Entry):
    """Gun start, end, or the share of a surface that is sprayed."""

    kind: Literal["sprayed"] = "sprayed"
    trip: Text
    surfaces: Places
    share: Share | None = None
    """None is all of it."""


class LastFoam(Entry):
    """The last foam of any kind in the keep-out zone; touch-up and canned foam count."""

    kind: Literal["last-foam"] = "last-foam"
    trip: Text


class CleanedUp(Entry):
    """The crew has cleaned up."""

    kind: Literal["cleaned"] = "cleaned"
    trip: Text


class Ventilated(Entry):
    """Fans have run, or failed."""

    kind: Literal["ventilated"] = "ventilated"
    trip: Text
    yes: Truth = True


class Released(Entry):
    """A named person lets others in again."""

    kind: Literal["release"] = "release"
    trip: Text
    places: Places = ("all",)


class DepthRead(Entry):
    """Depth readings of one surface, those at the perimeter apart."""

    kind: Literal["depth"] = "depth"
    surface: Text
    field: tuple[Length, ...] = ()
    perimeter: tuple[Length, ...] = ()


class SignedOff(Entry):
    """Somebody signs for something."""

    kind: Literal["sign-off"] = "sign-off"
    what: Text
    places: Places = ("all",)


class Remark(Entry):
    """Whatever else somebody wants to keep."""

    kind: Literal["remark"] = "remark"
    text: Note
    private: Truth = False
    """Health, door codes, prices: never in calendars, hand-overs or other roles' pages."""


class JobText(Entry):
    """The job file as it stood when the diary was next written, so that the past can be asked."""

    kind: Literal["job-file"] = "job-file"
    text: str
    sha256: Text


AnyEntry = Annotated[
    WorkBegun
    | WorkDone
    | WorkNotDone
    | ApprovalRequested
    | ApprovalTold
    | ThingSet
    | ThingPulled
    | ThingDated
    | ReadingTaken
    | ReadingsVoid
    | Prepared
    | Photo
    | Answered
    | SiteConfirmed
    | DaysOffered
    | Dated
    | TripChanged
    | BayReserved
    | SealedByHand
    | TradeOff
    | Slip
    | ChangeOrder
    | Damage
    | Override
    | Stopped
    | Lifted
    | Arrived
    | Sprayed
    | LastFoam
    | CleanedUp
    | Ventilated
    | Released
    | DepthRead
    | SignedOff
    | Remark
    | JobText,
    Field(discriminator="kind"),
]
"""One entry of any kind, told apart by its `kind`."""

ENTRY: TypeAdapter[AnyEntry] = TypeAdapter(AnyEntry)
"""Reads and dumps entries of all kinds."""


def name_of(entry: Entry) -> str:
    """Return the name by which corrections and liftings call an entry."""
    return f"{entry.writer}#{entry.number}"
