"""By when somebody's word is wanted: for the rig, for the work before the foam, for an offer.

A date in a calendar says that it arrived, not that the work will be done; so the time until which
each must say so stands there as an entry of its own.

Invariant: each stands at the last working time before its cut-off, so that it is read on a working
day; a cut-off follows from dates that people set, never from a forecast.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.gates.due import asked_at
from readiness.gates.due_calls import CONFIRMED_AHEAD_HOURS
from readiness.job.instants import is_dated, shifted
from readiness.schedule.readings_of_days import instant_of_moment
from readiness.schedule.worktime import Worktime
from readiness.site.task import TaskKind
from readiness.telling.occasions import Occasion, OccasionKind
from readiness.telling.recipients import CONTRACTOR

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readiness.telling.case import Case
    from readiness.telling.days import Span

ABOUT_WORDS = frozenset({OccasionKind.CONFIRM_RIG, OccasionKind.CONFIRM_WORK, OccasionKind.OFFER})
"""Occasions at which nobody comes: a word is wanted."""

SHOWN_MINUTES = 30
"""An entry needs a length; it ends when the word is wanted."""


def confirmations_of(case: Case) -> tuple[Occasion, ...]:
    """Return the times by which a word is wanted, by date, then by name."""
    found = [*_of_trips(case), *_of_offers(case)]
    return tuple(sorted(found, key=lambda occasion: (occasion.days[0], occasion.item)))


def _of_trips(case: Case) -> Iterator[Occasion]:
    """Yield when the rig must be confirmed, and when each trade must say that it will be done."""
    site, known = case.site, case.outlook.known
    for name, arrival in known.arrivals.items():
        if name in known.arrived:
            continue
        trip, agreed = site.trips[name], case.outlook.seen.trips[name].agreed
        cut_off = shifted(arrival, -CONFIRMED_AHEAD_HOURS * 60)
        yield Occasion(
            item=f"trip:{name}:confirm",
            kind=OccasionKind.CONFIRM_RIG,
            about=name,
            doer=site.tasks[trip.set_up].trade or "spray",
            days=(_last_working(case, cut_off),),
            agreed=agreed,
            tasks=tuple(t for t in trip.sprays.values() if t not in known.state.finished),
            surfaces=trip.surfaces,
        )
        _, cut_off, _ = asked_at(arrival)
        for trade, tasks in open_before(case, name).items():
            yield Occasion(
                item=f"trip:{name}:confirm:{trade}",
                kind=OccasionKind.CONFIRM_WORK,
                about=name,
                doer=trade,
                days=(_last_working(case, cut_off),),
                agreed=agreed,
                tasks=tasks,
                surfaces=trip.surfaces,
            )


def open_before(case: Case, trip: str) -> dict[str, tuple[int, ...]]:
    """Return the open work and pulls that a trip waits for, by trade but for the contractor."""
    site, finished = case.site, case.outlook.known.state.finished
    found: dict[str, list[int]] = {}
    for task in sorted(case.outlook.frame.upstream[trip]):
        row = site.tasks[task]
        is_work = row.kind is TaskKind.WORK and row.stay in site.stays
        asked = row.trade not in {None, CONTRACTOR} and task not in finished
        if asked and (is_work or row.kind is TaskKind.PULL):
            found.setdefault(str(row.trade), []).append(task)
    return {trade: tuple(tasks) for trade, tasks in sorted(found.items())}


def _of_offers(case: Case) -> Iterator[Occasion]:
    """Yield until when days are kept free of which none is taken yet."""
    for name, news in case.outlook.seen.trips.items():
        if name in case.outlook.known.arrivals or not news.offered or news.offer_until is None:
            continue
        ends = instant_of_moment(news.offer_until, case.site.zone)
        yield Occasion(
            item=f"trip:{name}:offer",
            kind=OccasionKind.OFFER,
            about=name,
            doer=CONTRACTOR,
            days=((shifted(ends, -SHOWN_MINUTES), ends),),
            agreed=False,
            surfaces=case.site.trips[name].surfaces,
        )


def _last_working(case: Case, cut_off: int) -> Span:
    """Return the last half hour of the job's working time that ends by a cut-off."""
    timer = case.outlook.frame.calendars[case.site.job_calendar]
    if isinstance(timer, Worktime):
        starts = timer.latest_start(cut_off, SHOWN_MINUTES)
        if is_dated(starts):
            return starts, timer.finish(starts, SHOWN_MINUTES)
    return shifted(cut_off, -SHOWN_MINUTES), cut_off
