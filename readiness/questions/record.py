"""What stays on paper once the foam has passed: what was promised, what was measured, who said so.

Invariant: only facts of the job stand here, each with who saw it; remarks, prices, health and door
codes never do, and what is missing is told as missing.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING

from readiness.facts.loader import load_after_spray
from readiness.facts.vocabulary import Gate, SurfaceKind
from readiness.gates.life import Life
from readiness.gates.verdict import DONE
from readiness.job.places import resolve
from readiness.site.foam_owes import foam_class
from readiness.site.parts import surface_square_feet
from readiness.telling.board_lines import milestones
from readiness.telling.case import Case, Instants
from readiness.telling.depth_lines import DepthLine, depth_lines

if TYPE_CHECKING:
    from fractions import Fraction

    from readiness.diary.kept import Picture
    from readiness.site.site import ApprovalTasks

ROOFS = frozenset({SurfaceKind.ROOF_DECK, SurfaceKind.METAL_ROOF})
CUT = (
    "Foam that is cut or drilled makes dust that nobody breathes; whoever sprays or foams there "
    "again keeps people out by the product sheet of that foam."
)
BARE = (
    "Bare foam burns: no flame, spark or glowing tool near it without its fire barrier or a named "
    "fire watch."
)
NO_APPROVAL = (
    "This page tells what was seen and by whom. It is no approval and no warranty; the office, the "
    "product sheet and licensed practice decide."
)


@dataclass(frozen=True, slots=True)
class RecordSurface:
    """One surface: promised and measured."""

    surface: str
    name: str
    kind: str
    """What is sprayed, in words."""
    area_square_feet: float
    """Net, as far as it is written."""
    foam: str
    """Class of the foam, and its name if one is written; empty if nobody has."""
    sprayed_on: date | None
    """The day; null if nobody said."""
    depth: DepthLine
    """What was promised and what was measured."""
    readings_inches: tuple[float, ...]
    """Readings in the field that count, as read."""
    perimeter_inches: tuple[float, ...]
    """The same at the perimeter."""
    word: str
    """How it stands."""


@dataclass(frozen=True, slots=True)
class RecordTrip:
    """One coming of a rig."""

    trip: str
    name: str
    firm: str
    """The spray company."""
    sheet: str
    """The product data sheet that was read; empty if none is written."""
    lots: tuple[str, ...]
    """Lot numbers, if somebody wrote them down."""
    arrived: datetime | None
    """When the rig came."""
    last_foam: datetime | None
    """The last foam of any kind, touch-up too."""
    released: datetime | None
    """When workers were let in again; null if they were not."""
    released_by: str
    """Who let them in."""
    residents: datetime | None
    """When a named person let residents back in."""


@dataclass(frozen=True, slots=True)
class RecordApproval:
    """What an office said."""

    approval: str
    """Id of the approval."""
    title: str
    result: str
    """What the office said."""
    by: str
    """Who said so."""
    on: datetime | None
    """When; null if nobody wrote it down."""
    surfaces: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class RecordPicture:
    """One picture, by its name in the job's own folder or wherever it is kept."""

    reference: str
    """Its name."""
    places: tuple[str, ...]
    on: date
    """The day it was noted."""


@dataclass(frozen=True, slots=True)
class RecordAnswer:
    """The answer to "what stays on paper?"."""

    job: str
    job_key: str
    units: str
    """`US` or `metric`: how texts tell quantities."""
    instants: Instants
    address: str
    """Of the site."""
    climate: str
    """Climate zone."""
    code: str
    """Code and edition that the office has adopted."""
    is_yes: bool
    """Every sprayed surface has passed, and nothing that this page should hold is missing."""
    sentence: str
    """How it stands, in one sentence."""
    surfaces: tuple[RecordSurface, ...]
    """Surfaces with foam on them."""
    trips: tuple[RecordTrip, ...]
    """Trips that have come."""
    approvals: tuple[RecordApproval, ...]
    """What the offices said of those surfaces."""
    pictures: tuple[RecordPicture, ...]
    """Those that the diary names."""
    missing: tuple[str, ...]
    """What a reader would look for here in vain."""
    owner: tuple[str, ...]
    """What the owner has to know."""
    later_trades: tuple[str, ...]
    """What whoever cuts, drills or roofs later has to know."""
    cautions: tuple[str, ...]
    """The usual ones, for whoever works there later."""


def record(case: Case, pictures: Iterable[Picture] = ()) -> RecordAnswer:
    """Return what stays on paper of the foam of a job.

    Args:
        case: The job at one moment.
        pictures: The pictures that the diary names.
    """
    site = case.site
    surfaces = tuple(_surfaces(case))
    told = tuple(_pictures(case, pictures))
    trips = tuple(_trips(case))
    missing = tuple(_missing(case, surfaces, trips, told))
    open_ones = [line for line in surfaces if Life(line.word) not in DONE]
    as_of = case.teller.moment(case.outlook.seen.as_of)
    assert as_of is not None  # noqa: S101  as_of is a real instant
    return RecordAnswer(
        job=site.job.name,
        job_key=site.job.key,
        units=site.job.units,
        instants=Instants(as_of, as_of, site.zone, Gate.BOARD.value),
        address=site.job.site.address,
        climate=site.job.site.climate,
        code=site.job.site.code,
        is_yes=bool(surfaces) and not open_ones and not missing,
        sentence=_sentence(surfaces, open_ones, missing),
        surfaces=surfaces,
        trips=trips,
        approvals=tuple(_approvals(case)),
        pictures=told,
        missing=missing,
        owner=tuple(_owner(case, surfaces)),
        later_trades=tuple(_later_trades(case, surfaces)),
        cautions=(CUT, BARE, NO_APPROVAL),
    )


def _sentence(
    surfaces: tuple[RecordSurface, ...], open_ones: list[RecordSurface], missing: tuple[str, ...]
) -> str:
    if not surfaces:
        return "Nothing is sprayed yet, so there is nothing to keep."
    if open_ones:
        return f"{len(open_ones)} of {len(surfaces)} sprayed surfaces have not passed yet."
    if missing:
        things = "1 thing is" if len(missing) == 1 else f"{len(missing)} things are"
        return f"All {len(surfaces)} sprayed surfaces have passed; {things} missing."
    return f"All {len(surfaces)} sprayed surfaces have passed."


def _surfaces(case: Case) -> Iterable[RecordSurface]:
    """Yield the surfaces on which foam stands."""
    site, finished = case.site, case.outlook.known.state.finished
    for trip in site.trips.values():
        sprayed = [s for s in trip.surfaces if trip.sprays[s] in finished]
        for surface, depth in zip(sprayed, depth_lines(case, sprayed), strict=True):
            row, life = site.job.surfaces[surface], case.judge.lives[surface]
            on = case.teller.moment(finished[trip.sprays[surface]].finish)
            known = case.outlook.known.depths.get(surface)
            yield RecordSurface(
                surface=surface,
                name=case.teller.place(surface),
                kind=row.is_.value,
                area_square_feet=round(float(surface_square_feet(surface, site.job)), 1),
                foam=_foam(case, surface),
                sprayed_on=on.date() if on is not None else None,
                depth=depth,
                readings_inches=_as_read(known.field if known is not None else ()),
                perimeter_inches=_as_read(known.perimeter if known is not None else ()),
                word=(life or Life.BEING_SPRAYED).value,
            )


def _as_read(readings: Iterable[Fraction]) -> tuple[float, ...]:
    return tuple(round(float(reading), 3) for reading in readings)


def _foam(case: Case, surface: str) -> str:
    """Return class and name of a surface's foam, as the job file has them."""
    job = case.site.job
    row = job.surfaces[surface]
    product = job.products.get(row.product)
    if product is None and row.foam:
        fits = [one for one in job.products.values() if one.class_.value == row.foam]
        product = fits[0] if len(fits) == 1 else None
    class_ = foam_class(job, surface)
    told = class_.value if class_ is not None else ""
    return f"{told}, {product.name}" if product is not None and product.name else told


def _trips(case: Case) -> Iterable[RecordTrip]:
    moment = case.teller.moment
    for trip in case.site.trips.values():
        news, row = case.outlook.seen.trips.get(trip.id), case.site.job.trips.get(trip.id)
        if news is None or row is None or news.arrived is None:
            continue
        yield RecordTrip(
            trip=trip.id,
            name=trip.name,
            firm=case.teller.who("spray").name,
            sheet=row.sheet,
            lots=row.lots,
            arrived=moment(news.arrived),
            last_foam=moment(news.last_foam) if news.last_foam is not None else None,
            released=moment(news.released) if news.released is not None else None,
            released_by=news.released_by,
            residents=moment(news.residents) if news.residents is not None else None,
        )


def _approvals(case: Case) -> Iterable[RecordApproval]:
    """Yield what the offices said of the sprayed surfaces, approval by approval."""
    for approval in case.site.approvals:
        by_word: dict[tuple[str, str, int | None], list[str]] = {}
        for surface, look in approval.looks.items():
            told = _told(case, approval, surface, look)
            if told is not None:
                by_word.setdefault(told, []).append(surface)
        for (result, by, at), surfaces in by_word.items():
            yield RecordApproval(
                approval=approval.id,
                title=case.site.approval_kinds[approval.id].title,
                result=result,
                by=by,
                on=case.teller.moment(at) if at is not None else None,
                surfaces=case.teller.surfaces(surfaces),
            )


def _told(
    case: Case, approval: ApprovalTasks, surface: str, look: int
) -> tuple[str, str, int | None] | None:
    spoken = case.outlook.known.looks.get(look)
    sprayed = case.site.trips[approval.trip].sprays[surface] in case.outlook.known.state.finished
    if spoken is None or spoken.result is None or not sprayed:
        return None
    finished = case.outlook.known.state.finished.get(look)
    return spoken.result.value, spoken.by, finished.finish if finished is not None else None


def _pictures(case: Case, pictures: Iterable[Picture]) -> Iterable[RecordPicture]:
    job = case.site.job
    for picture in pictures:
        named = ("all",) if "all" in picture.places else resolve(picture.places, job)
        places = ("whole house",) if named == ("all",) else case.teller.surfaces(named)
        on = picture.on.date() if isinstance(picture.on, datetime) else picture.on
        yield RecordPicture(picture.reference, places, on)


def _missing(
    case: Case,
    surfaces: tuple[RecordSurface, ...],
    trips: tuple[RecordTrip, ...],
    pictures: tuple[RecordPicture, ...],
) -> Iterable[str]:
    """Yield what a reader would look for in vain."""
    unread = [line.name for line in surfaces if not line.depth.outcome]
    if unread:
        yield f"depth readings against what was agreed: {', '.join(unread)}"
    if any(not line.foam for line in surfaces):
        names = ", ".join(line.name for line in surfaces if not line.foam)
        yield f"the class of the foam: {names}"
    for trip in trips:
        if not trip.sheet:
            yield f"the product data sheet of the {trip.name} trip"
        if trip.released is None:
            yield f"the release of the {trip.name} trip by a named person"
    if surfaces and not pictures:
        yield "pictures of the foam and of what it hides"
    reserved = case.teller.surfaces(sorted(case.site.reserved))
    if reserved:
        yield f"foam on what was left out on purpose: {', '.join(reserved)}"


def _owner(case: Case, surfaces: tuple[RecordSurface, ...]) -> Iterable[str]:
    """Yield what the owner has to know."""
    if not surfaces:
        return
    who = case.teller.who("spray")
    yield f"The foam is by {who.name}{f', {who.phone}' if who.phone else ''}: call there first."
    for trip in case.site.trips.values():
        for line in milestones(case, trip.id):
            if line.code == "residents-may-return":
                yield f"{line.title}, {trip.name} trip: {line.says}."
    bare = [line.name for line in surfaces if line.word == Life.LEFT_EXPOSED.value]
    if bare:
        names = ", ".join(bare)
        yield f"Foam stays uncovered at: {names}. Nothing hot near it, nothing stored on it."
    for item in load_after_spray().values():
        if item.owner:
            yield f"{item.title}: {item.passes_when}."


def _later_trades(case: Case, surfaces: tuple[RecordSurface, ...]) -> Iterable[str]:
    """Yield what whoever cuts, drills or roofs later has to know."""
    kinds = {line.surface: case.site.job.surfaces[line.surface].is_ for line in surfaces}
    roofs = [line.name for line in surfaces if kinds[line.surface] in ROOFS]
    if roofs:
        names = ", ".join(roofs)
        yield (
            f"Roofers and whoever sets solar or vents: {names} is foamed from below and sealed; no "
            "hole, no vent and no fan in it without asking, and a wet deck does not dry inwards."
        )
    walls = [line.name for line in surfaces if kinds[line.surface] not in ROOFS]
    if walls:
        names = ", ".join(walls)
        yield (
            f"Electricians, plumbers, cable crews: foam fills {names}. What is cut there is closed "
            "the same day; pipes stay on the warm side of it."
        )
