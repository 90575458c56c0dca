"""Turns the legs of a job into the problem that the model solves: waits, crews, rooms, keep-outs.

What has no crew (milestones, drying, curing) is no activity: a chain of links through it becomes
one wait, a map of instants that goes through the same calendars as the forward pass.

Invariant: every link of the network between two legs is kept by some wait, and a crew, a room or a
keep-out never holds two dates apart that people have agreed.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter
from itertools import combinations, product
from typing import TYPE_CHECKING

from readiness.planning.activities import (
    Activity,
    Before,
    End,
    Mode,
    Part,
    Problem,
    Resource,
    Use,
    Wait,
)
from readiness.planning.plan_gaps import Gap, Step
from readiness.planning.plan_ground import is_waived
from readiness.planning.plan_legs import Legs
from readiness.schedule.network import source_node, target_node
from readiness.schedule.outlook import closable
from readiness.site.task import TaskKind

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from readiness.planning.plan_ground import Ground
    from readiness.planning.plan_legs import Leg
    from readiness.site.site import TripTasks
    from readiness.site.task import Link


@dataclass(frozen=True)
class Planned:
    """The problem of a job, with what its numbers mean."""

    ground: Ground
    legs: tuple[Leg, ...]
    """Parallel to the activities, but for the last one: the start of board."""
    problem: Problem
    board: int | None
    """Number of the activity that stands for the start of board; None if it has no date."""
    kept_out: tuple[tuple[str, int, int], ...]
    """By `Before`: its id, the leg and the trip that would shut it out."""
    shared: tuple[tuple[int, int], ...]
    """Pairs of fixed legs that need one crew or room at the same time."""


def planned_of(ground: Ground, *, keeps: bool, apart: frozenset[str] = frozenset()) -> Planned:
    """Return the problem of a job.

    Args:
        ground: What the plan stands on.
        keeps: Agreed dates are held.
        apart: Stays whose crew may stop between two of its places.
    """
    while True:
        builder = Builder(ground, tuple(Legs(ground, keeps=keeps, apart=apart).all()))
        split = builder.circle()
        if not split:
            return builder.planned()
        apart |= split


class Builder:
    """Builds the problem of some legs."""

    def __init__(self, ground: Ground, legs: tuple[Leg, ...]) -> None:
        """Find which end of which leg each node of the network is."""
        self.ground = ground
        self.legs = legs
        self.leg_of: dict[int, tuple[int, int]] = {}
        for number, leg in enumerate(legs):
            for part, task in enumerate(leg.tasks):
                self.leg_of[task] = (number, part)
        self.out: dict[int, list[Link]] = defaultdict(list)
        for link in ground.network.links:
            if not is_waived(ground.outlook, link):
                self.out[source_node(link)].append(link)
        self.board_task = ground.site.board_start
        self._known_after: dict[int, frozenset[int]] = {}
        self.waits = list(self._waits())

    def circle(self) -> frozenset[str]:
        """Return stays to take part by part, because as a whole they would wait for each other."""
        sorter: TopologicalSorter[int] = TopologicalSorter()
        for wait in self.waits:
            sorter.add(wait.later.activity, wait.earlier.activity)
        try:
            sorter.prepare()
        except CycleError as error:
            legs = [self.legs[number] for number in error.args[1]]
            return frozenset(
                leg.about for leg in legs if leg.kind is TaskKind.WORK and len(leg.tasks) > 1
            )
        return frozenset()

    # Waits

    def _waits(self) -> Iterator[Wait]:
        """Yield what each leg waits for, of several alike only the one that comes last."""
        board = len(self.legs)
        last: dict[tuple[int, End, tuple[Step, ...]], End] = {}
        for number, leg in enumerate(self.legs):
            for part, task in enumerate(leg.tasks):
                for is_end in (False, True):
                    earlier = End(number, part, is_end)
                    for target, is_late_end, steps in self._reached(2 * task + is_end):
                        if target == self.board_task:
                            last[number, End(board), steps] = earlier
                            continue
                        other, other_part = self.leg_of[target]
                        # The rig comes once everything is ready for it
                        arrives = self.legs[other].kind is TaskKind.ARRIVAL
                        later = End(other) if arrives else End(other, other_part, is_late_end)
                        if other != number:
                            last[number, later, steps] = earlier
        for (_, later, steps), earlier in last.items():
            yield Wait(earlier, later, Gap(steps, self.ground) if steps else 0)

    def _reached(self, node: int) -> Iterator[tuple[int, bool, tuple[Step, ...]]]:
        """Yield the tasks that a node leads to through what has no crew, with the way there."""
        seen: set[tuple[int, tuple[Step, ...]]] = set()
        waiting: list[tuple[int, tuple[Step, ...]]] = [(node, ())]
        state = self.ground.outlook.known.state
        while waiting:
            here, steps = waiting.pop()
            for link in self.out[here]:
                gap = (Step(link.gap_minutes, link.gap_elapsed),) if link.gap_minutes else ()
                there, way = target_node(link), steps + gap
                task = link.target
                if task in state.finished or (there, way) in seen:
                    continue
                seen.add((there, way))
                if task in self.leg_of:
                    yield task, bool(there & 1), way
                    continue
                if task == self.board_task:
                    yield task, False, way
                minutes = self.ground.network.minutes[task]
                lasts = (Step(minutes, elapsed=True),) if minutes and not there & 1 else ()
                waiting.append((2 * task, way))
                waiting.append((2 * task + 1, way + lasts))

    # What cannot be at once

    def planned(self) -> Planned:
        """Return the problem."""
        activities = [leg.activity for leg in self.legs]
        board = self._board()
        if board is not None:
            activities.append(board)
        waits = [
            wait for wait in self.waits if board is not None or wait.later.activity < len(self.legs)
        ]
        befores: list[Before] = []
        resources: list[Resource] = []
        shared: list[tuple[int, int]] = []
        self._crews(befores, resources, shared)
        self._rooms(befores, shared)
        kept_out = list(self._keep_outs(befores, waits))
        return Planned(
            ground=self.ground,
            legs=self.legs,
            problem=Problem(tuple(activities), tuple(waits), tuple(resources), tuple(befores)),
            board=None if board is None else len(self.legs),
            kept_out=tuple(kept_out),
            shared=tuple(dict.fromkeys(shared)),
        )

    def _board(self) -> Activity | None:
        """Return the start of board, which may lie at any instant that something imposes on it."""
        lower = self.ground.lower.start[self.board_task]
        found = {lower}
        for wait in self.waits:
            if wait.later.activity == len(self.legs):
                column = wait.earlier.column(self.legs[wait.earlier.activity].activity, 0)
                found.update(wait.imposed(instant) for instant in column)
        times = sorted(at for at in found if lower <= at <= max(self.ground.last, lower))
        if not times or self.ground.lower.start[self.board_task] >= self.ground.last:
            return None
        return Activity("board start", (Mode((Part(times, times),)),))

    def _whole(self, number: int) -> tuple[End, End]:
        leg = self.legs[number]
        return End(number), End(number, len(leg.tasks) - 1, is_end=True)

    def _ordered(self, one: int, other: int) -> bool:
        """Say whether two legs cannot meet, whatever is chosen."""
        ends = [self.legs[n].activity.modes[0].parts[-1].ends[-1] for n in (one, other)]
        # Timed anew a leg may begin before its first candidate, but not before what logic allows
        starts = [self.ground.lower.start[self.legs[n].tasks[0]] for n in (one, other)]
        return ends[0] <= starts[1] or ends[1] <= starts[0]

    def _before(self, name: str, one: int, other: int) -> Before:
        (one_start, one_end), (other_start, other_end) = self._whole(one), self._whole(other)
        return Before(name, one, other, ((one_end, other_start),), ((other_end, one_start),))

    def _crews(
        self, befores: list[Before], resources: list[Resource], shared: list[tuple[int, int]]
    ) -> None:
        by_crew: dict[str, list[int]] = defaultdict(list)
        for number, leg in enumerate(self.legs):
            if leg.crew and leg.activity.candidates:
                by_crew[leg.crew].append(number)
        for crew, numbers in sorted(by_crew.items()):
            row = self.ground.site.job.trades.get(crew)
            crews = max(row.crews if row else 1, self._at_once(numbers))
            if crews == 1:
                befores += [
                    self._before(f"crew:{crew}:{one}:{other}", one, other)
                    for one, other in combinations(numbers, 2)
                    if not self._free(one, other)
                ]
                continue
            fixed = [number for number in numbers if self.legs[number].is_fixed]
            shared += [
                (one, other)
                for one, other in combinations(fixed, 2)
                if not self._ordered(one, other)
            ]
            if len(numbers) > crews:
                uses = tuple(
                    Use(number, parts=(0, len(self.legs[number].tasks) - 1)) for number in numbers
                )
                resources.append(Resource(f"crews:{crew}", crews, uses))

    def _at_once(self, numbers: Iterable[int]) -> int:
        """Return how many of the legs that are held where they are need a crew at once."""
        events = []
        for number in numbers:
            leg = self.legs[number]
            begun = any(task in self.ground.outlook.known.state.begun for task in leg.tasks)
            if leg.is_fixed or begun:
                parts = leg.activity.modes[0].parts
                events += [(parts[0].starts[0], 1), (parts[-1].ends[0], -1)]
        most = now = 0
        for _, step in sorted(events):
            now += step
            most = max(most, now)
        return most

    def _free(self, one: int, other: int) -> bool:
        """Say whether two legs need no order: they cannot meet, or people agreed on both."""
        both = self.legs[one].is_fixed and self.legs[other].is_fixed
        return both or self._ordered(one, other) or self._chained(one, other)

    def _chained(self, one: int, other: int) -> bool:
        """Say whether links alone keep the whole of one leg before the other."""
        first, second = self.legs[one].tasks, self.legs[other].tasks
        return second[0] in self._after(first[-1]) or first[0] in self._after(second[-1])

    def _rooms(self, befores: list[Before], shared: list[tuple[int, int]]) -> None:
        """Let one trade at a time into a room, in the same order in all rooms of two legs."""
        pairs: dict[tuple[int, int], list[tuple[int, int]]] = defaultdict(list)
        for legs in self._in_room().values():
            for one, other in combinations(sorted(legs), 2):
                if self.legs[one].crew != self.legs[other].crew:
                    pairs[one, other] += product(legs[one], legs[other])
        for (one, other), parts in sorted(pairs.items()):
            if self.legs[one].is_fixed and self.legs[other].is_fixed:
                shared.append((one, other))
            elif not self._ordered(one, other) and not self._logic_orders(one, other, parts):
                befores.append(
                    Before(
                        f"room:{one}:{other}",
                        one,
                        other,
                        tuple((End(one, a, is_end=True), End(other, b)) for a, b in parts),
                        tuple((End(other, b, is_end=True), End(one, a)) for a, b in parts),
                    )
                )

    def _in_room(self) -> dict[str, dict[int, list[int]]]:
        """Return the parts of each leg that are in each room."""
        found: dict[str, dict[int, list[int]]] = defaultdict(lambda: defaultdict(list))
        site = self.ground.site
        for number, leg in enumerate(self.legs):
            if not leg.activity.candidates or leg.kind in (TaskKind.ARRIVAL, TaskKind.APPROVAL):
                continue
            for part, task in enumerate(leg.tasks):
                row = site.tasks[task]
                if row.minutes and closable(row, site):
                    for room in site.places.rooms_of_surface.get(row.place, (row.place,)):
                        if room in site.places.rooms:
                            found[room][number].append(part)
        return found

    def _logic_orders(self, one: int, other: int, parts: list[tuple[int, int]]) -> bool:
        """Say whether links alone keep two legs apart in every place they share."""
        first, second = self.legs[one].tasks, self.legs[other].tasks
        return all(second[b] in self._after(first[a]) for a, b in parts) or all(
            first[a] in self._after(second[b]) for a, b in parts
        )

    def _after(self, task: int) -> frozenset[int]:
        """Return the tasks that cannot start before a task has ended, by links alone.

        A link from a start or into an end lets two tasks run beside each other.
        """
        if task not in self._known_after:
            seen = {2 * task + 1}
            waiting = [2 * task + 1]
            while waiting:
                node = waiting.pop()
                reached = [target_node(link) for link in self.out[node]]
                if not node & 1:
                    reached.append(node + 1)
                waiting += [other for other in reached if other not in seen]
                seen.update(reached)
            self._known_after[task] = frozenset(node >> 1 for node in seen if not node & 1)
        return self._known_after[task]

    def _keep_outs(
        self, befores: list[Before], waits: list[Wait]
    ) -> Iterator[tuple[str, int, int]]:
        """Yield what a trip's keep-out may shut out, and let it be over before or begin after.

        What comes after the foam anyhow waits for the late end, as long as the place is shut.
        """
        frame = self.ground.outlook.frame
        shut = self._shut()
        for number, leg in enumerate(self.legs):
            if leg.kind is not TaskKind.ARRIVAL or leg.about in shut:
                continue
            trip = self.ground.site.trips[leg.about]
            late = End(number, len(leg.tasks), is_end=True)
            for other, who in enumerate(self.legs):
                if other == number or not who.activity.candidates:
                    continue
                shut_out = [
                    part for part, task in enumerate(who.tasks) if self._shuts_out(trip, task)
                ]
                after = [p for p in shut_out if who.tasks[p] in frame.downstream[trip.id]]
                waits += [Wait(late, End(other, part)) for part in after]
                parts = tuple(part for part in shut_out if part not in after)
                if not parts:
                    continue
                name = f"keep-out:{number}:{other}"
                befores.append(
                    Before(
                        name,
                        other,
                        number,
                        tuple((End(other, part, is_end=True), End(number)) for part in parts),
                        tuple((late, End(other, part)) for part in parts),
                    )
                )
                if who.kind is not TaskKind.ARRIVAL:
                    yield name, other, number

    def _shut(self) -> frozenset[str]:
        """Return the trips whose keep-out the calendars have already."""
        return frozenset(
            leg.about for leg in self.legs if leg.kind is TaskKind.ARRIVAL and leg.is_fixed
        )

    def _shuts_out(self, trip: TripTasks, task: int) -> bool:
        site, frame = self.ground.site, self.ground.outlook.frame
        row = site.tasks[task]
        if row.kind is TaskKind.ARRIVAL:
            return False
        if task in frame.upstream[trip.id] or task in trip.tasks or not closable(row, site):
            return False
        stay = site.stays.get(row.stay)
        places = stay.places if stay is not None and stay.together else (row.place,)
        return not trip.zone.isdisjoint(places)
