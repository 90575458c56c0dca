"""Published scheduling problems as problems of the plan's own model, on the clock.

Invariant: nothing is solved here; a checker of resources and waits shares no code with the model.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from readiness.planning.activities import (
    Activity,
    End,
    Mode,
    Part,
    Problem,
    Resource,
    Use,
    Wait,
)


def activity(
    name: str, durations: Sequence[int], last: int, costs: Sequence[int] = (0,)
) -> Activity:
    """Return an activity that may start at any time up to the last one, a mode per duration."""
    return Activity(
        name,
        tuple(
            Mode((Part(range(last + 1), range(duration, last + 1 + duration)),), cost)
            for duration, cost in zip(durations, costs, strict=True)
        ),
    )


@dataclass(frozen=True)
class Clocked:
    """A problem with its end as the last activity."""

    problem: Problem

    @property
    def end(self) -> int:
        """Return the number of the activity that ends it all."""
        return len(self.problem.activities) - 1


def clocked(
    activities: Sequence[Activity],
    waits: Iterable[tuple[int, int]],
    last: int,
    resources: tuple[Resource, ...] = (),
) -> Clocked:
    """Return a problem of finish-to-start waits, its end added."""
    end = len(activities)
    found = [Wait(End(one, 0, is_end=True), End(other)) for one, other in waits]
    found += [Wait(End(number, 0, is_end=True), End(end)) for number in range(end)]
    everything = (*activities, activity("end", (0,), last))
    return Clocked(Problem(everything, tuple(found), resources))


@dataclass(frozen=True)
class Shop:
    """Jobs with durations, successors and demands, and what there is of each resource."""

    durations: tuple[int, ...]
    waits: tuple[tuple[int, int], ...]
    demands: tuple[tuple[int, ...], ...]
    capacities: tuple[int, ...]

    def clocked(self) -> Clocked:
        """Return it as a problem of the model."""
        last = sum(self.durations)
        activities = [activity(str(n), (d,), last) for n, d in enumerate(self.durations)]
        resources = tuple(
            Resource(
                str(kind),
                capacity,
                tuple(
                    Use(number, demand[kind])
                    for number, demand in enumerate(self.demands)
                    if demand[kind] and self.durations[number]
                ),
            )
            for kind, capacity in enumerate(self.capacities)
        )
        return clocked(activities, self.waits, last, resources)

    def faults(self, starts: Sequence[int]) -> list[str]:
        """Return what is wrong with the starts, looking at every hour."""
        found = [
            f"{other} starts before {one} is over"
            for one, other in self.waits
            if starts[other] < starts[one] + self.durations[one]
        ]
        for hour in range(max(starts) + max(self.durations)):
            busy = [
                number
                for number, duration in enumerate(self.durations)
                if starts[number] <= hour < starts[number] + duration
            ]
            for kind, capacity in enumerate(self.capacities):
                used = sum(self.demands[number][kind] for number in busy)
                if used > capacity:
                    found.append(f"{used} of {capacity} of resource {kind} at {hour}")
        return found


def shop_of_jobs(jobs: Sequence[Sequence[int]]) -> Shop:
    """Return a job shop from rows of machine, minutes, machine, minutes."""
    durations: list[int] = []
    machines: list[int] = []
    waits: list[tuple[int, int]] = []
    for row in jobs:
        for step, (machine, minutes) in enumerate(zip(row[::2], row[1::2], strict=True)):
            if step:
                waits.append((len(durations) - 1, len(durations)))
            durations.append(minutes)
            machines.append(machine)
    kinds = max(machines) + 1
    demands = tuple(tuple(int(m == kind) for kind in range(kinds)) for m in machines)
    return Shop(tuple(durations), tuple(waits), demands, (1,) * kinds)


def shop_of_sections(rows: Mapping[str, list[list[int]]]) -> Shop:
    """Return a problem from the sections of a published `.sm` file, jobs counted from zero."""
    work = rows["REQUESTS/DURATIONS:"]
    return Shop(
        durations=tuple(row[2] for row in work),
        waits=tuple(
            (row[0] - 1, successor - 1)
            for row in rows["PRECEDENCE RELATIONS:"]
            for successor in row[3:]
        ),
        demands=tuple(tuple(row[3:]) for row in work),
        capacities=tuple(rows["RESOURCEAVAILABILITIES:"][-1]),
    )
