"""Turns stays into tasks and joins them by their usual and written waits.

Invariant: usual links join related places only; a written link joins exactly the two it names.
"""

from __future__ import annotations

import itertools
from typing import TYPE_CHECKING

from readiness.facts.vocabulary import Order
from readiness.site.parts import chains_of, stay_minutes
from readiness.site.places import SITE
from readiness.site.site import StayTasks
from readiness.site.task import LinkKind, TaskKind

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from readiness.job.durations import Duration
    from readiness.site.drawing import Drawing
    from readiness.site.site import ApprovalTasks
    from readiness.site.stays import Stay, Wait


def draw_stays(drawing: Drawing) -> dict[str, StayTasks]:
    """Add the parts of every stay, each crew's parts chained one after another."""
    return {stay.id: _draw_stay(stay, drawing) for stay in drawing.stays.values()}


def _draw_stay(stay: Stay, drawing: Drawing) -> StayTasks:
    minutes = stay_minutes(stay, drawing.job, drawing.places, drawing.day_minutes(stay.trade))
    places = stay.places if not stay.together else (_common_place(stay),)
    parts = tuple(
        _draw_part(stay, place, length, drawing)
        for place, length in zip(places, minutes, strict=True)
    )
    chains = tuple(
        tuple(parts[number] for number in chain) for chain in chains_of(minutes, stay.crews)
    )
    for chain in chains:
        for earlier, later in itertools.pairwise(chain):
            drawing.link(earlier, later, "same crew, next place", stay.origin)
    return StayTasks(parts, chains)


def _common_place(stay: Stay) -> str:
    return stay.places[0] if len(stay.places) == 1 else SITE


def _draw_part(stay: Stay, place: str, minutes: int, drawing: Drawing) -> int:
    among = stay.places if stay.together else (place,)
    touched = {
        surface: stay.order[surface]
        for name in among
        for surface in stay.touches(drawing.places, name)
    }
    index = drawing.task(
        f"{stay.id}@{place}" if place != SITE else stay.id,
        TaskKind.WORK,
        stay.title,
        stay=stay.id,
        place=place,
        origin=stay.origin,
        trade=stay.trade,
        calendar=None if stay.takes.clock else drawing.calendar(stay.trade),
        minutes=minutes,
        surfaces=frozenset(touched),
    )
    drawing.orders[index] = touched
    return index


def draw_waits(drawing: Drawing, stay_tasks: Mapping[str, StayTasks]) -> None:
    """Add the usual links of every stay; what people wrote may not be dropped, and comes later."""
    for stay in drawing.stays.values():
        for wait in stay.waits:
            if wait.written or wait.other not in stay_tasks:
                continue
            _draw_by_place(stay, wait, drawing, stay_tasks)


def draw_written_by_place(drawing: Drawing, stay_tasks: Mapping[str, StayTasks]) -> None:
    """Add the written links between stays that join related parts."""
    for stay in drawing.stays.values():
        for wait in stay.waits:
            if wait.written and wait.by_place and {stay.id, wait.other} <= stay_tasks.keys():
                _draw_by_place(stay, wait, drawing, stay_tasks)


def draw_waits_for_looks(
    drawing: Drawing, stay_tasks: Mapping[str, StayTasks], approvals: Iterable[ApprovalTasks]
) -> None:
    """Add the links from an approval into a work, by a local rule or written place by place."""
    looks = looks_named(drawing, approvals)
    for stay in drawing.stays.values():
        for wait in stay.waits:
            if wait.by_place and wait.other in looks and stay.id in stay_tasks:
                _draw_by_place(stay, wait, drawing, stay_tasks, looks[wait.other])


def looks_named(drawing: Drawing, approvals: Iterable[ApprovalTasks]) -> dict[str, list[int]]:
    """Return the looks that a wait for an approval means, by approval.

    A look at what runs in front of the foam is meant only where there is no other.
    """
    looks: dict[str, list[int]] = {}
    in_front: dict[str, list[int]] = {}
    for approval in approvals:
        is_in_front = (
            not approval.before_foam and not drawing.facts.approvals[approval.id].after_spray
        )
        found = in_front if is_in_front else looks
        found.setdefault(approval.id, []).extend(approval.looks.values())
    return {**in_front, **looks}


def _draw_by_place(
    stay: Stay,
    wait: Wait,
    drawing: Drawing,
    stay_tasks: Mapping[str, StayTasks],
    sources_of_wait: Iterable[int] | None = None,
) -> None:
    earlier_at: dict[str, list[int]] = {}
    for index in sources_of_wait or stay_tasks[wait.other].parts:
        for place in _places_of_part(index, drawing):
            earlier_at.setdefault(place, []).append(index)
    for later in stay_tasks[stay.id].parts:
        near = {
            place
            for here in _places_of_part(later, drawing)
            for place in drawing.places.related(here)
        }
        sources = [index for place, here in earlier_at.items() if place in near for index in here]
        for source in dict.fromkeys(sources):
            draw_wait(source, later, wait, drawing)


def _places_of_part(task: int, drawing: Drawing) -> tuple[str, ...]:
    """Return where a part is: a stay done in all its places together is in each of them."""
    stay = drawing.stays.get(drawing.tasks[task].stay)
    return stay.places if stay is not None and stay.together else (drawing.tasks[task].place,)


def draw_wait(source: int, target: int, wait: Wait, drawing: Drawing) -> None:
    """Add one wait as a link between two tasks, its gap counted on the job's calendar."""
    minutes, elapsed = gap_of(wait.gap, drawing)
    drawing.link(
        source,
        target,
        wait.why,
        wait.origin,
        kind=link_kind(from_start=wait.from_start, into_finish=wait.into_finish),
        gap_minutes=minutes,
        gap_elapsed=elapsed,
    )


def gap_of(gap: Duration | None, drawing: Drawing) -> tuple[int, bool]:
    """Return a gap in minutes and whether they are clock minutes; a day is the job's day."""
    if gap is None:
        return 0, False
    return gap.minutes(drawing.day_minutes("job")), gap.clock


def link_kind(*, from_start: bool, into_finish: bool) -> LinkKind:
    """Return the kind of link from which end of the earlier into which end of the later."""
    if from_start:
        return LinkKind.START_TO_END if into_finish else LinkKind.START_TO_START
    return LinkKind.END_TO_END if into_finish else LinkKind.END_TO_START


def before(drawing: Drawing, task: int) -> tuple[str, ...]:
    """Return the surfaces that a task must be finished on before they are sprayed."""
    return _with_order(drawing, task, Order.BEFORE)


def after(drawing: Drawing, task: int) -> tuple[str, ...]:
    """Return the surfaces that must be sprayed and released before the task may begin."""
    return _with_order(drawing, task, Order.AFTER)


def closing_up(drawing: Drawing, task: int) -> tuple[str, ...]:
    """Return the surfaces whose foam the task trims, proves or seals."""
    return _with_order(drawing, task, Order.CLOSING_UP)


def _with_order(drawing: Drawing, task: int, order: Order) -> tuple[str, ...]:
    return tuple(
        surface for surface, value in drawing.orders.get(task, {}).items() if value is order
    )
