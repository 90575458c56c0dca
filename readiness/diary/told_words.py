"""What answers, readings, dates and decisions change.

Invariant: a later statement about one thing wins; a promise is no answer.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from typing import TYPE_CHECKING

from readiness.diary import entries as kinds
from readiness.diary.seen import (
    Answer,
    Booked,
    Confirmation,
    Reading,
    ReadingsVoided,
    Slipped,
    Stop,
    Voided,
    Waiver,
)
from readiness.diary.told_trip import change_trip
from readiness.facts.vocabulary import LEFT_OUT, Role, Rung

if TYPE_CHECKING:
    from readiness.diary.folding import Fold
    from readiness.job.origin import Origin


def answered(fold: Fold, entry: kinds.Answered, origin: Origin, name: str) -> None:
    """Note an answer; a promise is not yet an answer."""
    del name
    value = {"yes": True, "no": False}.get(entry.value)
    _answer(fold, entry, entry.requirement, entry.places, entry.trip, value, origin)


def prepared(fold: Fold, entry: kinds.Prepared, origin: Origin, name: str) -> None:
    """Note a preparation that was seen."""
    del name
    _answer(fold, entry, entry.requirement, entry.places, "", value=True, origin=origin)


def sealed(fold: Fold, entry: kinds.SealedByHand, origin: Origin, name: str) -> None:
    """Note that what was left out there is closed."""
    del name
    _answer(fold, entry, LEFT_OUT, entry.surfaces, "", value=True, origin=origin)


def _answer(  # noqa: PLR0913, PLR0917  an answer is nothing but its fields
    fold: Fold,
    entry: kinds.Entry,
    code: str,
    places: tuple[str, ...],
    trip: str,
    value: bool | None,  # noqa: FBT001  three answers, not a switch
    origin: Origin,
) -> None:
    how = Rung.SEEN if isinstance(entry, kinds.Prepared) else entry.how
    day = entry.seen.date() if isinstance(entry.seen, datetime) else entry.seen
    by = entry.promised_by if isinstance(entry, kinds.Answered) else None
    fold.answers.append(
        Answer(code, value, places, fold.at(entry.seen), day, entry.by, how, trip, origin, by)
    )


def reading(fold: Fold, entry: kinds.ReadingTaken, origin: Origin, name: str) -> None:
    """Note a reading."""
    del name
    day = entry.seen.date() if isinstance(entry.seen, datetime) else entry.seen
    at = fold.at(entry.seen)
    fold.readings.append(
        Reading(entry.reading, entry.value, entry.places, at, day, entry.by, origin)
    )


def readings_void(fold: Fold, entry: kinds.ReadingsVoid, origin: Origin, name: str) -> None:
    """Note that earlier readings there speak no longer."""
    del name
    at = fold.end_of(entry.seen)
    surfaces = fold.surfaces(entry.places)
    fold.reading_voids.append(ReadingsVoided(surfaces, at, entry.cause, origin))


def dated(fold: Fold, entry: kinds.Dated, origin: Origin, name: str) -> None:
    """Note, or strike, the date of a work or a trip."""
    del name
    booked = Booked(entry.when, entry.agreed, origin, entry.by) if entry.when is not None else None
    _date(fold, entry.what, booked, origin)


def _date(fold: Fold, what: str, booked: Booked | None, origin: Origin) -> None:
    """Set the date of a work, of a trip or of the start of board, or strike it."""
    if what in fold.trips:
        arrival: date | datetime | None = None
        if booked is not None:
            when = booked.booking
            arrival = when.last if when.at is None else datetime.combine(when.last, when.at)
        agreed = booked is not None and booked.agreed
        fold.trips[what] = replace(fold.trips[what], arrival=arrival, agreed=agreed, origin=origin)
    elif what == "board":
        fold.board = booked
    elif booked is None:
        fold.booked.pop(what, None)
    else:
        fold.booked[what] = booked


def _agreed(fold: Fold, what: str) -> bool:
    """Say whether the date of a work or trip is agreed; one that nobody knows is taken for it."""
    if what in fold.trips and fold.trips[what].arrival is not None:
        return fold.trips[what].agreed
    return what not in fold.booked or fold.booked[what].agreed


def slip(fold: Fold, entry: kinds.Slip, origin: Origin, name: str) -> None:
    """Move a booking and keep why; it stays as agreed, or on paper only, as it was."""
    del name
    booked = Booked(entry.to, _agreed(fold, entry.what), origin, entry.by)
    _date(fold, entry.what, booked, origin)
    at = fold.at(entry.seen)
    moved_by = entry.moved_by or entry.by
    fold.slips.append(Slipped(entry.what, str(entry.to), entry.cause, moved_by, at, origin))


def offered(fold: Fold, entry: kinds.DaysOffered, origin: Origin, name: str) -> None:
    """Note the days that the spray company offers."""
    del name
    change_trip(fold, entry.trip, origin, offered=entry.moments, offer_until=entry.holds_until)


def confirmed(fold: Fold, entry: kinds.SiteConfirmed, origin: Origin, name: str) -> None:
    """Note the dispatcher's word."""
    del name
    at = fold.at(entry.seen)
    fold.confirmations.append(
        Confirmation(entry.trip, entry.yes, entry.by, entry.reason, at, origin)
    )


def change(fold: Fold, entry: kinds.ChangeOrder, origin: Origin, name: str) -> None:
    """Void what was approved, photographed and read there, and reopen the work."""
    del name
    _void(fold, entry, origin, works=tuple(entry.works))


def damage(fold: Fold, entry: kinds.Damage, origin: Origin, name: str) -> None:
    """Reopen what is proven of the foam there."""
    del name
    _void(fold, entry, origin, foam_only=True)


def _void(
    fold: Fold,
    entry: kinds.ChangeOrder | kinds.Damage,
    origin: Origin,
    *,
    works: tuple[str, ...] = (),
    foam_only: bool = False,
) -> None:
    fold.void_depths(fold.surfaces(entry.surfaces))
    fold.voided.append(
        Voided(
            surfaces=fold.surfaces(entry.surfaces),
            at=fold.end_of(entry.seen),
            what=entry.what,
            works=works,
            foam_only=foam_only,
            origin=origin,
            rank=fold.rank,
        )
    )


def override(fold: Fold, entry: kinds.Override, origin: Origin, name: str) -> None:
    """Note a decision to go on; without a role nobody may override."""
    del name
    if entry.role is not None:
        at = fold.at(entry.seen)
        fold.waivers.append(
            Waiver(
                entry.requirement,
                entry.surfaces,
                entry.trip,
                entry.role,
                entry.by,
                entry.reason,
                origin,
                at,
            )
        )


def stopped(fold: Fold, entry: kinds.Stopped, origin: Origin, name: str) -> None:
    """Note a stop; whoever may write may stop."""
    role = entry.role or Role.TRADE
    stop = Stop(
        entry.by, role, entry.reason, entry.places, fold.at(entry.seen), origin, entry.trade
    )
    fold.stops.append((name, stop))


def lifted(fold: Fold, entry: kinds.Lifted, origin: Origin, name: str) -> None:
    """Lift the named stop, or the last one, of the same role; a role not known lifts nothing."""
    del origin, name
    mine = [
        number
        for number, (stop, what) in enumerate(fold.stops)
        if what.is_lifted_by(entry.role, entry.trade) and (not entry.stop or stop == entry.stop)
    ]
    if mine:
        del fold.stops[mine[-1]]
