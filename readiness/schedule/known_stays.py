"""Reads what was seen of stays: done, begun, booked, not reported.

Invariant: what is known of a stay is spread over its parts in the order in which they are worked.
"""

from __future__ import annotations

from math import ceil
from typing import TYPE_CHECKING

from readiness.diary.seen import EVERYWHERE
from readiness.facts.vocabulary import Order
from readiness.job.instants import EARLIER
from readiness.job.places import surfaces_of
from readiness.schedule.knowing import Commitment, Shown
from readiness.schedule.readings_of_days import booked_from_to, finished_at, started_at
from readiness.schedule.state import Begun
from readiness.site.stays import BOARD

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.diary.seen import Begun as BegunSeen
    from readiness.schedule.knowing import Reader


def read_stay(reader: Reader, name: str) -> None:
    """Read what was seen of one stay."""
    done = reader.seen.done.get(name, {})
    for part in reader.site.stay_tasks[name].parts if done else ():
        places = tuple(_places_over(reader, part))
        if any((name, place) in reader.seen.contested for place in places):
            reader.contested[part] = _told_both(reader, name, places)
            continue
        for place in places:
            if place in done and not _reopened(reader, name, part, places, done[place].rank):
                fact = done[place]
                at = finished_at(fact.on, reader.calendar(part), reader.seen.as_of)
                reader.finish(part, at, Shown(fact.how, "done", fact.origin))
    _begun(reader, name)
    _booked(reader, name)


def _told_both(reader: Reader, code: str, places: tuple[str, ...]) -> str:
    found = (reader.seen.contested.get((code, place)) for place in places)
    return next(told for told in found if told is not None)


def _reopened(reader: Reader, name: str, part: int, places: tuple[str, ...], rank: int) -> bool:
    """Say whether a later statement took the work back, or a change reopened it there."""
    back = reader.seen.taken_back.get(name, {})
    if any(place in back and back[place].rank > rank for place in places):
        return True
    touched = reader.site.orders.get(part, {})
    return any(
        voided.rank > rank
        and not voided.foam_only
        and (name in voided.works or not voided.works)
        and any(touched.get(surface) is Order.BEFORE for surface in voided.surfaces)
        for voided in reader.seen.voided
    )


def _places_over(reader: Reader, part: int) -> Iterable[str]:
    """Return the keys of statements that speak for a part: itself, what contains it, all."""
    place = reader.site.tasks[part].place
    groups = (
        group
        for group, names in reader.site.job.groups.items()
        if place in names or place in _in_group(reader, group)
    )
    return (EVERYWHERE, *reader.site.places.containers[place], *groups)


def _in_group(reader: Reader, group: str) -> tuple[str, ...]:
    return surfaces_of((group,), reader.site.job)


def _begun(reader: Reader, name: str) -> None:
    begun = reader.seen.begun.get(name)
    if begun is None:
        return
    for chain in reader.site.stay_tasks[name].chains:
        part = next(
            (
                task
                for task in chain
                if task not in reader.finished and _begun_in(reader, task, begun.places)
            ),
            None,
        )
        if part is None:
            continue
        calendar = reader.calendar(part)
        start = min(started_at(begun.on, calendar), reader.seen.as_of)
        reader.begun[part] = Begun(
            start,
            reader.seen.as_of if begun.seen_at is None else begun.seen_at,
            _remaining(reader, begun, part, start),
        )
        return


def _begun_in(reader: Reader, part: int, places: tuple[str, ...]) -> bool:
    """Say whether a part lies in the places in which work was seen to have begun."""
    if places == ("all",):
        return True
    inside = reader.site.places.surfaces_in[reader.site.tasks[part].place]
    named = set(surfaces_of(places, reader.site.job))
    return reader.site.tasks[part].place in places or any(s in named for s in inside)


def _remaining(reader: Reader, begun: BegunSeen, part: int, start: int) -> int:
    """Return what a begun part still takes: as reported, else planned less what was worked.

    Without a report it is never under a tenth of the plan.
    """
    planned = reader.site.tasks[part].minutes
    if begun.remaining is not None:
        return begun.remaining.minutes(reader.calendar(part).day_minutes)
    if begun.share is not None:
        left = ceil(planned * (1 - begun.share))
        return left if begun.share in (0.0, 1.0) else max(left, ceil(planned / 10))
    worked = sum(
        max(0, min(shut, reader.seen.as_of) - max(opened, start))
        for opened, shut in reader.calendar(part).spans(start, reader.seen.as_of)
    )
    return max(planned - worked, ceil(planned / 10))


def _booked(reader: Reader, name: str) -> None:
    tasks = reader.site.stay_tasks[name]
    heads = [
        next((task for task in chain if task not in reader.finished), None)
        for chain in tasks.chains
    ]
    calendar = reader.calendar(tasks.parts[0])
    lower = reader.seen.not_before.get(name)
    if lower is not None:
        for head in heads:
            if head is not None:
                reader.bookings[head] = started_at(lower, calendar)
    booked = reader.seen.booked.get(name)
    if booked is None and name == BOARD:
        booked = reader.seen.board
    if booked is None:
        return
    early, late = booked_from_to(booked.booking, calendar)
    reader.commitments[name] = Commitment(early, late, booked.agreed)
    for chain, head in zip(tasks.chains, heads, strict=True):
        if head is not None and head == chain[0] and head not in reader.begun:
            reader.bookings[head] = max(late, reader.bookings.get(head, EARLIER))


def unreported(reader: Reader) -> Iterable[int]:
    """Yield the first open part of each stay that should be over by its booking."""
    for name, commitment in reader.commitments.items():
        tasks = reader.site.stay_tasks[name]
        if any(part in reader.begun or part in reader.finished for part in tasks.parts):
            continue
        calendar = reader.calendar(tasks.parts[0])
        whole = sum(reader.site.tasks[part].minutes for part in tasks.chains[0])
        worked = (
            sum(
                max(0, min(shut, reader.seen.as_of) - max(opened, commitment.late))
                for opened, shut in calendar.spans(commitment.late, reader.seen.as_of)
            )
            if commitment.late < reader.seen.as_of
            else 0
        )
        if commitment.late < reader.seen.as_of and worked >= whole:
            yield tasks.parts[0]
