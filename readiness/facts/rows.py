"""The shape of every table of facts, so that a wrong row is found when it is read.

Invariant: a row carries its source and the status of that source; durations and lengths stay
the text that was written, because quantities are read one floor higher.
"""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from readiness.facts.vocabulary import (
    Allowance,
    Category,
    Effect,
    FoamClass,
    Gate,
    JobKind,
    Order,
    Proof,
    Protection,
    ReadingKind,
    Role,
    RoomKind,
    Rung,
    Scope,
    Status,
    SurfaceKind,
    Where,
)


class Row(BaseModel):
    """What all rows have in common."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)

    title: str
    """Words for people: a verb phrase for work, a statement for a requirement, else a noun."""
    source: str = "common practice, no source"
    """Document, section and edition, by name."""
    status: Status = Status.COMMON_PRACTICE
    """How far the source was seen."""


class OrderRule(BaseModel):
    """The foam order of a work on some kinds of surface; the first rule that fits wins."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)

    order: Order
    on: tuple[SurfaceKind, ...] = ()
    """Kinds of surface; empty means every kind."""


class UsualLink(BaseModel):
    """A usual wait between kinds: exactly one of `end_of` and `start_of` names the earlier kind."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)

    end_of: str = ""
    start_of: str = ""
    gap: str = ""
    """A duration, e.g. `1 d` or `24 h elapsed`; empty means at once."""
    why: str = ""
    """The reason, as a sentence fragment."""


class LeastEvidence(BaseModel):
    """The weakest rung of evidence that counts, gate by gate."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)

    promise: Rung = Rung.SAID
    roll: Rung = Rung.SAID
    gun: Rung = Rung.SAID
    board: Rung = Rung.SAID


class FoamOwed(BaseModel):
    """Foam that brings a row with it where the job does not have it anyway."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)

    foam: FoamClass | None = None
    """Class of the foam; None means either."""
    on: tuple[SurfaceKind, ...] = ()
    """Empty means every kind."""
    zones: tuple[str, ...] = ()
    """Climate zones; empty means every one, `5` speaks for 5A too."""
    unless: tuple[str, ...] = ()
    """Works that answer it as well, where they touch the surface."""
    unless_allowed: Allowance | None = None
    """What a named person may allow instead."""
    by_rule: str = ""
    """What the rules about foam must say it owes, as `retarder`; where their edition has no row,
    open-cell brings it. Empty means the lines above are enough."""


class Demand(Row):
    """What a gate asks of a row, shared by kinds of work and by requirements."""

    effect: Effect = Effect.STOPS_SURFACE
    due: Gate = Gate.ROLL
    """The gate it is first due at."""
    wanted_before: str = ""
    """How long before the asked arrival it is wanted at the latest; empty means at the arrival."""
    fresh_for: str = ""
    """How long evidence stays fresh; empty means for ever."""
    least: LeastEvidence = LeastEvidence()
    override: Role | None = Role.CONTRACTOR
    """Who may waive it; None means nobody but see `binding`."""
    binding: bool = False
    """Can't be switched off or waived by file or person."""
    caution: str = ""
    """The usual caution, shown where someone could be hurt."""


class WorkKind(Demand):
    """A usual work: who does it where, how it stands to the foam, and what it waits for."""

    trade: str
    scope: Scope
    rooms: tuple[RoomKind, ...] = ()
    """With scope room or surface: only in these kinds of room; empty means any."""
    touches: tuple[OrderRule, ...] = ()
    """Foam order by kind of surface; a surface that no rule names is `free`."""
    only_where_it_touches: bool = True
    """With scope room: lay out only rooms that have a surface which some rule names."""
    takes: str
    """Duration for the reference house of 2,400 sq ft, or of each part if `each`."""
    each: bool = False
    """The duration is that of each part, not of the whole house."""
    crew: int = 1
    """Usual head count; one crew."""
    starts_after: tuple[UsualLink, ...] = ()
    finishes_after: tuple[UsualLink, ...] = ()
    proof: Proof = Proof.NONE
    approval: str = ""
    """The approval that covers it, if its proof is `approved`."""
    protection: Protection = Protection.NONE
    where: Where = Where.INSIDE
    hot: bool = False
    """Uses flame, arc or glowing parts."""
    sets: str = ""
    """The kind of obstruction it puts in place."""
    covers_foam: bool = False
    """Hides the foam or lies against it, so the foam has passed its checks before."""
    only_looks: bool = False
    """Puts nothing in place: without it a look is lost behind the foam, and no foam is cut."""
    fire_barrier: bool = False
    """Stands as the barrier between the foam that it touches and a fire."""
    why: str
    """Why it stands in this order, and what goes wrong otherwise."""
    usual_in: tuple[JobKind, ...] = ()
    """Kinds of job that have it without being asked."""
    owed: tuple[FoamOwed, ...] = ()
    """Foam that brings it into other jobs too, on its surfaces only."""


class RequirementKind(Demand):
    """Something that must be so, known by evidence alone; it takes no time in the network."""

    category: Category
    scope: Scope
    on: tuple[SurfaceKind, ...] = ()
    """With scope surface or room: only where such a surface is; empty means all."""
    rooms: tuple[RoomKind, ...] = ()
    question: str
    """What is asked of whom knows, answerable by yes or no; yes is good."""
    clears: str
    """Role or trade that clears it."""
    takes: str = ""
    """How long clearing usually takes."""
    reading: ReadingKind | None = None
    """Met by a reading within the limit instead of by an answer."""
    at_most: str = ""
    at_least: str = ""
    foam: Literal["open cell", "closed cell", ""] = ""
    """Only on foam of this class, and on foam whose class nobody has written."""
    with_any: tuple[str, ...] = ()
    """Only in a job that has one of these kinds of work; empty means any job."""
    only_bare: bool = False
    """Only on surfaces that no board and no coating will cover."""
    check: bool = False
    """A look at the foam itself: a no wakes the mending of its surface."""
    measured: bool = False
    """Met by depth readings against what was agreed instead of by an answer."""
    mend_takes: str = ""
    """With `check`: how long mending one surface usually takes; planned once it has failed."""
    why: str
    usual_in: tuple[JobKind, ...] = ()


class ApprovalKind(Demand):
    """An office's look at hidden work; which work it covers is told by the kinds of work."""

    office: str
    after_spray: bool = False
    """True for looks at the foam itself, between spray and board."""
    covers_framing: bool = False
    """Asked for every surface with framing, not only where its own work is hidden."""
    after: tuple[str, ...] = ()
    """Approvals that must have passed before this one."""
    notice: str = "1 d"
    """Office days or hours between request and look."""
    correction_trade: str
    """Who corrects what it fails."""
    correction_takes: str = "4 h"
    """Planned once a look has failed; nothing before."""
    why: str
    usual_in: tuple[JobKind, ...] = ()


class ObstructionKind(Row):
    """A thing in the way of the gun."""

    fixed: bool
    """Set and connected: it closes the spray window. Loose things go the same morning."""
    blocks: tuple[SurfaceKind, ...]
    clearance: str = ""
    """Least free depth between the thing and the surface; nearer than this it blocks."""
    pull_trade: str
    """Who pulls or clears it."""
    pull_takes: str
    entails: tuple[str, ...] = ()
    """What pulling it brings with it: disconnecting, testing, approval by a licensed trade."""
    approval: str = ""
    """The approval that its re-connection needs."""
    licensed: bool = False
    """Only a licensed trade may pull and re-connect it."""
    caution: str = ""
    instead: str = ""
    """The usual way round it when it can't be pulled."""
    bay_by_hand: bool = False
    """The bay behind it may be left out of the spraying and sealed by hand instead."""

    @property
    def may_leave_bay(self) -> bool:
        """Say whether it may stay with its bay left out; never what a licensed trade pulls."""
        return self.bay_by_hand and not self.licensed


class TripStep(Row):
    """A step of the spray crew's day."""

    takes: str
    clock: bool = False
    """Counted on the clock, not in working hours."""
    category: Category = Category.ON_THE_DAY
    binding: bool = False
    """Can't be shortened or skipped by file or person, but for another product sheet."""
    caution: str = ""


class TradeRow(Row):
    """A trade as it usually works."""

    hours: str = "Mon-Fri 07:00-15:30"
    letters: str
    """Two letters for narrow grids."""


class RulePatch(BaseModel):
    """One change that a local rule makes to the usual rows."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)

    work: str = ""
    order: Order | None = None
    on: tuple[SurfaceKind, ...] = ()
    starts_after: tuple[UsualLink, ...] = ()
    """Links added to the work; the earlier kind may be a work or an approval."""
    drop_links_from: tuple[str, ...] = ()
    """Kinds whose links into the work are dropped."""
    approval: str = ""
    """The approval that covers the work from now on."""
    requires: str = ""
    """A requirement that the rule switches on."""


class LocalRule(Row):
    """A rule of one place's office, switched on by the job."""

    patches: tuple[RulePatch, ...]
    why: str


class QuestionKind(Row):
    """A question that is asked before a rig leaves, and what its answer speaks for."""

    ask: tuple[str, ...]
    """How long before the arrival it is asked, first time first, e.g. `7 d elapsed`."""
    requirements: tuple[str, ...] = ()
    """Requirements that its answer meets or denies."""
    approvals: tuple[str, ...] = ()
    works: tuple[str, ...] = ()
    obstructions: tuple[str, ...] = ()
    """Kinds of thing it asks about."""
    whom: str
    """Role or trade that is asked."""


class SurfaceRow(Row):
    """A kind of surface: what hides in it by default and how it is told."""

    framed: bool = True
    """Has framing that the office looks at before it is hidden."""
    below_grade: bool = False


class Facts(BaseModel):
    """All tables together, as the loader hands them out."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)

    work: dict[str, WorkKind]
    requirements: dict[str, RequirementKind]
    approvals: dict[str, ApprovalKind]
    obstructions: dict[str, ObstructionKind]
    trip: dict[str, TripStep]
    trades: dict[str, TradeRow]
    rules: dict[str, LocalRule]
    surfaces: dict[SurfaceKind, SurfaceRow] = Field(default_factory=dict)


class Questions(BaseModel):
    """The table of questions, apart from the others because only calls need it."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)

    questions: dict[str, QuestionKind]
