"""What entries about work, approvals and things in the way change.

Invariant: two people who differ about one thing on one day leave it contested.
"""

from __future__ import annotations

from datetime import date, datetime
from typing import TYPE_CHECKING

from readiness.diary.seen import Begun, Done, Look, Placed, TakenBack
from readiness.facts.vocabulary import ApprovalResult

if TYPE_CHECKING:
    from readiness.diary import entries as kinds
    from readiness.diary.folding import Fold
    from readiness.job.origin import Origin


def day_of(day: date | datetime) -> date:
    """Return the day of a statement."""
    return day.date() if isinstance(day, datetime) else day


FAILS = frozenset({ApprovalResult.FAILED})


def work_done(fold: Fold, entry: kinds.WorkDone, origin: Origin, name: str) -> None:
    """Note work as done in its places."""
    del name
    places = fold.done.setdefault(entry.work, {})
    for place in fold.places(entry.places):
        places[place] = Done(entry.seen, entry.how, origin, fold.rank, entry.by)


def work_not_done(fold: Fold, entry: kinds.WorkNotDone, origin: Origin, name: str) -> None:
    """Take work back; whether that contests what others said shows part by part."""
    del name
    for place in fold.places(entry.places):
        back = TakenBack(fold.rank, entry.by, day_of(entry.seen), origin)
        fold.taken_back.setdefault(entry.work, {})[place] = back


def work_begun(fold: Fold, entry: kinds.WorkBegun, origin: Origin, name: str) -> None:
    """Note the first open part in its places as begun."""
    del name
    share = float(entry.share.percent) / 100 if entry.share is not None else None
    earlier = fold.begun.get(entry.work)
    start = earlier.on if earlier is not None and earlier.places == entry.places else entry.seen
    fold.begun[entry.work] = Begun(
        start,
        share,
        entry.remaining,
        entry.how,
        origin,
        entry.places,
        fold.at(entry.seen) if share is not None or entry.remaining is not None else None,
    )


def requested(fold: Fold, entry: kinds.ApprovalRequested, origin: Origin, name: str) -> None:
    """Note a request, or the slot that the office has confirmed."""
    del name
    moment = entry.seen if isinstance(entry.seen, datetime) else None
    if moment is None:
        moment = datetime(entry.seen.year, entry.seen.month, entry.seen.day, 23, 59)  # noqa: DTZ001  wall clock
    look = Look(
        surfaces=entry.surfaces,
        requested=moment,
        slot=entry.slot,
        result=None,
        on=None,
        by=entry.by,
        how=entry.how,
        correct="",
        origin=origin,
        at=fold.at(entry.seen),
        wanted=entry.wanted,
    )
    fold.looks.setdefault(entry.approval, []).append(look)
    for surface in fold.surfaces(entry.surfaces):
        fold.contested.pop((entry.approval, surface), None)


def result(fold: Fold, entry: kinds.ApprovalTold, origin: Origin, name: str) -> None:
    """Note what the office said; two results without a request between them are contested."""
    del name
    looks = fold.looks.setdefault(entry.approval, [])
    surfaces = fold.surfaces(entry.surfaces)
    for surface in surfaces:
        earlier = _last_look(fold, entry.approval, surface)
        if earlier is not None and _contradicts(earlier, entry):
            before = earlier.author or earlier.by or "job file"
            told = f"{before}: {earlier.result}; {entry.by}: {entry.result}"
            fold.contest(entry.approval, surface, told, (earlier.origin, origin))
        else:
            fold.contested.pop((entry.approval, surface), None)
    looks.append(
        Look(
            surfaces=entry.surfaces,
            requested=None,
            slot=None,
            result=entry.result,
            on=entry.seen,
            by=entry.office or entry.by,
            how=entry.how,
            correct=entry.correct,
            origin=origin,
            at=fold.at(entry.seen),
            author=entry.by,
            rank=fold.rank,
        )
    )


def _contradicts(earlier: Look, entry: kinds.ApprovalTold) -> bool:
    """Say whether two results can't both stand: of one day, or a pass taken back without a look."""
    if earlier.result is None or earlier.author == entry.by:
        return False
    failed, fails = earlier.result in FAILS, entry.result in FAILS
    if failed is fails:
        return False
    return fails or (earlier.on is not None and day_of(earlier.on) == day_of(entry.seen))


def _last_look(fold: Fold, approval: str, surface: str) -> Look | None:
    """Return the last statement about a surface; a request after a result makes it new."""
    about = [
        look for look in fold.looks.get(approval, ()) if surface in fold.surfaces(look.surfaces)
    ]
    return about[-1] if about else None


def thing_set(fold: Fold, entry: kinds.ThingSet, origin: Origin, name: str) -> None:
    """Note a thing as standing since it was seen; what another person saw pulled is contested.

    A thing that was to come back contests nothing when it does.
    """
    del name
    placed = fold.things.get(entry.thing)
    fold.contested.pop((entry.thing, ""), None)
    pull = None
    if placed is not None and placed.pulled is None:
        pull = placed.pull
    elif placed is not None and placed.reset is None and placed.by != entry.by:
        told = f"{placed.by or 'job file'}: pulled; {entry.by}: in the way"
        fold.contest(entry.thing, "", told, (placed.origin, origin))
    fold.things[entry.thing] = Placed(origin, since=entry.seen, pull=pull, by=entry.by)


def thing_pulled(fold: Fold, entry: kinds.ThingPulled, origin: Origin, name: str) -> None:
    """Note a thing as out of the way."""
    del name
    placed = fold.things.get(entry.thing)
    reset = placed.reset if placed is not None else None
    fold.contested.pop((entry.thing, ""), None)
    since = placed.since if placed is not None else None
    fold.things[entry.thing] = Placed(
        origin, since=since, pulled=entry.seen, reset=reset, by=entry.by
    )


def thing_dated(fold: Fold, entry: kinds.ThingDated, origin: Origin, name: str) -> None:
    """Note when a thing will be set, pulled or come back."""
    del name
    placed = fold.things.get(entry.thing)
    if placed is None:
        placed = Placed(origin)
    fold.things[entry.thing] = placed._replace(
        since=entry.set_ or placed.since,
        dated_by_work=placed.dated_by_work and entry.set_ is None,
        pull=entry.pull or placed.pull,
        reset=entry.reset or placed.reset,
        origin=origin,
    )
