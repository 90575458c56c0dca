"""Which foam goes where and how much of it: class, thickness, what follows, drum sets and hours.

Invariant: nothing here is a code verdict or an approval; a figure keeps its mark, and what the
product sheet alone can tell is not computed without it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from readiness.foam.editions import KNOWN
from readiness.foam.said import State
from readiness.gates.asked import asked_gate, asked_instant, asked_trip
from readiness.telling.case import Case, Instants, On
from readiness.telling.foam_day import DrumLine, FoamDay, NeedLine, SprayDay
from readiness.telling.foam_lines import (
    FoamTeller,
    FollowLine,
    MarkLine,
    RuleLine,
    SuitLine,
)

if TYPE_CHECKING:
    from collections.abc import Iterable

NO_VERDICT = (
    "Not a code verdict: the office, the product sheet and its report decide, and licensed trades "
    "on flues, lights and wiring."
)
ISOCYANATES = (
    "Spray foam contains isocyanates: nobody without full protection is inside from arrival until "
    "a named person releases the place."
)


@dataclass(frozen=True, slots=True)
class ProductLine:
    """One foam of the job, as its product sheet has it."""

    product: str
    """Id of the product."""
    name: str
    foam: str
    """Its class."""
    sheet: str
    """The product sheet its figures were read from."""
    report: str
    """Its evaluation report; empty if none is written."""
    surfaces: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FoamSurface:
    """One surface with its foam."""

    surface: str
    name: str
    kind: str
    """What is sprayed."""
    exposure: str
    """What the foam has to live with."""
    foam: str
    """Class of the foam; empty if it is not written."""
    product: str
    """What its foam is called; empty if the class is not written."""
    depth_inches: float | None
    """As agreed; null if it is not written."""
    area_square_feet: float
    """As written; 100 without one."""
    suits: SuitLine
    """Whether the class suits it."""
    rules: tuple[RuleLine, ...]
    """What every rule says of it."""


@dataclass(frozen=True, slots=True)
class FoamAnswer:
    """The answer to "which foam where, and how much?"."""

    job: str
    units: str
    """`US` or `metric`: how texts tell quantities."""
    instants: Instants
    trip: str
    trip_name: str
    is_yes: bool
    """Every class and depth is written, none is refused, and nothing is short of a table."""
    sentence: str
    """What the first lines say."""
    decides: str
    """Who decides, in a sentence."""
    code: str
    """Code and edition as the job writes them."""
    climate: str
    """Climate zone as the job writes it."""
    edition: str
    """The edition whose rows were used; empty if it is not in our tables."""
    edition_says: str
    """What is to be known of the edition."""
    products: tuple[ProductLine, ...]
    """The foams of the job."""
    surfaces: tuple[FoamSurface, ...]
    """Surfaces of the trip."""
    follows: tuple[FollowLine, ...]
    """Work that follows from the foam, first what no work of the job answers."""
    asked: tuple[RuleLine, ...]
    """What is asked once for the whole job: pests, flues, lights, wiring."""
    beside: tuple[RuleLine, ...]
    """Rules that are told and compared with nothing; the text has them with `--why`."""
    needs: tuple[NeedLine, ...]
    """Foam of every surface."""
    drums: tuple[DrumLine, ...]
    """Drum sets by class."""
    day: SprayDay
    """The hours of the trip."""
    unverified: tuple[MarkLine, ...]
    """Every row used here that nobody has seen where it is said to stand."""
    cautions: tuple[str, ...]
    """Where somebody can be hurt."""


def foam(case: Case, on: On = None, trip: str = "") -> FoamAnswer:
    """Return which foam goes where, what follows from it, and how much of it there is.

    Args:
        case: The job at one moment.
        on: A day or moment at the site; None means the booked arrival.
        trip: Id of the trip; empty means the one the day names.
    """
    asking = _Asking(case, on, trip)
    surfaces = tuple(asking.surfaces())
    asked = asking.teller.of_the_job(asking.ids)
    beside = asking.teller.beside(asking.ids)
    open_ = [surface for surface in surfaces if not surface.foam or surface.depth_inches is None]
    refused = [surface for surface in surfaces if surface.suits.word == "does not suit"]
    short = [surface for surface in surfaces if _is_short(surface)]
    rules = [*(line for surface in surfaces for line in surface.rules), *asked]
    return FoamAnswer(
        job=case.site.job.name,
        units=case.site.job.units,
        instants=asking.instants(),
        trip=asking.trip,
        trip_name=case.site.trips[asking.trip].name,
        is_yes=not (open_ or refused or short),
        sentence=_sentence(len(surfaces), open_, refused, short),
        decides=NO_VERDICT,
        code=case.site.job.site.code,
        climate=case.site.job.site.climate,
        edition=asking.teller.ruled.edition,
        edition_says=asking.edition_says(),
        products=tuple(asking.products()),
        surfaces=surfaces,
        follows=asking.teller.follows(asking.ids),
        asked=asked,
        beside=beside,
        needs=asking.day.needs(),
        drums=asking.day.drums(),
        day=asking.day.day(),
        unverified=_unverified(rules, asking.day),
        cautions=asking.cautions([*rules, *beside]),
    )


def _is_short(surface: FoamSurface) -> bool:
    return any(line.state == State.SHORT for line in surface.rules)


def _sentence(
    count: int,
    unwritten: list[FoamSurface],
    refused: list[FoamSurface],
    short: list[FoamSurface],
) -> str:
    """Return what is to be settled, the worst first."""
    parts = []
    if refused:
        parts.append(f"the class does not suit {_counted(refused)}")
    if unwritten:
        parts.append(f"class or depth is not written for {_counted(unwritten)}")
    if short:
        parts.append(f"{_counted(short)} stay{'s' if len(short) == 1 else ''} short of a table")
    if parts:
        return "; ".join(parts)
    return f"class and depth are written for {count} surfaces, none is refused by its class"


def _counted(surfaces: list[FoamSurface]) -> str:
    if len(surfaces) == 1:
        return surfaces[0].name
    return f"{len(surfaces)} surfaces"


def _unverified(rules: Iterable[RuleLine], day: FoamDay) -> tuple[MarkLine, ...]:
    """Return every mark from memory that anything in the answer rests on."""
    marks = [mark for line in rules for mark in line.rests_on]
    marks += [mark for line in day.drums() for mark in line.rests_on]
    marks += day.day().rests_on
    return tuple(dict.fromkeys(mark for mark in marks if mark.status == "from memory"))


class _Asking:
    """One question while it is answered."""

    def __init__(self, case: Case, on: On, trip: str) -> None:
        outlook = case.outlook
        self.case = case
        self.trip = trip or asked_trip(outlook, on)
        self.arrival = asked_instant(outlook, on, self.trip)
        self.gate = asked_gate(outlook, self.arrival, self.trip)
        self.teller = FoamTeller(case)
        self.ids = case.site.trips[self.trip].surfaces
        self.day = FoamDay(self.teller, self.trip, self.arrival)

    def instants(self) -> Instants:
        """Return both instants of the question."""
        as_of = self.case.teller.moment(self.case.outlook.seen.as_of)
        on = self.case.teller.moment(self.arrival)
        assert as_of is not None  # noqa: S101  as_of is a real instant
        assert on is not None  # noqa: S101  an asked arrival too
        return Instants(as_of, on, self.case.site.zone, self.gate.value)

    def edition_says(self) -> str:
        """Return what is to be known of the edition."""
        site = self.case.site.job.site
        known = ", ".join(KNOWN)
        if not site.code:
            return f"no code is written; our tables have rows of {known}"
        if not self.teller.ruled.edition:
            return f"{site.code} is not in our tables, which have rows of {known}"
        if self.teller.ruled.zone is None:
            return f"{site.climate or 'nothing'} is no climate zone, so no row of a zone speaks"
        return ""

    def products(self) -> Iterable[ProductLine]:
        """Yield the foams of the job with the surfaces of the trip that get them."""
        for product, row in self.case.site.job.products.items():
            mine = tuple(
                surface
                for surface in self.ids
                if (its := self.teller.spots[surface].foam) is not None and its.product is row
            )
            yield ProductLine(
                product, row.name or product, row.class_.value, row.sheet, row.report, mine
            )

    def surfaces(self) -> Iterable[FoamSurface]:
        """Yield the surfaces of the trip."""
        for surface in self.ids:
            spot = self.teller.spots[surface]
            yield FoamSurface(
                surface=surface,
                name=self.case.teller.place(surface),
                kind=spot.kind.value,
                exposure=spot.exposure.value,
                foam=spot.foam.class_.value if spot.foam is not None else "",
                product=spot.foam.name if spot.foam is not None else "",
                depth_inches=round(spot.depth_inches, 2) if spot.depth_inches else None,
                area_square_feet=round(spot.square_feet, 1),
                suits=self.teller.suit(surface),
                rules=self.teller.rules(surface),
            )

    def cautions(self, rules: Iterable[RuleLine]) -> tuple[str, ...]:
        """Return the usual cautions, each once, isocyanates first."""
        found = dict.fromkeys(line.caution for line in rules if line.caution)
        return (ISOCYANATES, *found, *self.day.lift_cautions())
