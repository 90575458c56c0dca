"""What entries about work, approvals and things in the way change.

Invariant: two people who differ about one thing on one day leave it contested.
"""

from __future__ import annotations

from dataclasses import replace
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
        fold.contested.pop((entry.work, place), None)
        back = fold.taken_back.get(entry.work, {}).get(place)
        if back is not None and back.by != entry.by and back.day == day_of(entry.seen):
            fold.contest(entry.work, place, f"{back.by}: not done; {entry.by}: done")


def work_not_done(fold: Fold, entry: kinds.WorkNotDone, origin: Origin, name: str) -> None:
    """Take work back; what another person had reported done is contested."""
    del name
    for place in fold.places(entry.places):
        back = TakenBack(fold.rank, entry.by, day_of(entry.seen), origin)
        fold.taken_back.setdefault(entry.work, {})[place] = back
        done = fold.done.get(entry.work, {}).get(place)
        if done is not None and done.by != entry.by and not fold.voided_since(done.rank):
            fold.contest(entry.work, place, f"{done.by or 'job file'}: done; {entry.by}: not done")


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
            told = f"{earlier.by or 'job file'}: {earlier.result}; {entry.by}: {entry.result}"
            fold.contest(entry.approval, surface, told)
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
        )
    )


def _contradicts(earlier: Look, entry: kinds.ApprovalTold) -> bool:
    """Say whether two results can't both stand: of one day, or a pass taken back without a look."""
    if earlier.result is None or earlier.by == (entry.office or entry.by):
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
    """Note a thing as standing since it was seen."""
    del name
    placed = fold.things.get(entry.thing)
    if placed is not None and placed.pulled is not None and _same_day(placed, entry):
        fold.contest(entry.thing, "", f"pulled; {entry.by}: in the way")
    pull = placed.pull if placed is not None and placed.pulled is None else None
    fold.things[entry.thing] = Placed(origin, since=entry.seen, pull=pull)


def _same_day(placed: Placed, entry: kinds.ThingSet) -> bool:
    return placed.pulled is not None and day_of(placed.pulled) == day_of(entry.seen)


def thing_pulled(fold: Fold, entry: kinds.ThingPulled, origin: Origin, name: str) -> None:
    """Note a thing as out of the way."""
    del name
    placed = fold.things.get(entry.thing)
    reset = placed.reset if placed is not None else None
    fold.contested.pop((entry.thing, ""), None)
    since = placed.since if placed is not None else None
    fold.things[entry.thing] = Placed(origin, since=since, pulled=entry.seen, reset=reset)


def thing_dated(fold: Fold, entry: kinds.ThingDated, origin: Origin, name: str) -> None:
    """Note when a thing will be set, pulled or come back."""
    del name
    placed = fold.things.get(entry.thing)
    if placed is None:
        placed = Placed(origin)
    fold.things[entry.thing] = replace(
        placed,
        since=entry.set_ or placed.since,
        dated_by_work=placed.dated_by_work and entry.set_ is None,
        pull=entry.pull or placed.pull,
        reset=entry.reset or placed.reset,
        origin=origin,
    )
