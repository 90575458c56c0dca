"""One building contract at one site, as its job file says it.

Invariant: a `Job` has passed every check that needs no facts of the trade beyond the vocabulary;
ids are unique, flat and in the order in which they were written.
"""

from __future__ import annotations

from functools import cached_property
from typing import Annotated, Literal

from pydantic import BeforeValidator, Discriminator, Field, Tag

from readiness.facts.vocabulary import JobKind
from readiness.job.bookings import Booking
from readiness.job.chance_rows import ChancesRow
from readiness.job.cost_rows import CostsRow
from readiness.job.depth_rows import DepthRow
from readiness.job.fields import (
    Id,
    Key,
    Moment,
    Places,
    Removed,
    SurfaceId,
    Text,
    Truth,
    Words,
    as_many,
    kept,
)
from readiness.job.foam_rows import AllowanceRow, ProductRow, RatesRow
from readiness.job.places import PlaceNames
from readiness.job.rows import (
    AnswerRow,
    ApprovalRow,
    ObstructionRow,
    OfficeRow,
    ReadingRow,
    RequirementChange,
    RoomRow,
    Row,
    SiteRow,
    StopRow,
    SurfaceRow,
    TradeRow,
    WaiverRow,
    WorkRow,
)
from readiness.job.trip_rows import TripRow

WorkLine = Annotated[
    Annotated[WorkRow, Tag("row")] | Annotated[Removed, Tag("removed")], Discriminator(kept)
]
RequirementLine = Annotated[
    Annotated[RequirementChange, Tag("row")] | Annotated[Removed, Tag("removed")],
    Discriminator(kept),
]
ApprovalLine = Annotated[
    Annotated[tuple[ApprovalRow, ...], BeforeValidator(as_many), Tag("row")]
    | Annotated[Removed, Tag("removed")],
    Discriminator(kept),
]


class Job(Row):
    """The whole job file; tables by id, in written order."""

    name: Text
    key: Key
    """Letters and digits that stay the same for the life of the job; calendars are known by it."""
    kind: JobKind | None = None
    """Which usual work, requirements and approvals it has; without a kind only what is written."""
    card: Truth = False
    """A site card: address, surfaces and answers, no network of work."""
    site: SiteRow
    as_of: Moment | None = None
    """Samples and tests only: the clock of the job stands here (wall clock at the site)."""
    board: Booking | None = None
    """Agreed: board may start."""
    storeys: Annotated[tuple[Words, ...], BeforeValidator(as_many)] = ()
    """From bottom to top; else in the order in which rooms name them."""
    rules: Places = ()
    """Local rules switched on."""
    units: Literal["US", "metric"] = "US"
    rooms: dict[Id, RoomRow] = Field(default_factory=dict)
    surfaces: dict[SurfaceId, SurfaceRow] = Field(default_factory=dict)
    """By flat id: `bath-1.outer` runs through room `bath-1`."""
    groups: dict[Words, Places] = Field(default_factory=dict)
    trades: dict[Id, TradeRow] = Field(default_factory=dict)
    offices: dict[Id, OfficeRow] = Field(default_factory=dict)
    done: Places = ()
    """Work that is finished everywhere, without a date, as whoever wrote the file has seen it."""
    work: dict[Id, WorkLine] = Field(default_factory=dict)
    approvals: dict[Id, ApprovalLine] = Field(default_factory=dict)
    obstructions: dict[Id, ObstructionRow] = Field(default_factory=dict)
    trips: dict[Id, TripRow] = Field(default_factory=dict)
    requirements: dict[Id, RequirementLine] = Field(default_factory=dict)
    answers: dict[Id, AnswerRow] = Field(default_factory=dict)
    readings: dict[Id, ReadingRow] = Field(default_factory=dict)
    waivers: dict[Id, WaiverRow] = Field(default_factory=dict)
    stops: dict[Id, StopRow] = Field(default_factory=dict)
    depth: DepthRow = DepthRow()
    """What an agreed depth means, and how many readings are wanted."""
    products: dict[Id, ProductRow] = Field(default_factory=dict)
    """Foams by id, each as its data sheet has it."""
    allowances: dict[Id, AllowanceRow] = Field(default_factory=dict)
    """What named persons allowed for the foam, by id."""
    rates: RatesRow = RatesRow()
    """The spray company's own figures, for hours and drum sets."""
    costs: CostsRow = CostsRow()
    """Your own prices, for `ways` and whatever else weighs one day against another."""
    chances: ChancesRow = ChancesRow()
    """Your own chances, for `chance`."""

    @cached_property
    def place_names(self) -> PlaceNames:
        """The names by which the job speaks of its places."""
        return PlaceNames(self.rooms, self.surfaces, self.groups, self.storeys)
