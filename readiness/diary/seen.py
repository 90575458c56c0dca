"""What is known at one moment: the statements of the job file as far as they were made by then.

Everything above reads what was seen from here alone, so where a statement was written makes no
difference to what follows from it.

Invariant: nothing later than `as_of` is known; a statement keeps its origin and its rung.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime
from typing import TYPE_CHECKING, NamedTuple

from readiness.facts.vocabulary import ApprovalResult, ReadingKind, Role, Rung
from readiness.job.origin import Origin

if TYPE_CHECKING:
    from collections.abc import Mapping

    from readiness.job.bookings import Booking
    from readiness.job.durations import Duration
    from readiness.job.quantities import Length

Day = date | datetime

EVERYWHERE = ""
"""Key of a statement about all parts of a work."""


class Done(NamedTuple):
    """Work reported finished, in one place or everywhere."""

    on: Day | None
    """None if no date was given."""
    how: Rung
    origin: Origin
    rank: int = 0
    """Later statements have higher ranks; those of the job file have none."""
    by: str = ""


class TakenBack(NamedTuple):
    """Work that was taken for done and is not."""

    rank: int
    by: str
    day: date
    origin: Origin


class Begun(NamedTuple):
    """The first open part of a work reported begun."""

    on: Day
    share: float | None
    remaining: Duration | None
    how: Rung
    origin: Origin
    places: tuple[str, ...] = ("all",)
    seen_at: int | None = None
    """When what is left was seen; None means at as_of."""


class Booked(NamedTuple):
    """A date set for a stay; `agreed` with the people concerned, or by us alone."""

    booking: Booking
    agreed: bool
    origin: Origin
    by: str = ""
    """Who wrote it down; empty for the job file."""


class Look(NamedTuple):
    """One statement about an approval."""

    surfaces: tuple[str, ...]
    """Places as written."""
    requested: datetime | None
    slot: datetime | None
    result: ApprovalResult | None
    on: Day | None
    by: str
    how: Rung
    correct: str
    origin: Origin
    at: int | None = None
    """Instant of the statement, for what was voided since; None for the job file's."""
    author: str = ""
    """Whose statement it is, where `by` is the office; empty for the job file."""
    rank: int = 0
    """Later statements have higher ranks; those of the job file have none."""
    wanted: datetime | None = None
    """A slot that was asked for in place of a confirmed one."""


class Placed(NamedTuple):
    """What is known of a thing in the way."""

    origin: Origin
    since: Day | None = None
    """When it was or will be set; None if it stands without a date or a work sets it."""
    dated_by_work: bool = False
    pull: Day | None = None
    pulled: Day | None = None
    reset: Day | None = None
    by: str = ""
    """Who saw it standing or pulled; empty for the job file."""


class Answer(NamedTuple):
    """One answer to one statement."""

    code: str
    value: bool | None
    """Yes, no, or doesn't know."""
    places: tuple[str, ...]
    at: int
    day: date
    by: str
    how: Rung
    trip: str
    origin: Origin
    promised_by: Day | None = None
    """Until when somebody will see to it; such an answer is neither yes nor no."""


class Reading(NamedTuple):
    """One reading of an instrument."""

    kind: ReadingKind
    value: str
    places: tuple[str, ...]
    at: int
    day: date
    by: str
    origin: Origin


class DepthsRead(NamedTuple):
    """Depth readings of one surface, as one person wrote them at one moment."""

    surface: str
    field: tuple[Length, ...]
    perimeter: tuple[Length, ...]
    at: int
    by: str
    foam: int
    """Rank of the last statement of foam there before; readings of one foam add up."""
    origin: Origin


@dataclass(frozen=True, slots=True)
class TripNews:
    """What is known of one trip."""

    origin: Origin
    arrival: Day | None = None
    """Agreed or booked arrival."""
    agreed: bool = False
    offered: tuple[datetime, ...] = ()
    offer_until: datetime | None = None
    """Until when the offered arrivals are kept free, at the site."""
    arrived: int | None = None
    sprayed: Mapping[str, Day | None] = field(default_factory=dict)
    """Surfaces, or places as written, that are sprayed."""
    last_foam: int | None = None
    cleaned: int | None = None
    released: int | None = None
    released_by: str = ""
    residents: int | None = None
    """When a named person let the residents back in."""
    residents_by: str = ""
    left_exposed: tuple[str, ...] = ()
    shares: Mapping[str, float] = field(default_factory=dict)
    """Shares of surfaces that are sprayed in part."""
    ventilated: bool | None = None
    """Fans have run since the last foam, or failed; None if nobody has said."""


class Waiver(NamedTuple):
    """A named person's decision to go on in spite of one blocker."""

    code: str
    places: tuple[str, ...]
    trip: str
    role: Role
    by: str
    reason: str
    origin: Origin
    at: int | None = None
    """It lapses when something newer is known; None if it stands whatever comes."""


class Contested(NamedTuple):
    """Two statements about one thing that can't both stand; neither counts."""

    told: str
    """Both in words."""
    origins: tuple[Origin, ...]
    """Where both stand."""


class ReadingsVoided(NamedTuple):
    """Rain, a power cut or heat off: earlier readings on the surfaces speak no longer."""

    surfaces: tuple[str, ...]
    at: int
    cause: str
    origin: Origin

    def ends(self, at: int, origin: Origin) -> bool:
        """Say whether a reading speaks no longer.

        Of one minute a reading speaks on only if the same person wrote it down afterwards.
        """
        later = origin.source == self.origin.source and (origin.line or 0) > (self.origin.line or 0)
        return at < self.at or (at == self.at and not later)


class Voided(NamedTuple):
    """Surfaces on which a change or damage voids what was approved, read or proven before."""

    surfaces: tuple[str, ...]
    at: int
    what: str
    works: tuple[str, ...]
    """Works it reopens; none means every work before the foam there."""
    foam_only: bool
    """Damage to foam: only what is proven of the foam itself is void."""
    origin: Origin
    rank: int


class Slipped(NamedTuple):
    """A booking that was moved."""

    what: str
    to: str
    cause: str
    moved_by: str
    at: int
    origin: Origin


class Confirmation(NamedTuple):
    """The dispatcher's confirmation or refusal of a trip."""

    trip: str
    yes: bool
    by: str
    reason: str
    at: int
    origin: Origin


class Stop(NamedTuple):
    """Somebody's stop that nobody of the same role has lifted."""

    by: str
    role: Role
    reason: str
    places: tuple[str, ...]
    at: int
    origin: Origin
    trade: str = ""
    """Which trade, for the role trade; empty if nobody wrote it."""

    def is_lifted_by(self, role: Role | None, trade: str) -> bool:
        """Say whether somebody may lift it: the same role, and the same trade where it is known."""
        return role is self.role and self.trade in {"", trade}


@dataclass(frozen=True, slots=True)
class Seen:
    """Everything known at `as_of`."""

    as_of: int
    done: Mapping[str, Mapping[str, Done]]
    """By work and place; `EVERYWHERE` speaks for all parts."""
    begun: Mapping[str, Begun]
    booked: Mapping[str, Booked]
    """By work; `not before` limits stand in `not_before`."""
    not_before: Mapping[str, Day]
    not_after: Mapping[str, Day]
    looks: Mapping[str, tuple[Look, ...]]
    things: Mapping[str, Placed]
    answers: tuple[Answer, ...]
    readings: tuple[Reading, ...]
    trips: Mapping[str, TripNews]
    waivers: tuple[Waiver, ...]
    stops: tuple[Stop, ...]
    board: Booked | None
    taken_back: Mapping[str, Mapping[str, TakenBack]] = field(default_factory=dict)
    """By work and place, like `done`."""
    contested: Mapping[tuple[str, str], Contested] = field(default_factory=dict)
    """By approval and surface, or by thing and an empty place."""
    voided: tuple[Voided, ...] = ()
    reading_voids: tuple[ReadingsVoided, ...] = ()
    """What has come after which earlier readings speak no longer."""
    depths: tuple[DepthsRead, ...] = ()
    """Readings that neither spray, damage nor a change there has voided, in their order."""
    foamed: Mapping[str, int] = field(default_factory=dict)
    """When foam of any kind last went on a surface, as far as it was said."""
    slips: tuple[Slipped, ...] = ()
    confirmations: tuple[Confirmation, ...] = ()
