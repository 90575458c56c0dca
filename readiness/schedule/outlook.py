"""The forecast of a site from what was seen, with everything that the questions read off it.

Invariant: a booked trip is a closed place for all other inside work of its zone that is not
upstream of it, and that closed place does not move with the forecast.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from readiness.facts.vocabulary import Where
from readiness.job.instants import NEVER, is_dated, shifted
from readiness.schedule.backward import Late, Targets, backward
from readiness.schedule.floats import Floats, floats
from readiness.schedule.forward import Forecast, forward
from readiness.schedule.known import Known, known_of
from readiness.schedule.readings_of_days import booked_from_to
from readiness.schedule.worktime import Worktime
from readiness.site.stays import BOARD
from readiness.site.task import TaskKind

if TYPE_CHECKING:
    from collections.abc import Mapping

    from readiness.diary.seen import Seen
    from readiness.schedule.calendar import Calendar
    from readiness.schedule.frame import Frame
    from readiness.schedule.network import Network
    from readiness.site.site import Site, TripTasks
    from readiness.site.task import Task


@dataclass(frozen=True)
class Outlook:
    """What is expected of every task, as things stand."""

    frame: Frame
    seen: Seen
    known: Known
    network: Network
    calendars: tuple[Calendar, ...]
    """Those of the frame, then those with closed stretches."""
    closures: Mapping[str, tuple[int, int]]
    """By booked trip: from arrival to the late end of its keep-out."""
    forecast: Forecast

    @property
    def site(self) -> Site:
        """Return the site."""
        return self.frame.site

    @cached_property
    def agreed_board(self) -> int | None:
        """Return the agreed board start, read in the job's shift; None if nobody has agreed one."""
        booked = self.seen.board or self.seen.booked.get(BOARD)
        if booked is None or not booked.agreed:
            return None
        calendar = self.site.calendars[self.site.job_calendar]
        early, late = booked_from_to(booked.booking, calendar)
        return early if is_dated(early) else late

    @cached_property
    def target(self) -> int:
        """Return the instant that late dates are worked back from: the agreed board start."""
        if self.agreed_board is not None:
            return self.agreed_board
        return self.forecast.start[self.site.board_start]

    @cached_property
    def late(self) -> Late:
        """Return the late dates for the board start."""
        finishes = [finish for finish in self.forecast.finish if is_dated(finish)]
        return backward(
            self.network,
            self.calendars,
            Targets(start={self.site.board_start: self.target}),
            state=self.known.state,
            otherwise=max(finishes, default=NEVER),
        )

    @cached_property
    def floats(self) -> Floats:
        """Return how far every task may slip."""
        return floats(self.network, self.calendars, self.forecast, self.late, self.known.state)


def outlook_of(frame: Frame, seen: Seen) -> Outlook:
    """Return the forecast of the site from what was seen."""
    known = known_of(frame.site, seen)
    closures = {
        trip.id: closure
        for trip in frame.site.trips.values()
        if (closure := _closure(trip, frame, seen, known)) is not None
    }
    network, calendars = closed_network(frame, closures, None)
    network = network.with_minutes(known.minutes)
    return Outlook(
        frame=frame,
        seen=seen,
        known=known,
        network=network,
        calendars=calendars,
        closures=closures,
        forecast=forward(network, calendars, known.state),
    )


def closed_network(
    frame: Frame, closures: Mapping[str, tuple[int, int]], left_out: str | None
) -> tuple[Network, tuple[Calendar, ...]]:
    """Return the network with the keep-outs of booked trips closed, one trip's left out."""
    closing = {trip: span for trip, span in closures.items() if trip != left_out}
    calendars = list(frame.calendars)
    if not closing:
        return frame.network, tuple(calendars)
    variants: dict[tuple[int, tuple[tuple[int, int], ...]], int] = {}
    index: list[int | None] = list(frame.network.calendar)
    for task in frame.site.tasks:
        if task.calendar is None or not closable(task, frame.site):
            continue
        shut = tuple(
            span
            for trip, span in closing.items()
            if _shuts_out(frame, frame.site.trips[trip], task)
        )
        if not shut:
            continue
        key = (task.calendar, shut)
        if key not in variants:
            variants[key] = len(calendars)
            calendars.append(frame.closed(*key))
        index[task.index] = variants[key]
    return frame.network.with_calendars(index), tuple(calendars)


def closable(task: Task, site: Site) -> bool:
    """Say whether people stand inside for a task."""
    if task.kind is TaskKind.WORK and task.stay in site.stays:
        return site.stays[task.stay].where is Where.INSIDE
    return task.trade is not None or task.kind is TaskKind.APPROVAL


def _shuts_out(frame: Frame, trip: TripTasks, task: Task) -> bool:
    """Say whether a trip's keep-out shuts a task out: in its zone, and not upstream of it."""
    stay = frame.site.stays.get(task.stay)
    places = stay.places if stay is not None and stay.together else (task.place,)
    return (
        not trip.zone.isdisjoint(places)
        and task.index not in frame.upstream[trip.id]
        and task.index not in trip.tasks
    )


def _closure(trip: TripTasks, frame: Frame, seen: Seen, known: Known) -> tuple[int, int] | None:
    """Return the keep-out of a booked trip that nobody has released."""
    arrival = known.arrivals.get(trip.id)
    news = seen.trips.get(trip.id)
    if arrival is None or news is None or news.released is not None:
        return None
    return arrival, late_end(trip, frame, arrival, news.last_foam)


def late_end(trip: TripTasks, frame: Frame, arrival: int, last_foam: int | None) -> int:
    """Return the late end of a trip's keep-out: pessimistic stay, clean-up, the sheet's time."""
    spray = frame.calendars[frame.site.spray_calendar]
    assert isinstance(spray, Worktime)  # noqa: S101  crews work in spans, never in slots
    leaves = spray.finish(arrival, trip.late_minutes)
    if last_foam is not None:
        leaves = max(leaves, last_foam)
    return shifted(leaves, trip.keep_out_minutes)
