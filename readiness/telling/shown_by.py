"""Where it was said how a blocker stands: entries of the diary, or lines of the job file.

Invariant: what nobody has said anything about has no such place; its rule has one of its own.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readiness.gates.blockers import Blocker
    from readiness.gates.standings import Standing
    from readiness.job.origin import Origin
    from readiness.telling.case import Case


def shown_by(case: Case, blocker: Blocker, standing: Standing | None) -> tuple[str, ...]:
    """Return where it was said how a blocker stands, in the order in which it was."""
    places = [*_of_evidence(standing), *_of_task(case, blocker.task)]
    if not places:
        places = [*_of_thing(case, blocker), *_of_booking(case, blocker)]
    places += _of_changes(case, blocker)
    return tuple(dict.fromkeys(place.told() for place in places))


def _of_evidence(standing: Standing | None) -> Iterator[Origin]:
    if standing is not None and standing.evidence is not None:
        yield from standing.evidence.against
        yield standing.evidence.origin


def _of_task(case: Case, task: int | None) -> Iterator[Origin]:
    """Yield what was said of a task: both sides, a result, that it is finished or has begun."""
    if task is None:
        return
    known = case.outlook.known
    if task in known.contested:
        yield from known.contested[task].origins
    elif task in known.looks:
        yield known.looks[task].origin
    elif task in known.shown:
        yield known.shown[task].origin
    elif task in known.state.begun:
        begun = case.outlook.seen.begun.get(case.site.tasks[task].stay)
        if begun is not None:
            yield begun.origin
    else:
        back = case.outlook.seen.taken_back.get(case.site.tasks[task].stay, {})
        yield from (statement.origin for statement in back.values())


def _of_thing(case: Case, blocker: Blocker) -> Iterator[Origin]:
    placed = case.outlook.seen.things.get(blocker.code)
    if placed is not None:
        yield placed.origin


def _of_booking(case: Case, blocker: Blocker) -> Iterator[Origin]:
    """Yield where the date was set that is too early, or when the rig came."""
    seen = case.outlook.seen
    for closer in blocker.closers:
        booked = seen.booked.get(closer.stay)
        begun = seen.begun.get(closer.stay)
        if begun is not None:
            yield begun.origin
        elif booked is not None:
            yield booked.origin
        elif closer.stay in seen.things:
            yield seen.things[closer.stay].origin
    if blocker.kept_out_by and blocker.kept_out_by in seen.trips:
        yield seen.trips[blocker.kept_out_by].origin


def _of_changes(case: Case, blocker: Blocker) -> Iterator[Origin]:
    """Yield the changes that have reopened it."""
    if blocker.task is None or not blocker.requirements:
        return
    task = case.site.tasks[blocker.task]
    surfaces = set(task.surfaces) or set(case.site.places.surfaces_in[task.place])
    for voided in case.outlook.seen.voided:
        works = not voided.works or task.stay in voided.works or task.kind.value != "work"
        if works and not surfaces.isdisjoint(voided.surfaces):
            yield voided.origin
