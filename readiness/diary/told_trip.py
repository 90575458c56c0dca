"""What entries about a trip change, from arrival to release.

Invariant: foam of any kind starts the keep-out's clock anew and voids an earlier release.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from readiness.diary.seen import DepthsRead, TripNews

if TYPE_CHECKING:
    from datetime import date, datetime

    from readiness.diary import entries as kinds
    from readiness.diary.folding import Fold
    from readiness.job.origin import Origin


def change_trip(fold: Fold, trip: str, origin: Origin, **changes: object) -> None:
    """Change what is known of a trip; one that the job does not have is left alone."""
    news = fold.trips.get(trip)
    if news is None:
        news = TripNews(origin)
    fold.trips[trip] = replace(news, origin=origin, **changes)  # type: ignore[arg-type]


def arrived(fold: Fold, entry: kinds.Arrived, origin: Origin, name: str) -> None:
    """Note the rig on site."""
    del name
    change_trip(fold, entry.trip, origin, arrived=fold.at(entry.seen))


def sprayed(fold: Fold, entry: kinds.Sprayed, origin: Origin, name: str) -> None:
    """Note surfaces, or shares of them, as sprayed."""
    del name
    news = fold.trips.get(entry.trip)
    whole: dict[str, date | datetime | None] = dict(news.sprayed) if news else {}
    shares = dict(news.shares) if news else {}
    for surface in fold.surfaces(entry.surfaces):
        share = 1.0 if entry.share is None else float(entry.share.percent) / 100
        if share >= 1:
            whole[surface] = entry.seen
            shares.pop(surface, None)
        else:
            shares[surface] = share
    change_trip(fold, entry.trip, origin, sprayed=whole, shares=shares)
    _here_at_the_latest(fold, entry.trip, fold.at(entry.seen), origin)
    surfaces = fold.surfaces(entry.surfaces)
    fold.void_depths(surfaces)
    fold.foam_on(surfaces, fold.at(entry.seen))
    if news is not None and news.last_foam is not None:
        _foam_at(fold, entry.trip, max(news.last_foam, fold.at(entry.seen)), origin)


def _here_at_the_latest(fold: Fold, trip: str, at: int, origin: Origin) -> None:
    """Where foam goes on the rig is there, noted or not: nobody may be inside from then on."""
    if fold.trips[trip].arrived is None:
        change_trip(fold, trip, origin, arrived=at)


def last_foam(fold: Fold, entry: kinds.LastFoam, origin: Origin, name: str) -> None:
    """Start the keep-out's clock anew; what was released, cleaned and aired before is void."""
    del name
    _foam_at(fold, entry.trip, fold.at(entry.seen), origin)
    named = fold.surfaces(entry.surfaces) or fold.surfaces_of_trip(entry.trip)
    fold.foam_on(named, fold.at(entry.seen))


def _foam_at(fold: Fold, trip: str, at: int, origin: Origin) -> None:
    change_trip(
        fold,
        trip,
        origin,
        last_foam=at,
        released=None,
        released_by="",
        residents=None,
        residents_by="",
        cleaned=None,
        ventilated=None,
    )
    _here_at_the_latest(fold, trip, at, origin)


def cleaned(fold: Fold, entry: kinds.CleanedUp, origin: Origin, name: str) -> None:
    """Note the clean-up."""
    del name
    change_trip(fold, entry.trip, origin, cleaned=fold.at(entry.seen))


def depth(fold: Fold, entry: kinds.DepthRead, origin: Origin, name: str) -> None:
    """Note depth readings; of a surface that the job does not have they say nothing."""
    del name
    if entry.surface in fold.job.surfaces:
        fold.depths.append(
            DepthsRead(
                entry.surface,
                entry.field,
                entry.perimeter,
                fold.at(entry.seen),
                entry.by,
                fold.foam_rank.get(entry.surface, 0),
                origin,
            )
        )


def ventilated(fold: Fold, entry: kinds.Ventilated, origin: Origin, name: str) -> None:
    """Note that fans have run, or failed."""
    del name
    change_trip(fold, entry.trip, origin, ventilated=entry.yes)


def released(fold: Fold, entry: kinds.Released, origin: Origin, name: str) -> None:
    """Note who lets others in again: workers, or the residents too."""
    del name
    if entry.residents:
        at = fold.at(entry.seen)
        change_trip(fold, entry.trip, origin, residents=at, residents_by=entry.by)
        return
    change_trip(fold, entry.trip, origin, released=fold.at(entry.seen), released_by=entry.by)
