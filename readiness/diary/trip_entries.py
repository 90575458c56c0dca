"""Entries about trips, dates, decisions and what was left behind by the gun.

Invariant: one kind says one thing of a trip or of what somebody decided.
"""

from __future__ import annotations

from datetime import date
from typing import Literal

from readiness.diary.entry import Entry, Moment
from readiness.facts.vocabulary import SurfaceKind
from readiness.job.bookings import Booking
from readiness.job.days_off import DaysOff
from readiness.job.fields import Count, Note, Places, Text, Truth
from readiness.job.quantities import Area, Duration, Length, Share


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
    """Surfaces left unsprayed on purpose, or the bay behind a thing there, and what follows."""

    kind: Literal["reserved"] = "reserved"
    trip: Text
    surfaces: Places
    follow_up: Text = ""
    behind: Text = ""
    """The thing that stays where it is; only the bay behind it gets no foam."""


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


class TradeExtra(Entry):
    """Days off on which a trade comes all the same, for one shift."""

    kind: Literal["extra"] = "extra"
    extra_trade: Text
    days: tuple[date, ...]


class TradeLate(Entry):
    """Evenings on which a trade works on, each until its time."""

    kind: Literal["late"] = "late"
    late_trade: Text
    until: tuple[Moment, ...]


class WorkTakes(Entry):
    """Another duration of a work from now on: done the fast way, or dried with heat."""

    kind: Literal["takes"] = "takes"
    work: Text
    takes: Duration
    reason: Text = ""


class CrewsBrought(Entry):
    """How many crews a trade sends for one work."""

    kind: Literal["crews"] = "crews"
    work: Text
    crews: Count


class PlacesFirst(Entry):
    """Which places of a work come first; `all` means its usual order."""

    kind: Literal["first"] = "first"
    work: Text
    places: Places = ("all",)


class RigsBrought(Entry):
    """How many rigs spray at once on one trip."""

    kind: Literal["rigs"] = "rigs"
    trip: Text
    rigs: Count


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
    surfaces: Places = ()
    """Where it went; nothing means anywhere in the zone."""


class LotsNoted(Entry):
    """Lot numbers of the drums, for the closing record."""

    kind: Literal["lots"] = "lots"
    trip: Text
    lots: Places


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
    residents: Truth = False
    """For the residents, who come back later than workers at the earliest together with them."""


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
