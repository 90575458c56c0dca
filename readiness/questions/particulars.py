"""What stands in the papers of a job? Surfaces, looks, things in the way and work, as reported.

A page on paper needs facts that no verdict tells: which depth was agreed, who passed what on which
day, what is hidden already.

Invariant: nothing here is forecast or judged; answers, notes and remarks of people are left out, so
that health and door codes stay at home.
"""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING

from readiness.facts.vocabulary import Gate, Order
from readiness.gates.asked import asked_trip
from readiness.job.instants import moment_of
from readiness.job.places import surfaces_of
from readiness.job.quantity import QuantityError
from readiness.job.temperatures import Temperature
from readiness.schedule.outlook import late_end
from readiness.site.parts import surface_square_feet
from readiness.telling.depth_lines import depth_lines
from readiness.telling.look_papers import LookPaper, look_papers
from readiness.telling.occasions import deadline_of
from readiness.telling.teller import Who

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.job.quantities import Length
    from readiness.job.quantity import Units
    from readiness.site.site import Thing
    from readiness.telling.case import Case, On


@dataclass(frozen=True, slots=True)
class SurfacePaper:
    """One surface as it was agreed."""

    surface: str
    name: str
    kind: str
    trip: str
    foam: str
    """Class of foam; empty if it is not written."""
    depth: str
    """Depth as agreed with what it means, if that is written; empty if no depth is."""
    depth_is_defined: bool
    """It is written what the depth means: average, least, or average with a tolerance."""
    measured: str
    """What depth readings show; empty without one."""
    cavity: str
    area_square_feet: float
    reserved: bool
    """Left unsprayed on purpose."""
    follow_up: str
    """What is to happen there later; empty if nothing is written."""
    sprayed: bool


@dataclass(frozen=True, slots=True)
class ThingPaper:
    """A thing that may stand in the gun's way."""

    title: str
    place: str
    fixed: bool
    state: str
    """`stands`, `comes` or `pulled`."""
    surfaces: tuple[str, ...]
    bays: tuple[str, ...]
    """Where only the bay behind it is left unsprayed, on purpose."""
    follow_up: str
    """What is to happen in such a bay later."""
    who: Who
    """Who pulls it."""
    instead: str
    caution: str


@dataclass(frozen=True, slots=True)
class WorkPaper:
    """One stay of a trade that is not finished."""

    work: str
    title: str
    trade: str
    places: tuple[str, ...]
    """Names of the places where it is still open."""
    place_ids: tuple[str, ...]
    under_way: bool
    before: datetime | None
    """The booked arrival of the rig that it belongs before."""
    after_release: bool
    hot: bool
    caution: str
    booked: str
    """Its booked or agreed days, as written; empty if nobody has dated it."""


@dataclass(frozen=True, slots=True)
class TripPaper:
    """The trip that is asked about."""

    trip: str
    name: str
    arrival: datetime | None
    agreed: bool
    arrived: bool
    last_foam: datetime | None
    not_before: datetime | None
    """The earliest moment at which release may be asked for."""
    released: datetime | None
    released_by: str
    hours: float
    """Working hours from arrival to leaving."""


@dataclass(frozen=True, slots=True)
class LimitPaper:
    """What is read on the day, and its limit."""

    title: str
    reading: str
    limit: str


@dataclass(frozen=True, slots=True)
class MovedPaper:
    """A booking that was moved."""

    title: str
    trade: str
    cause: str
    moved_by: str


@dataclass(frozen=True, slots=True)
class ParticularsAnswer:
    """The papers of a job."""

    job: str
    units: str
    address: str
    building_code: str
    """As written in the job file."""
    contractor: Who
    spray: Who
    dispatcher: Who
    trades: tuple[Who, ...]
    board: str
    """When board was agreed to start, as written; empty if nothing is."""
    trip: TripPaper
    surfaces: tuple[SurfacePaper, ...]
    looks: tuple[LookPaper, ...]
    things: tuple[ThingPaper, ...]
    works: tuple[WorkPaper, ...]
    limits: tuple[LimitPaper, ...]
    moved: tuple[MovedPaper, ...]


def particulars(case: Case, on: On = None, trip: str = "") -> ParticularsAnswer:
    """Return the papers of a job for the asked trip.

    Args:
        case: The job at one moment.
        on: A day or moment at the site; it names the trip if `trip` does not.
        trip: Id of the trip.
    """
    job, teller = case.site.job, case.teller
    asked = trip or asked_trip(case.outlook, on)
    board = case.outlook.seen.board
    trades = {**dict.fromkeys(job.trades), **{s.trade: None for s in case.site.stays.values()}}
    return ParticularsAnswer(
        job=job.name,
        units=job.units,
        address=job.site.address,
        building_code=job.site.code,
        contractor=teller.who("contractor"),
        spray=teller.who("crew lead"),
        dispatcher=teller.who("dispatcher"),
        trades=tuple(teller.who(name) for name in trades),
        board=_span(board.booking.first, board.booking.last) if board is not None else "",
        trip=_trip(case, asked),
        surfaces=tuple(_surfaces(case)),
        looks=look_papers(case),
        things=tuple(_thing(case, thing) for thing in case.site.things.values()),
        works=tuple(_works(case)),
        limits=tuple(_limits(case, asked)),
        moved=tuple(_moved(case)),
    )


def _span(first: date | None, last: date) -> str:
    told = f"{last:%a} {last.day} {last:%b %Y}"
    if first is None:
        return f"by {told}"
    return told if first == last else f"{first:%a} {first.day} {first:%b} to {told}"


def _trip(case: Case, name: str) -> TripPaper:
    outlook, teller = case.outlook, case.teller
    tasks, news = case.site.trips[name], outlook.seen.trips.get(name)
    arrival = outlook.known.arrivals.get(name)
    end = None
    if arrival is not None:
        end = late_end(tasks, outlook.frame, arrival, news.last_foam if news else None)
    return TripPaper(
        trip=name,
        name=tasks.name,
        arrival=_moment(case, arrival),
        agreed=news is not None and news.agreed,
        arrived=name in outlook.known.arrived,
        last_foam=_moment(case, news.last_foam if news else None),
        not_before=teller.moment(end) if end is not None else None,
        released=_moment(case, news.released if news else None),
        released_by=news.released_by if news else "",
        hours=round(tasks.minutes / 60, 2),
    )


def _moment(case: Case, instant: int | None) -> datetime | None:
    return case.teller.moment(instant) if instant is not None else None


def _surfaces(case: Case) -> Iterable[SurfacePaper]:
    site, finished = case.site, case.outlook.known.state.finished
    depths = {line.surface: line for line in depth_lines(case, site.job.surfaces)}
    later = {
        surface: words
        for row in site.job.trips.values()
        for place, words in row.follow_ups.items()
        for surface in surfaces_of((place,), site.job)
    }
    for surface, row in site.job.surfaces.items():
        trip = site.trip_of.get(surface, "")
        yield SurfacePaper(
            surface=surface,
            name=case.teller.place(surface),
            kind=row.is_.value,
            trip=site.trips[trip].name if trip else "",
            foam=row.foam,
            depth=depths[surface].agreed or _length(row.depth, case),
            depth_is_defined=bool(depths[surface].agreed),
            measured=depths[surface].says if depths[surface].at is not None else "",
            cavity=_length(row.cavity, case),
            area_square_feet=round(float(surface_square_feet(surface, site.job)), 1),
            reserved=surface in site.reserved,
            follow_up=later.get(surface, ""),
            sprayed=bool(trip) and site.trips[trip].sprays.get(surface) in finished,
        )


def _length(length: Length | None, case: Case) -> str:
    return length.in_units(case.site.job.units) if length is not None else ""


def _thing(case: Case, thing: Thing) -> ThingPaper:
    return ThingPaper(
        title=thing.title,
        place=case.teller.place(thing.place),
        fixed=thing.fixed,
        state=_state(case, thing),
        surfaces=case.teller.surfaces(thing.blocks),
        bays=case.teller.surfaces(thing.bays),
        follow_up=thing.follow_up if thing.bays else "",
        who=case.teller.who(thing.kind.pull_trade),
        instead=thing.kind.instead,
        caution=thing.kind.caution,
    )


def _state(case: Case, thing: Thing) -> str:
    """Return whether a thing stands, comes later or was pulled."""
    placed = case.outlook.seen.things[thing.id]
    if placed.pulled is not None:
        return "pulled"
    if placed.dated_by_work and thing.set_by in case.site.stay_tasks:
        parts = case.site.stay_tasks[thing.set_by].parts
        done = any(part in case.outlook.known.state.finished for part in parts)
        return "stands" if done else "comes"
    if placed.since is None:
        return "stands"
    now = moment_of(case.outlook.seen.as_of, case.teller.zone)
    if isinstance(placed.since, datetime):
        return "comes" if placed.since.replace(tzinfo=now.tzinfo) > now else "stands"
    return "comes" if placed.since > now.date() else "stands"


def _works(case: Case) -> Iterable[WorkPaper]:
    site, state = case.site, case.outlook.known.state
    for name, stay in site.stays.items():
        parts = site.stay_tasks[name].parts
        still = tuple(part for part in parts if part not in state.finished)
        if not still:
            continue
        deadline = deadline_of(case, still)
        booked = case.outlook.seen.booked.get(name)
        places = tuple(dict.fromkeys(site.tasks[part].place for part in still))
        yield WorkPaper(
            work=name,
            title=stay.title,
            trade=stay.trade,
            places=case.teller.surfaces(places),
            place_ids=places,
            under_way=any(part in state.begun or part in state.finished for part in parts),
            before=_moment(case, deadline[0]) if deadline is not None else None,
            after_release=_is_after(case, still),
            hot=stay.hot,
            caution=stay.demands.caution,
            booked=_span(booked.booking.first, booked.booking.last) if booked is not None else "",
        )


def _is_after(case: Case, tasks: Iterable[int]) -> bool:
    """Say whether some of the work belongs behind a release that has not come."""
    site, finished = case.site, case.outlook.known.state.finished
    return any(
        order in (Order.AFTER, Order.CLOSING_UP)
        and surface in site.trip_of
        and site.trips[site.trip_of[surface]].release not in finished
        for task in tasks
        for surface, order in site.orders.get(task, {}).items()
    )


def _limits(case: Case, trip: str) -> Iterable[LimitPaper]:
    """Yield the limits of what is read before the foam of the asked trip, each once."""
    found: dict[tuple[str, str, str], None] = {}
    for requirement in case.site.requirements:
        if requirement.reading is None or requirement.demands.due is Gate.BOARD:
            continue
        if not any(case.site.trip_of.get(surface) == trip for surface in requirement.surfaces):
            continue
        units = case.site.job.units
        bounds = (
            f"at least {_figure(requirement.at_least, units)}" if requirement.at_least else "",
            f"at most {_figure(requirement.at_most, units)}" if requirement.at_most else "",
        )
        limit = ", ".join(bound for bound in bounds if bound)
        found[(requirement.title, requirement.reading.value, limit)] = None
    for title, reading, limit in found:
        yield LimitPaper(title, reading, limit)


def _figure(text: str, units: Units) -> str:
    """Return a limit in the units of the job, with what was written where that is another unit."""
    with suppress(QuantityError):
        told = Temperature.parse(text).in_units(units)
        return told if told == text else f"{told} ({text})"
    return text


def _moved(case: Case) -> Iterable[MovedPaper]:
    site = case.site
    for slip in case.outlook.seen.slips:
        stay = site.stays.get(slip.what)
        trip = site.trips.get(slip.what)
        if stay is not None:
            yield MovedPaper(stay.title, stay.trade, slip.cause, slip.moved_by)
        elif trip is not None:
            spray = site.tasks[trip.set_up].trade or "spray"
            yield MovedPaper(f"{trip.name} trip", spray, slip.cause, slip.moved_by)
