"""From a refusal to a cut: what a set must have or lack to escape this very refusal.

A chain of tasks is at least as long in every set that changes nothing of it; so a set escapes it
only by a change that helps the chain, or by dropping one that harms it. The same holds for what is
committed after the foam. Where it is not plain which way a change acts on a chain, it counts as
both: a cut may be weaker than it need be, and never cuts off a set that works.

Invariant: every set that works satisfies every cut.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple

from readiness.job.instants import EARLIER, NEVER
from readiness.planning.change import (
    LAID_OUT_ANEW,
    OF_A_STAY,
    OF_A_TRADE,
    TAKES_OUT,
    Change,
    ChangeKind,
)
from readiness.planning.harmless import never_harms, only_takes_out
from readiness.planning.refusals import Refusal, Why
from readiness.planning.trip_area import is_of_written_length
from readiness.schedule.network import neighbours
from readiness.schedule.state import Hold

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.gates.windows import Closer
    from readiness.planning.trying import Attempt, Chosen, Trying
    from readiness.schedule.outlook import Outlook
    from readiness.site.task import Task


@dataclass(frozen=True, slots=True)
class Cut:
    """A set that works holds one of `any_of`, or lacks one of `or_lacks`."""

    any_of: Chosen
    or_lacks: Chosen
    refusal: Refusal
    attempt: Attempt
    saved_at_least: int = 0
    """Or leaves surfaces of so much area, so that the trip is shorter; 0 if that doesn't help."""

    @property
    def is_empty(self) -> bool:
        """Say whether no set escapes it: this is a proof."""
        return not self.any_of and not self.or_lacks and not self.saved_at_least

    @property
    def key(self) -> tuple[Chosen, Chosen, int]:
        """Return what it asks of a set."""
        return self.any_of, self.or_lacks, self.saved_at_least


BOOKING_MOVES = frozenset({Hold.BOOKING, Hold.KEEP_OUT})
PULL_MOVES = BOOKING_MOVES | {Hold.UNDATED}
"""What holds a task that another date of it, or of its pull, would move."""


def cuts_of(trying: Trying, attempt: Attempt, refusals: Iterable[Refusal]) -> tuple[Cut, ...]:
    """Return the cuts of a refused attempt, each once."""
    found: dict[tuple[Chosen, Chosen, int], Cut] = {}
    arounds: dict[tuple[str, int | None], _Around] = {}
    for refusal in refusals:
        cut = _Cutting(trying, attempt, refusal, arounds).cut()
        found.setdefault(cut.key, cut)
    return tuple(found.values())


class _Cutting:
    """Makes the cut of one refusal."""

    def __init__(
        self,
        trying: Trying,
        attempt: Attempt,
        refusal: Refusal,
        arounds: dict[tuple[str, int | None], _Around],
    ) -> None:
        self.trying = trying
        self.arounds = arounds
        self.attempt = attempt
        self.refusal = refusal
        self.chosen = trying.changes(attempt.chosen)
        self.others = tuple(c for c in trying.offer.changes if c.id not in attempt.chosen)

    def cut(self) -> Cut:
        """Return it."""
        helps, harms = {
            Why.CHAIN: (self._helps_chain, self._harms_chain),
            Why.CLOSED: (self._helps_closed, self._harms_closed),
            Why.KEPT_OUT: (self._helps_shut, self._acts_on_trips),
            Why.EVIDENCE: (self._helps_evidence, self._is_hour),
            Why.STOPPED: (self._takes_it_out, self._never),
            Why.CIRCLE: (self._acts_on_structure, self._acts_on_structure),
        }[self.refusal.why]
        return Cut(
            frozenset(change.id for change in self.others if helps(change)),
            frozenset(
                change.id for change in self.chosen if not never_harms(change) and harms(change)
            ),
            self.refusal,
            self.attempt,
            (self._shorter or 0) if self.refusal.why is Why.CLOSED else 0,
        )

    @property
    def outlook(self) -> Outlook:
        """Return the forecast of the attempt."""
        assert self.attempt.outlook is not None  # noqa: S101  only a circle has none
        return self.attempt.outlook

    def _takes_it_out(self, change: Change) -> bool:
        return change.kind in TAKES_OUT and self.refusal.surface in change.surfaces

    def _never(self, change: Change) -> bool:
        del change
        return False

    def _is_hour(self, change: Change) -> bool:
        return change.kind is ChangeKind.ARRIVE

    def _acts_on_structure(self, change: Change) -> bool:
        return change.kind in LAID_OUT_ANEW and change.kind is not ChangeKind.RIG

    def _acts_on_trips(self, change: Change) -> bool:
        return change.kind in TAKES_OUT or change.kind is ChangeKind.ARRIVE

    def _helps_evidence(self, change: Change) -> bool:
        if change.kind is ChangeKind.BAY:
            requirement = self.outlook.site.requirements[self.refusal.requirement or 0]
            return change.about == requirement.code
        return self._takes_it_out(change) or change.kind is ChangeKind.ARRIVE

    def _helps_shut(self, change: Change) -> bool:
        if only_takes_out(change):
            return self._takes_it_out(change)
        return self._acts_on_trips(change)

    # A chain that ends after the arrival

    def _helps_chain(self, change: Change) -> bool:
        match change.kind:
            case ChangeKind.ARRIVE:
                return change.at >= self._end_of_chain() or self._is_bound_to_trips
            case ChangeKind.BOOK | ChangeKind.PULL:
                return self._moves_root(change) and change.at < self._root_instant()
            case ChangeKind.RIG:
                return self._is_bound_to_trips
            case _:
                return self._touches_chain(change)

    def _harms_chain(self, change: Change) -> bool:
        match change.kind:
            case ChangeKind.ARRIVE:
                return self.trying.on >= self._end_of_chain() or self._is_bound_to_trips
            case ChangeKind.PULL:
                # Without it the same chain starts later, or never
                return False
            case ChangeKind.BOOK:
                return self._moves_root(change) and change.at > self._unchanged(change)
            case _:
                return self._touches_chain(change)

    def _end_of_chain(self) -> int:
        return self.outlook.forecast.finish[self.refusal.steps[0].task]

    def _task(self, task: int) -> Task:
        return self.outlook.site.tasks[task]

    def _root_instant(self) -> int:
        """Return the instant that a booking, a notice or nothing holds the last step at."""
        root, state = self.refusal.steps[-1].task, self.outlook.known.state
        if root in state.never:
            return NEVER
        return state.bookings.get(root, 0)

    def _unchanged(self, change: Change) -> int:
        """Return when a work is booked without any change."""
        return self.trying.outlook.known.commitments[change.about].late

    def _current(self, change: Change) -> int:
        """Return when a work is booked in the attempt."""
        mine = (chosen.at for chosen in self.chosen if chosen.group == change.group)
        return next(mine, self._unchanged(change))

    def _moves_root(self, change: Change) -> bool:
        """Say whether the last step is held by the very date that a change sets.

        A keep-out holds it as well where an earlier date would lie before it.
        """
        root = self.refusal.steps[-1]
        is_pull = change.kind is ChangeKind.PULL
        stay = f"pull:{change.about}" if is_pull else change.about
        return self._task(root.task).stay == stay and not (
            PULL_MOVES if is_pull else BOOKING_MOVES
        ).isdisjoint(root.holds)

    def _touches_chain(self, change: Change) -> bool:
        """Say whether a change of the structure can change a step of the chain, or take it away."""
        if change.kind is ChangeKind.BAY:
            return f"pull:{change.about}" in self._stays or self._is_bound_to_trips
        if change.kind in OF_A_STAY:
            return change.about in self._stays
        if change.kind in OF_A_TRADE:
            return change.about in self._trades
        if self._takes_it_out(change) or self._is_bound_to_trips:
            return True
        return any(self._is_on(step.task, change.surfaces) for step in self.refusal.steps)

    def _is_on(self, task: int, surfaces: Iterable[str]) -> bool:
        site = self.outlook.site
        orders, on = site.orders.get(task, {}), site.tasks[task].surfaces
        return any(surface in orders or surface in on for surface in surfaces)

    @cached_property
    def _stays(self) -> frozenset[str]:
        return frozenset(self._task(step.task).stay for step in self.refusal.steps)

    @cached_property
    def _trades(self) -> frozenset[str | None]:
        return frozenset(self._task(step.task).trade for step in self.refusal.steps)

    @cached_property
    def _is_bound_to_trips(self) -> bool:
        """Say whether the chain runs through a trip, or along a calendar that a trip has closed."""
        network = self.outlook.network
        return any(
            self._task(step.task).stay.startswith("trip:")
            or network.calendar[step.task] != network.base_calendar[step.task]
            for step in self.refusal.steps
        )

    # What is committed after the foam, or stands

    def _helps_closed(self, change: Change) -> bool:
        match change.kind:
            case ChangeKind.ARRIVE:
                return change.at < self.attempt.on
            case ChangeKind.BOOK:
                return self._counts_in_commit(change) and change.at > self._current(change)
            case ChangeKind.PULL | ChangeKind.BAY:
                return change.about in self._things()
            case ChangeKind.RIG:
                return self._can_come_later
            case _:
                return self._touches_closed(change)

    def _harms_closed(self, change: Change) -> bool:
        match change.kind:
            case ChangeKind.ARRIVE:
                return self.trying.on < self.attempt.on
            case ChangeKind.BOOK:
                return self._counts_in_commit(change) and change.at < self._unchanged(change)
            case ChangeKind.PULL:
                return False
            case _:
                return self._touches_closed(change)

    def _counts_in_commit(self, change: Change) -> bool:
        """Say whether a date counts in the commit: of the work itself, or of what leads to it."""
        return change.about in self._around.leading_stays

    def _touches_closed(self, change: Change) -> bool:
        if self._takes_it_out(change) or self._shorter is None:
            return True
        around = self._around
        if change.kind in OF_A_STAY:
            return change.about in around.stays | around.leading_stays
        if change.kind in OF_A_TRADE:
            return change.about in around.trades
        return f"trip:{change.trip}" in around.stays or not around.surfaces.isdisjoint(
            change.surfaces
        )

    @cached_property
    def _shorter(self) -> int | None:
        """Return how much area must be left for the release to come in time.

        0 if the trip does not get shorter by that, None if it is not known.
        """
        closer = self.refusal.closer
        assert closer is not None  # noqa: S101  told by the caller
        if is_of_written_length(self.outlook.site.job, self.trying.trip):
            return 0
        area = self.trying.area
        if area is None or closer.begun or closer.latest == EARLIER:
            return None
        return area.to_leave(self.attempt, closer.latest)

    @property
    def _can_come_later(self) -> bool:
        """Say whether a shorter trip could still be over in time: nothing stands there already."""
        closer = self.refusal.closer
        assert closer is not None  # noqa: S101  told by the caller
        return not closer.begun and closer.latest != EARLIER

    def _things(self) -> frozenset[str]:
        """Return the things that the closer is, or sets."""
        closer = self.refusal.closer
        assert closer is not None  # noqa: S101  told by the caller
        if closer.task is None:
            return frozenset({closer.stay})
        things = self.outlook.site.things.values()
        return frozenset(thing.id for thing in things if thing.set_by == closer.stay)

    @property
    def _around(self) -> _Around:
        """Return what the closer hangs on; looked up once for each item of an attempt."""
        closer = self.refusal.closer
        assert closer is not None  # noqa: S101  told by the caller
        key = (closer.stay, closer.task)
        if key not in self.arounds:
            self.arounds[key] = _around(self.outlook, self.trying.trip, closer)
        return self.arounds[key]


class _Around(NamedTuple):
    """What the commit of an item, and the time between the arrival and it, hang on."""

    leading_stays: frozenset[str]
    """Of the tasks that the commit can come from, itself included."""
    stays: frozenset[str]
    """Of those and of the tasks between the arrival and the item, without the trip's own."""
    surfaces: frozenset[str]
    """That any of these is on."""
    trades: frozenset[str | None]
    """Whose tasks these are."""


def _around(outlook: Outlook, trip: str, closer: Closer) -> _Around:
    site, network = outlook.site, outlook.network
    ends = _ends(outlook, closer)
    leading = _leading(outlook, trip, closer, ends)
    between = network.upstream(ends).union(ends) & outlook.frame.downstream[trip]
    tasks = (leading | between).difference(site.trips[trip].tasks)
    return _Around(
        frozenset(site.tasks[task].stay for task in leading),
        frozenset(site.tasks[task].stay for task in tasks),
        frozenset[str]().union(
            *(site.orders.get(task, ()) for task in tasks),
            *(site.tasks[task].surfaces for task in tasks),
        ),
        frozenset(site.tasks[task].trade for task in tasks),
    )


def _ends(outlook: Outlook, closer: Closer) -> tuple[int, ...]:
    """Return the tasks whose commit it is."""
    site = outlook.site
    if closer.task is not None:
        return site.stay_tasks[closer.stay].parts
    setter = site.things[closer.stay].set_by
    return site.stay_tasks[setter].parts if setter in site.stay_tasks else ()


def _leading(outlook: Outlook, trip: str, closer: Closer, ends: tuple[int, ...]) -> frozenset[int]:
    """Return the tasks that the commit can come from, itself included.

    It never comes through the trip, nor through what waits for it without a commit of its own;
    when a thing is set is read off the forecast of whatever leads to it.
    """
    network = outlook.network
    if closer.task is None:
        return network.upstream(ends).union(ends)
    found, waiting = set(ends), list(ends)
    while waiting:
        for other in neighbours(network.incoming[network.rank[waiting.pop()]]):
            if other not in found and _can_commit(outlook, trip, other):
                found.add(other)
                waiting.append(other)
    return frozenset(found)


def _can_commit(outlook: Outlook, trip: str, task: int) -> bool:
    """Say whether an earlier task counts in a commit: not behind the trip, or committed."""
    known, site = outlook.known, outlook.site
    if task not in outlook.frame.downstream[trip]:
        return True
    stay = site.tasks[task].stay
    parts = site.stay_tasks[stay].parts if stay in site.stays else ()
    return stay in known.commitments or any(
        part in known.state.begun or part in known.state.finished for part in parts
    )
