"""The job as those entries change it that alter its structure: trips, bays, things, days off.

The site is laid out from a job and never from a diary; so what changes the structure changes the
job first, in one pure step.

Invariant: a job without such entries comes back as the very same object.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from readiness.diary import entries as kinds
from readiness.job.rows import ApprovalRow, ObstructionRow, TradeRow, WorkRow
from readiness.job.trip_rows import TripRow

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.diary.history import Noted
    from readiness.job.job import Job


def amended(job: Job, notes: Iterable[Noted]) -> Job:
    """Return the job with its structure as the entries left it."""
    for noted in notes:
        job = _amended_by(job, noted.entry)
    return job


def _amended_by(job: Job, entry: kinds.AnyEntry) -> Job:
    match entry:
        case kinds.TripChanged():
            return _with_trip(job, entry)
        case kinds.BayReserved():
            return _with_bay(job, entry)
        case kinds.LotsNoted() | kinds.RigsBrought() if entry.trip in job.trips:
            return _brought(job, entry)
        case kinds.SealedByHand():
            return _sealed(job, entry)
        case kinds.ThingSet() if entry.thing not in job.obstructions and entry.is_:
            row = ObstructionRow.model_validate({"is": entry.is_, "blocks": entry.blocks})
            return _changed(job, "obstructions", entry.thing, row)
        case kinds.TradeOff() | kinds.TradeExtra() | kinds.TradeLate():
            return _with_shifts(job, entry)
        case kinds.ApprovalRequested() if (
            entry.part and job.approvals.get(entry.approval) is not False
        ):
            part = ApprovalRow(surfaces=entry.surfaces, part=True)
            rows = (*(job.approvals.get(entry.approval) or ()), part)
            return _changed(job, "approvals", entry.approval, rows)
        case _:
            return _with_other_work(job, entry)


def _with_other_work(job: Job, entry: kinds.AnyEntry) -> Job:
    """Return the job with the line of a work changed, if that is what an entry does."""
    match entry:
        case kinds.CrewsBrought():
            return _with_work(job, entry.work, {"crews_on": entry.crews})
        case kinds.PlacesFirst():
            return _with_work(job, entry.work, {"first": entry.places})
        case kinds.WorkTakes() if job.work.get(entry.work) is not False:
            return _with_work(job, entry.work, {"takes": entry.takes})
        case _:
            return job


def _changed(job: Job, table: str, name: str, row: object) -> Job:
    """Return the job with one row of one table changed; names of places are looked up anew."""
    rows: dict[str, Any] = {**getattr(job, table), name: row}
    return job.model_copy(update={table: rows})


def _with_trip(job: Job, entry: kinds.TripChanged) -> Job:
    row = job.trips.get(entry.trip) or TripRow(surfaces=())
    changes = {
        key: value
        for key, value in (
            ("surfaces", entry.surfaces),
            ("lasts", entry.lasts),
            ("keep_out", entry.keep_out),
            ("sheet", entry.sheet or None),
        )
        if value is not None
    }
    job = _changed(job, "trips", entry.trip, row.model_copy(update=changes))
    if entry.surfaces is None:
        return job
    taken = set(job.place_names.surfaces(entry.surfaces))
    for name, other in job.trips.items():
        if name != entry.trip and other.surfaces != ("all",):
            left = tuple(s for s in job.place_names.surfaces(other.surfaces) if s not in taken)
            job = _changed(job, "trips", name, other.model_copy(update={"surfaces": left}))
    return job


def _brought(job: Job, entry: kinds.LotsNoted | kinds.RigsBrought) -> Job:
    """Return the job with what is brought to a trip: rigs, or lots of drums."""
    trip = job.trips[entry.trip]
    if isinstance(entry, kinds.RigsBrought):
        trip = trip.model_copy(update={"rigs": entry.rigs})
    else:
        lots = tuple(dict.fromkeys((*trip.lots, *entry.lots)))
        trip = trip.model_copy(update={"lots": lots})
    return _changed(job, "trips", entry.trip, trip)


def _with_shifts(job: Job, entry: kinds.TradeOff | kinds.TradeExtra | kinds.TradeLate) -> Job:
    """Return the job with days, or an evening, on which a trade comes or does not."""
    if isinstance(entry, kinds.TradeOff):
        trade = job.trades.get(entry.off_trade)
        if trade is None:
            return job
        trade = trade.model_copy(update={"off": (*trade.off, *entry.days)})
        return _changed(job, "trades", entry.off_trade, trade)
    if isinstance(entry, kinds.TradeExtra):
        trade = job.trades.get(entry.extra_trade) or TradeRow()
        trade = trade.model_copy(update={"extra": (*trade.extra, *entry.days)})
        return _changed(job, "trades", entry.extra_trade, trade)
    trade = job.trades.get(entry.late_trade) or TradeRow()
    trade = trade.model_copy(update={"late": (*trade.late, *entry.until)})
    return _changed(job, "trades", entry.late_trade, trade)


def _with_work(job: Job, name: str, update: dict[str, Any]) -> Job:
    work = job.work.get(name) or WorkRow()
    return _changed(job, "work", name, work.model_copy(update=update))


def _with_bay(job: Job, entry: kinds.BayReserved) -> Job:
    if entry.behind:
        return _behind(job, entry)
    row = job.trips.get(entry.trip)
    if row is None:
        return job
    bays = (*row.reserved, *entry.surfaces)
    later = dict.fromkeys(entry.surfaces, entry.follow_up) if entry.follow_up else {}
    update = {"reserved": bays, "follow_ups": {**row.follow_ups, **later}}
    return _changed(job, "trips", entry.trip, row.model_copy(update=update))


def _behind(job: Job, entry: kinds.BayReserved) -> Job:
    """Return the job with the bay behind a thing left out, the rest of its surface as before."""
    thing = job.obstructions.get(entry.behind)
    if thing is None:
        return job
    update = {
        "reserved": (*thing.reserved, *entry.surfaces),
        "follow_up": entry.follow_up or thing.follow_up,
    }
    return _changed(job, "obstructions", entry.behind, thing.model_copy(update=update))


def _sealed(job: Job, entry: kinds.SealedByHand) -> Job:
    """Return the job without the surfaces that were sealed by hand among those to be sprayed.

    Where only a bay is left out the rest of the surface is sprayed all the same.
    """
    bays_on = {
        surface
        for thing in job.obstructions.values()
        for surface in job.place_names.surfaces(thing.reserved)
    }
    sealed = [s for s in job.place_names.surfaces(entry.surfaces) if s not in bays_on]
    for name, row in job.trips.items():
        of_trip = set(job.place_names.surfaces(row.surfaces))
        bays = tuple(surface for surface in sealed if surface in of_trip)
        if bays:
            row_now = row.model_copy(update={"reserved": (*row.reserved, *bays)})
            job = _changed(job, "trips", name, row_now)
    return job
