"""The waits that people wrote, which may name work, approvals, trips or the board start.

Invariant: a written link joins exactly the two things it names, whole stay to whole stay; those
that go place by place are drawn like usual ones.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.site.work_tasks import draw_wait, looks_named

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from readiness.site.drawing import Drawing
    from readiness.site.site import ApprovalTasks, StayTasks, TripTasks


def draw_written(
    drawing: Drawing,
    stay_tasks: Mapping[str, StayTasks],
    approvals: Sequence[ApprovalTasks],
    trips: Mapping[str, TripTasks],
) -> None:
    """Add the written links of all stays."""
    looks = looks_named(drawing, approvals)
    for stay in drawing.stays.values():
        if stay.id not in stay_tasks:
            continue
        chains = stay_tasks[stay.id].chains
        heads = [chain[0] for chain in chains if chain]
        tails = [chain[-1] for chain in chains if chain]
        for wait in stay.waits:
            if not wait.written:
                continue
            if wait.by_place and (wait.other in stay_tasks or wait.other in looks):
                continue
            for source in _ends(wait.other, stay_tasks, looks, trips, from_start=wait.from_start):
                for target in tails if wait.into_finish else heads:
                    draw_wait(source, target, wait, drawing)


def _ends(
    name: str,
    stay_tasks: Mapping[str, StayTasks],
    looks: Mapping[str, list[int]],
    trips: Mapping[str, TripTasks],
    *,
    from_start: bool,
) -> list[int]:
    """Return the tasks whose start or end is the start or end of the named thing."""
    if name in stay_tasks:
        chains = [chain for chain in stay_tasks[name].chains if chain]
        return [chains[0][0]] if from_start else [chain[-1] for chain in chains]
    if name in trips:
        return [trips[name].arrival if from_start else trips[name].release]
    return looks.get(name, [])
