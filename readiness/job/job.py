"""One building contract at one site, as its job file says it.

Invariant: a `Job` has passed every check that needs no facts of the trade beyond the vocabulary;
ids are unique, flat and in the order in which they were written.
"""

from __future__ import annotations

from datetime import date, datetime
from typing import Literal

from pydantic import Field

from readiness.facts.vocabulary import JobKind
from readiness.job.bookings import Booking
from readiness.job.rows import (
    AnswerRow,
    ApprovalRow,
    ObstructionRow,
    OfficeRow,
    Places,
    ReadingRow,
    RequirementChange,
    RoomRow,
    Row,
    SiteRow,
    StopRow,
    SurfaceRow,
    TradeRow,
    TripRow,
    WaiverRow,
    WorkRow,
)


class Job(Row):
    """The whole job file; tables by id, in written order."""

    name: str
    key: str
    """Letters and digits that stay the same for the life of the job; calendars are known by it."""
    kind: JobKind | None = None
    """Which usual work, requirements and approvals it has; without a kind only what is written."""
    card: bool = False
    """A site card: address, surfaces and answers, no network of work."""
    site: SiteRow
    as_of: datetime | None = None
    """Samples and tests only: the clock of the job stands here (wall clock at the site)."""
    board: Booking | None = None
    """Agreed: board may start."""
    storeys: tuple[str, ...] = ()
    """From bottom to top; else in the order in which rooms name them."""
    rules: tuple[str, ...] = ()
    """Local rules switched on."""
    units: Literal["US", "metric"] = "US"
    rooms: dict[str, RoomRow] = Field(default_factory=dict)
    surfaces: dict[str, SurfaceRow] = Field(default_factory=dict)
    """By flat id: `bath-1.outer` runs through room `bath-1`."""
    groups: dict[str, Places] = Field(default_factory=dict)
    trades: dict[str, TradeRow] = Field(default_factory=dict)
    offices: dict[str, OfficeRow] = Field(default_factory=dict)
    work: dict[str, WorkRow | Literal[False]] = Field(default_factory=dict)
    approvals: dict[str, tuple[ApprovalRow, ...] | Literal[False]] = Field(default_factory=dict)
    obstructions: dict[str, ObstructionRow] = Field(default_factory=dict)
    trips: dict[str, TripRow] = Field(default_factory=dict)
    requirements: dict[str, RequirementChange | Literal[False]] = Field(default_factory=dict)
    answers: dict[str, AnswerRow] = Field(default_factory=dict)
    readings: dict[str, ReadingRow] = Field(default_factory=dict)
    waivers: dict[str, WaiverRow] = Field(default_factory=dict)
    stops: dict[str, StopRow] = Field(default_factory=dict)

    def day_of_as_of(self) -> date | None:
        """Return the local date the job's clock stands at, if it is fixed."""
        return self.as_of.date() if self.as_of else None
