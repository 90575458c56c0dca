"""How much foam a surface takes, and how many drum sets a trip loads.

Invariant: every step from area and depth to drum sets is told apart, and each figure that was not
the job's own carries its mark.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil
from typing import TYPE_CHECKING

from readiness.facts.foam_rows import Figure
from readiness.facts.vocabulary import FoamClass
from readiness.foam.product import company
from readiness.foam.said import mark_of
from readiness.job.quantities import Length, Share

if TYPE_CHECKING:
    from readiness.facts.foam_rows import FoamFigureRow, FoamTables
    from readiness.foam.foam_spot import FoamSpot
    from readiness.foam.said import Mark
    from readiness.job.foam_rows import RatesRow


@dataclass(frozen=True, slots=True)
class Planned:
    """A figure that is planned with, and what it rests on."""

    value: float
    mark: Mark


@dataclass(frozen=True, slots=True)
class Need:
    """The foam of one surface, step by step, in board feet."""

    surface: str
    class_: FoamClass
    plain: float
    """Area times depth, the figure that a contract counts."""
    on_the_wall: float
    """Without the wood in the area, and with what is trimmed off again."""
    sprayed: float
    """With what ends elsewhere."""
    is_trimmed: bool


@dataclass(frozen=True, slots=True)
class Allowances:
    """What is added to and taken off the plain sum."""

    waste: Planned
    reserve: Planned
    overfill: Planned
    trim_short: Planned
    framing: Planned


def allowances_of(tables: FoamTables, rates: RatesRow) -> Allowances:
    """Return the company's own figures where it has written some, else those of the table."""
    waste, reserve = rates.waste, rates.reserve
    overfill = rates.overfill
    return Allowances(
        waste=_share(tables, Figure.WASTE, waste),
        reserve=_share(tables, Figure.RESERVE, reserve),
        overfill=Planned(float(overfill.inches), company("overfill"))
        if overfill is not None
        else _length(tables, Figure.OVERFILL),
        trim_short=_length(tables, Figure.TRIM_SHORT),
        framing=_share(tables, Figure.FRAMING, None),
    )


def row_of(tables: FoamTables, figure: Figure) -> FoamFigureRow:
    """Return the one row of a figure that no class and no surface parts."""
    return next(row for row in tables.figures.values() if row.of is figure)


def _share(tables: FoamTables, figure: Figure, own: Share | None) -> Planned:
    if own is not None:
        return Planned(float(own.fraction), company(figure.value))
    row = row_of(tables, figure)
    return Planned(float(Share.parse(row.used).fraction), mark_of(row))


def _length(tables: FoamTables, figure: Figure) -> Planned:
    row = row_of(tables, figure)
    return Planned(float(Length.parse(row.used).inches), mark_of(row))


def framing_of(spot: FoamSpot, own: Share | None, usual: Planned) -> float:
    """Return the share of a surface that is wood and gets no foam.

    Without a written share it is the usual one where foam lies in a cavity, and none elsewhere.
    """
    if own is not None:
        return float(own.fraction)
    return usual.value if spot.framed and spot.cavity_inches is not None else 0.0


def need_of(
    spot: FoamSpot, inches: float, allow: Allowances, own_framing: Share | None = None
) -> Need:
    """Return the foam that a surface takes at a depth.

    Args:
        spot: A surface whose class is known.
        inches: The depth that is sprayed, as agreed or as planned for the trip.
        allow: What is added and taken off.
        own_framing: The share of wood as the job writes it.
    """
    assert spot.foam is not None  # noqa: S101  asked only where the class is known
    is_trimmed = fills_its_cavity(spot, inches, allow)
    deep = inches
    if is_trimmed and spot.cavity_inches is not None:
        deep = spot.cavity_inches + allow.overfill.value
    wood = framing_of(spot, own_framing, allow.framing)
    on_the_wall = spot.square_feet * (1 - wood) * deep
    return Need(
        surface=spot.surface,
        class_=spot.foam.class_,
        plain=spot.square_feet * inches,
        on_the_wall=on_the_wall,
        sprayed=on_the_wall * (1 + allow.waste.value),
        is_trimmed=is_trimmed,
    )


def fills_its_cavity(spot: FoamSpot, inches: float, allow: Allowances) -> bool:
    """Say whether open-cell fills its cavity, or ends so little below its face, that it is cut."""
    return (
        spot.foam is not None
        and spot.foam.class_ is FoamClass.OPEN_CELL
        and spot.cavity_inches is not None
        and inches >= spot.cavity_inches - allow.trim_short.value
    )


@dataclass(frozen=True, slots=True)
class Drums:
    """The drum sets for some foam of one class."""

    sets: float
    """Needed, to a tenth, before the reserve."""
    to_load: int
    """Whole ones, with the reserve."""


def drums_for(board_feet: float, per_set: float, reserve: float) -> Drums:
    """Return the drum sets for some foam; what is loaded is never less than what is needed.

    Args:
        board_feet: What is sprayed, waste included.
        per_set: Board feet out of one drum set.
        reserve: Share that is loaded beyond the need.
    """
    whole = round(board_feet * (1 + reserve) / per_set, 6)
    return Drums(round(board_feet / per_set, 1), ceil(whole))


def board_feet_of_mass(pounds: float, lb_ft3: float) -> float:
    """Return the board feet that a mass of foam is at a density: twelve to the cubic foot."""
    return 12 * pounds / lb_ft3
