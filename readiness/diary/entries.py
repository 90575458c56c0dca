"""All kinds of diary entry together, told apart by their `kind`.

Invariant: whatever stands in a diary is exactly one of these kinds.
"""

from __future__ import annotations

from typing import Annotated

from pydantic import Field, TypeAdapter

from readiness.diary.entry import Entry, name_of
from readiness.diary.sending_entries import Replied, Sent
from readiness.diary.site_entries import (
    Answered,
    ApprovalRequested,
    ApprovalTold,
    Photo,
    Prepared,
    ReadingsVoid,
    ReadingTaken,
    ThingDated,
    ThingPulled,
    ThingSet,
    WorkBegun,
    WorkDone,
    WorkNotDone,
)
from readiness.diary.trip_entries import (
    Arrived,
    BayReserved,
    ChangeOrder,
    CleanedUp,
    CrewsBrought,
    Damage,
    Dated,
    DaysOffered,
    DepthRead,
    JobText,
    LastFoam,
    Lifted,
    LotsNoted,
    Override,
    PlacesFirst,
    Released,
    Remark,
    RigsBrought,
    SealedByHand,
    SignedOff,
    SiteConfirmed,
    Slip,
    Sprayed,
    Stopped,
    TradeExtra,
    TradeLate,
    TradeOff,
    TripChanged,
    Ventilated,
    WorkTakes,
)

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
    | TradeExtra
    | TradeLate
    | WorkTakes
    | CrewsBrought
    | PlacesFirst
    | RigsBrought
    | Slip
    | ChangeOrder
    | Damage
    | Override
    | Stopped
    | Lifted
    | Arrived
    | Sprayed
    | LastFoam
    | LotsNoted
    | CleanedUp
    | Ventilated
    | Released
    | DepthRead
    | SignedOff
    | Remark
    | Replied
    | Sent
    | JobText,
    Field(discriminator="kind"),
]
"""One entry of any kind, told apart by its `kind`."""

ENTRY: TypeAdapter[AnyEntry] = TypeAdapter(AnyEntry)
"""Reads and dumps entries of all kinds."""

__all__ = [
    "ENTRY",
    "Answered",
    "AnyEntry",
    "ApprovalRequested",
    "ApprovalTold",
    "Arrived",
    "BayReserved",
    "ChangeOrder",
    "CleanedUp",
    "CrewsBrought",
    "Damage",
    "Dated",
    "DaysOffered",
    "DepthRead",
    "Entry",
    "JobText",
    "LastFoam",
    "Lifted",
    "LotsNoted",
    "Override",
    "Photo",
    "PlacesFirst",
    "Prepared",
    "ReadingTaken",
    "ReadingsVoid",
    "Released",
    "Remark",
    "Replied",
    "RigsBrought",
    "SealedByHand",
    "Sent",
    "SignedOff",
    "SiteConfirmed",
    "Slip",
    "Sprayed",
    "Stopped",
    "ThingDated",
    "ThingPulled",
    "ThingSet",
    "TradeExtra",
    "TradeLate",
    "TradeOff",
    "TripChanged",
    "Ventilated",
    "WorkBegun",
    "WorkDone",
    "WorkNotDone",
    "WorkTakes",
    "name_of",
]
