"""Reads what was seen of stays: done, begun, booked, not reported.

Invariant: what is known of a stay is spread over its parts in the order in which they are worked.
"""

from __future__ import annotations

from math import ceil
from typing import TYPE_CHECKING

from readiness.diary.seen import EVERYWHERE, Contested
from readiness.facts.vocabulary import Order
from readiness.job.instants import EARLIER
from readiness.job.places import surfaces_of
from readiness.schedule.knowing import Commitment, Shown
from readiness.schedule.readings_of_days import booked_from_to, day_of, finished_at, started_at
from readiness.schedule.state import Begun
from readiness.site.stays import BOARD

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.diary.seen import Begun as BegunSeen
    from readiness.diary.seen import Done, TakenBack
    from readiness.schedule.knowing import Reader

EVERYWHERE_NAMED = ("all",)


def read_stay(reader: Reader, name: str) -> None:
    """Read what was seen of one stay."""
    done = reader.seen.done.get(name, {})
    for part in reader.site.stay_tasks[name].parts if done else ():
        places = tuple(_places_over(reader, part))
        both = _contested(reader, name, part, places)
        if both is not None:
            reader.contested[part] = both
            continue
        for place in places:
            if place in done and not _reopened(reader, name, part, places, done[place].rank):
                fact = done[place]
                at = finished_at(fact.on, reader.calendar(part), reader.seen.as_of)
                reader.finish(part, at, Shown(fact.how, "done", fact.origin))
    _begun(reader, name)
    _booked(reader, name)


def _contested(reader: Reader, name: str, part: int, places: tuple[str, ...]) -> Contested | None:
    """Return both statements about a part, if one person takes back what another had finished.

    The same on one day the other way round; a change of the site between them settles it.
    """
    done = reader.seen.done.get(name, {})
    back = reader.seen.taken_back.get(name, {})
    finished = sorted((done[place] for place in places if place in done), key=_rank)
    taken = max((back[place] for place in places if place in back), key=_rank, default=None)
    if not finished or taken is None:
        return None
    last = finished[-1]
    if last.rank > taken.rank:
        same_day = last.on is not None and day_of(last.on) == taken.day
        if not same_day or last.by == taken.by:
            return None
        told = f"{taken.by}: not done; {last.by}: done"
        return Contested(told, (taken.origin, last.origin))
    for fact in reversed(finished):
        if fact.by != taken.by and not _changed(reader, name, part, fact.rank):
            told = f"{fact.by or 'job file'}: done; {taken.by}: not done"
            return Contested(told, (fact.origin, taken.origin))
    return None


def _rank(statement: Done | TakenBack) -> int:
    return statement.rank


def _reopened(reader: Reader, name: str, part: int, places: tuple[str, ...], rank: int) -> bool:
    """Say whether a later statement took the work back, or a change reopened it there."""
    back = reader.seen.taken_back.get(name, {})
    if any(place in back and back[place].rank > rank for place in places):
        return True
    return _changed(reader, name, part, rank)


def _changed(reader: Reader, name: str, part: int, rank: int) -> bool:
    """Say whether a change has reopened a part since a statement."""
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
        start = min(started_at(begun.on, reader.calendar(part)), reader.seen.as_of)
        if begun.places == EVERYWHERE_NAMED:
            # The crew came here from the part before, when that was finished
            before = [reader.finished[task].finish for task in chain if task in reader.finished]
            start = max([start, *before])
        reader.begun[part] = _under_way(reader, begun, part, start)
        return


def _under_way(reader: Reader, begun: BegunSeen, part: int, start: int) -> Begun:
    """Return a begun part with what is left of it, counted from when that was seen.

    At as_of a tenth of the plan is left at least, unless nothing or all was reported.
    """
    as_of = reader.seen.as_of
    left = _remaining(reader, begun, part, start)
    if begun.seen_at is None:
        return Begun(start, as_of, left)
    least = ceil(reader.site.tasks[part].minutes / 10)
    all_or_nothing = begun.share in (0.0, 1.0) or left == 0
    if not all_or_nothing and left - _worked(reader, part, begun.seen_at) < least:
        return Begun(start, as_of, least)
    return Begun(start, begun.seen_at, left)


def _worked(reader: Reader, part: int, since: int) -> int:
    """Return the working minutes of a part's calendar since an instant."""
    as_of = reader.seen.as_of
    return sum(
        max(0, min(shut, as_of) - max(opened, since))
        for opened, shut in reader.calendar(part).spans(since, as_of)
    )


def _begun_in(reader: Reader, part: int, places: tuple[str, ...]) -> bool:
    """Say whether a part lies in the places in which work was seen to have begun."""
    if places == EVERYWHERE_NAMED:
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
    return max(planned - _worked(reader, part, start), ceil(planned / 10))


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
