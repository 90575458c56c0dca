"""Folds the entries of a diary onto what the job file states: one entry after another.

Invariant: the later statement about one thing wins; where two people differ about one thing as
seen on one day, or one takes back what another had finished, neither counts until somebody looks.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.diary import entries as kinds
from readiness.diary import told_trip, told_words, told_work
from readiness.diary.folding import Fold

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from readiness.diary.history import Noted
    from readiness.diary.seen import Seen
    from readiness.job.job import Job


def told_on(seen: Seen, job: Job, notes: Iterable[Noted]) -> Seen:
    """Return what is known once the entries are folded onto the job file's statements.

    Args:
        seen: What the job file states at the moment asked about.
        job: The job, amended by those entries that change its structure.
        notes: The entries that count at that moment, oldest first.
    """
    fold = Fold(seen, job)
    for rank, noted in enumerate(notes, 1):
        handler = HANDLERS.get(type(noted.entry))
        if handler is not None:
            fold.rank = rank
            handler(fold, noted.entry, noted.origin, noted.name)
    return fold.seen()


HANDLERS: dict[type, Callable[..., None]] = {
    kinds.WorkDone: told_work.work_done,
    kinds.WorkNotDone: told_work.work_not_done,
    kinds.WorkBegun: told_work.work_begun,
    kinds.ApprovalRequested: told_work.requested,
    kinds.ApprovalTold: told_work.result,
    kinds.ThingSet: told_work.thing_set,
    kinds.ThingPulled: told_work.thing_pulled,
    kinds.ThingDated: told_work.thing_dated,
    kinds.Answered: told_words.answered,
    kinds.Prepared: told_words.prepared,
    kinds.SealedByHand: told_words.sealed,
    kinds.ReadingTaken: told_words.reading,
    kinds.ReadingsVoid: told_words.readings_void,
    kinds.Dated: told_words.dated,
    kinds.Slip: told_words.slip,
    kinds.DaysOffered: told_words.offered,
    kinds.SiteConfirmed: told_words.confirmed,
    kinds.ChangeOrder: told_words.change,
    kinds.Damage: told_words.damage,
    kinds.Override: told_words.override,
    kinds.Stopped: told_words.stopped,
    kinds.Lifted: told_words.lifted,
    kinds.Arrived: told_trip.arrived,
    kinds.Sprayed: told_trip.sprayed,
    kinds.LastFoam: told_trip.last_foam,
    kinds.DepthRead: told_trip.depth,
    kinds.CleanedUp: told_trip.cleaned,
    kinds.Ventilated: told_trip.ventilated,
    kinds.Released: told_trip.released,
}
"""What each kind of entry changes; kinds that no verdict reads are not here."""
