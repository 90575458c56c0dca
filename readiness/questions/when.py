"""When can each surface, room and trip be sprayed, and how many trips does it take?

Invariant: a first and last spray day are days of arrivals that the trip may have.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING

from readiness.facts.vocabulary import Gate
from readiness.gates.last_change import LastChange
from readiness.gates.proposals import Arrivals, proposals_of
from readiness.job.instants import EARLIER, NEVER
from readiness.telling.case import Case, Instants
from readiness.telling.window_lines import WindowLine, window_line

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from readiness.gates.windows import SprayWindow


@dataclass(frozen=True, slots=True)
class SpanLine:
    """First and last spray day of a surface, a room or a trip."""

    id: str
    name: str
    surfaces: tuple[str, ...]
    first_day: date | None
    last_day: date | None
    """None without a first day: no arrival fits. None with one: nothing booked closes it."""
    opens_by: str
    closes_by: str
    fits: bool
    """Some allowed arrival lies inside."""


@dataclass(frozen=True, slots=True)
class ChangeLine:
    """Until which day work of a room may be changed without moving its trip."""

    room: str
    name: str
    trip: str
    approval: str
    """Id of the look at the work that is changed."""
    look: str
    """That look in words."""
    last_day: date | None
    """Ordered later, the work and the looks come after the arrival; None if it is too late."""


@dataclass(frozen=True, slots=True)
class SurfaceWhen:
    """The spray window of one surface."""

    surface: str
    name: str
    trip: str
    window: WindowLine
    span: SpanLine


@dataclass(frozen=True, slots=True)
class TripWhen:
    """A trip as the job has it."""

    trip: str
    name: str
    planned: bool
    booked: datetime | None
    agreed: bool
    booking_fits: bool
    """The booked arrival lies in the windows of all its surfaces."""
    span: SpanLine
    costs_from: datetime | None
    """From this arrival on the board start is late."""


@dataclass(frozen=True, slots=True)
class ProposedTrip:
    """One of the fewest trips that would do."""

    arrival: datetime
    surfaces: tuple[str, ...]
    names: tuple[str, ...]
    last_start: datetime | None


@dataclass(frozen=True, slots=True)
class ConflictLine:
    """A surface that no trip can serve as things are booked."""

    surface: str
    name: str
    says: str


@dataclass(frozen=True, slots=True)
class WhenAnswer:
    """The answer to "when can we spray?"."""

    job: str
    instants: Instants
    trips: tuple[TripWhen, ...]
    rooms: tuple[SpanLine, ...]
    changes: tuple[ChangeLine, ...]
    """Per look before the foam, in rooms that suit the arrival of a trip that still comes."""
    surfaces: tuple[SurfaceWhen, ...]
    proposed: tuple[ProposedTrip, ...]
    conflicts: tuple[ConflictLine, ...]


def when(case: Case) -> WhenAnswer:
    """Return first and last spray day of everything still to be sprayed, and the fewest trips."""
    site, teller = case.site, case.teller
    windows = case.judge.windows
    moment = teller.moment(case.outlook.seen.as_of)
    assert moment is not None  # noqa: S101  as_of is a real instant
    proposed, conflicts = proposals_of(case.outlook, windows)
    return WhenAnswer(
        job=site.job.name,
        instants=Instants(moment, moment, site.zone, Gate.PROMISE.value),
        trips=tuple(_trip(case, trip) for trip in site.trips),
        rooms=tuple(_rooms(case)),
        changes=tuple(_changes(case)),
        surfaces=tuple(
            SurfaceWhen(
                surface=surface,
                name=teller.place(surface),
                trip=site.trip_of[surface],
                window=window_line(case, window),
                span=_span(case, surface, (surface,), site.trip_of[surface]),
            )
            for surface, window in windows.items()
        ),
        proposed=tuple(
            ProposedTrip(
                arrival=arrival,
                surfaces=proposal.surfaces,
                names=teller.surfaces(proposal.surfaces),
                last_start=teller.moment(proposal.last_start),
            )
            for proposal in proposed
            if (arrival := teller.moment(proposal.arrival)) is not None
        ),
        conflicts=tuple(
            ConflictLine(
                surface=conflict.surface,
                name=teller.place(conflict.surface),
                says=_conflict(case, windows[conflict.surface]),
            )
            for conflict in conflicts
        ),
    )


def _conflict(case: Case, window: SprayWindow) -> str:
    line = window_line(case, window)
    if window.opens == NEVER:
        return f"no date until this has one: {line.opens_by}"
    last = case.teller.told(window.last_start)
    if window.is_empty:
        closing = f"would have to be sprayed from {last}" if line.last_start else "is closed"
        return (
            f"opens only {case.teller.told(window.opens)} after {line.opens_by}, "
            f"and {closing} at the latest, for {line.closes_by}"
        )
    return (
        f"no working or offered day of the spray crew between {line.opens_by} and {line.closes_by}"
    )


def _rooms(case: Case) -> Iterable[SpanLine]:
    site = case.site
    for room in site.places.rooms:
        inside = tuple(s for s in site.places.surfaces_in[room] if s in site.trip_of)
        if inside:
            yield _span(case, room, inside, site.trip_of[inside[0]])


def _changes(case: Case) -> Iterable[ChangeLine]:
    """Yield the last day for a change in each room that the arrival suits, look by look."""
    site, known = case.site, case.outlook.known
    for trip in (name for name in site.trips if name in known.arrivals.keys() - known.arrived):
        asked = LastChange(case.outlook, trip)
        for room in site.places.rooms:
            inside = [s for s in site.places.surfaces_in[room] if site.trip_of.get(s) == trip]
            windows = [case.judge.windows[s] for s in inside if s in case.judge.windows]
            if not all(w.opens <= known.arrivals[trip] <= w.last_start for w in windows):
                continue
            for look, last in asked.looks(inside):
                moment = case.teller.moment(last) if last is not None else None
                title = site.approval_kinds[look].title
                yield ChangeLine(
                    room=room,
                    name=case.teller.place(room),
                    trip=trip,
                    approval=look,
                    look=f"{title[:1].lower()}{title[1:]}",
                    last_day=moment.date() if moment is not None else None,
                )


def _trip(case: Case, trip: str) -> TripWhen:
    outlook, site, teller = case.outlook, case.site, case.teller
    tasks = site.trips[trip]
    windows = [case.judge.windows[surface] for surface in tasks.surfaces]
    booked = outlook.known.arrivals.get(trip)
    news = outlook.seen.trips.get(trip)
    costs_from = min((window.costs_from for window in windows), default=NEVER)
    return TripWhen(
        trip=trip,
        name=tasks.name,
        planned=tasks.planned,
        booked=teller.moment(booked) if booked is not None else None,
        agreed=news is not None and news.agreed,
        booking_fits=booked is not None
        and all(window.opens <= booked <= window.last_start for window in windows),
        span=_span(case, trip, tasks.surfaces, trip),
        costs_from=teller.moment(costs_from),
    )


def _span(case: Case, name: str, surfaces: Sequence[str], trip: str) -> SpanLine:
    """Return first and last day of the arrivals that the windows of some surfaces share."""
    teller = case.teller
    windows = [case.judge.windows[surface] for surface in surfaces]
    opening = max(windows, key=lambda window: window.opens)
    closing = min(windows, key=lambda window: window.last_start)
    arrivals = Arrivals(case.outlook, trip)
    first = arrivals.first(opening.opens, closing.last_start)
    last = None
    if first is not None and EARLIER < closing.last_start < NEVER:
        last = arrivals.last(opening.opens, closing.last_start)
    told = case.site.trips[trip].name if name in case.site.trips else teller.place(name)
    return SpanLine(
        id=name,
        name=told,
        surfaces=tuple(surfaces),
        first_day=_day(case, first),
        last_day=_day(case, last),
        opens_by=window_line(case, opening).opens_by,
        closes_by=window_line(case, closing).closes_by,
        fits=first is not None,
    )


def _day(case: Case, instant: int | None) -> date | None:
    moment = case.teller.moment(instant) if instant is not None else None
    return moment.date() if moment is not None else None
