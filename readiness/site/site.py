"""The job laid out: the one central structure that every computation reads.

Invariant: a `Site` is frozen and depends on the job file and the facts alone, never on what was
seen; result arrays elsewhere are parallel to `tasks`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Mapping

    from readiness.facts.rows import ApprovalKind, Facts, ObstructionKind
    from readiness.facts.vocabulary import Category, Order, ReadingKind
    from readiness.job.durations import Duration
    from readiness.job.job import Job
    from readiness.job.origin import Origin
    from readiness.site.calendars import Calendar
    from readiness.site.places import Places
    from readiness.site.stays import Demands, Dropped, Stay
    from readiness.site.task import Link, Task


class Requirement(NamedTuple):
    """What a gate asks at a place; with a task it has an item in the network."""

    index: int  # type: ignore[assignment]  # nobody looks for a value inside a requirement
    code: str
    """Id of the kind: a work, an approval, an obstruction or a requirement of the facts."""
    title: str
    """A statement that must be true."""
    place: str
    """Where it is told, once."""
    surfaces: tuple[str, ...]
    """The surfaces it holds up when it fails."""
    category: Category
    task: int | None
    """Index of the task whose end is waited for; None if only evidence can tell."""
    clears: str
    """Role or trade that clears it."""
    takes: Duration | None
    """How long clearing usually takes, for what has no task."""
    demands: Demands
    question: str
    reading: ReadingKind | None
    at_most: str
    at_least: str
    check: bool
    """A look at the foam itself: statements from before the spray, or before damage, are void."""
    measured: bool
    """Met by depth readings."""
    groups: tuple[tuple[str, ...], ...]
    """Surfaces that one reading speaks for, the coldest or wettest first, whose reading also
    speaks for those behind it; empty unless it is laid out by spots to read."""
    why: str
    origin: Origin


class StayTasks(NamedTuple):
    """The tasks that one stay became."""

    parts: tuple[int, ...]
    chains: tuple[tuple[int, ...], ...]
    """One chain of parts per crew."""


class ApprovalTasks(NamedTuple):
    """The tasks of one approval for the surfaces of one trip, or of a part, all in one slot."""

    id: str
    """Id of the kind."""
    trip: str
    complete: int
    """Milestone: all the work it covers is complete."""
    looks: Mapping[str, int]
    """Task of the look by surface."""
    corrections: Mapping[str, int]
    """The sleeping correction before each look."""
    covers: Mapping[str, tuple[int, ...]]
    """Tasks of the work it covers, by surface."""
    before_foam: bool
    """It opens the spray; else it is wanted between the foam and the board."""
    part: int
    """Which part of the trip it is, counted from 1; 0 if all of it is looked at in one slot."""


class CheckTasks(NamedTuple):
    """The tasks of the check of the foam on one surface."""

    codes: tuple[str, ...]
    """Requirements that the check consists of."""
    mend: int
    """The sleeping mending."""
    keep_out: int
    """The keep-out that mending brings; none while it sleeps."""
    check: int


class TripTasks(NamedTuple):
    """The tasks of one trip."""

    id: str
    name: str
    surfaces: tuple[str, ...]
    planned: bool
    """Written in the job file; else the trip that the rest of the surfaces still needs."""
    arrival: int
    set_up: int
    sprays: Mapping[str, int]
    clean_up: int
    keep_out: int
    release: int
    minutes: int
    """Working minutes from arrival to leaving."""
    late_minutes: int
    """The pessimistic ones."""
    zone: frozenset[str]
    """Places that are kept out."""
    keep_out_minutes: int
    residents_minutes: int
    """Never shorter than the keep-out."""
    keep_out_is_default: bool
    """No product sheet says how long; the usual planning figure stands."""

    @property
    def tasks(self) -> tuple[int, ...]:
        """Return all tasks of the trip, in their order."""
        steps = (self.arrival, self.set_up, *self.sprays.values())
        return (*steps, self.clean_up, self.keep_out, self.release)


class Thing(NamedTuple):
    """An obstruction and the surfaces it is in the way of."""

    id: str
    title: str
    kind: ObstructionKind
    fixed: bool
    place: str
    blocks: tuple[str, ...]
    set_by: str
    pull: int | None
    """Task of pulling it; None for a loose thing."""
    takes: Duration
    missing: Mapping[str, str]
    """By surface: the free depth that is missing, in words."""
    bays: tuple[str, ...]
    """Surfaces it is not in the way of, because the bay behind it is left out."""
    follow_up: str
    """What is to happen there later."""
    origin: Origin


class Site(NamedTuple):
    """Places, tasks, links and requirements of one job."""

    job: Job
    facts: Facts
    places: Places
    calendars: tuple[Calendar, ...]
    job_calendar: int
    spray_calendar: int
    trade_calendar: Mapping[str, int]
    office_calendar: Mapping[str, int]
    """Office hours, by office."""
    tasks: tuple[Task, ...]
    links: tuple[Link, ...]
    late_minutes: Mapping[int, int]
    """Pessimistic minutes of the tasks that have some."""
    stays: Mapping[str, Stay]
    stay_tasks: Mapping[str, StayTasks]
    approvals: tuple[ApprovalTasks, ...]
    approval_kinds: Mapping[str, ApprovalKind]
    office_of: Mapping[str, str]
    """Office by approval."""
    checks: Mapping[str, CheckTasks]
    """The check of the foam, by surface."""
    things: Mapping[str, Thing]
    trips: Mapping[str, TripTasks]
    trip_of: Mapping[str, str]
    """Trip by surface."""
    reserved: frozenset[str]
    left_out_covers: Mapping[str, Mapping[str, tuple[int, ...]]]
    """Tasks of the work before the foam on reserved surfaces, by approval and surface."""
    left_to: Mapping[str, str]
    """Trip that asks for what follows, by reserved surface with something to follow."""
    board_start: int
    requirements: tuple[Requirement, ...]
    requirements_at: Mapping[str, tuple[int, ...]]
    """Indexes of the requirements that hold up the spray of a surface."""
    board_at: Mapping[str, tuple[int, ...]]
    """Indexes of the requirements that hold up the board over a surface."""
    dropped: tuple[Dropped, ...]
    orders: Mapping[int, Mapping[str, Order]]
    """Foam order by task and surface, for tasks that touch surfaces."""

    @property
    def zone(self) -> str:
        """Return the name of the time zone of the site."""
        return self.job.site.time_zone

    def trip_asking(self, surface: str) -> str:
        """Return the trip that sprays a surface, or asks what follows where it has left it out."""
        return self.trip_of.get(surface) or self.left_to.get(surface, "")
