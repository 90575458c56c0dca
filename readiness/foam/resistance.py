"""The resistance that the energy chapter's table wants of a surface, and what the surface reaches.

Invariant: a sum such as `20+5ci` is reached only part by part; a row of another edition or zone is
never taken.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from readiness.facts.vocabulary import Allowance, SurfaceKind
from readiness.foam.editions import CANADA, needs_letter, speaks_for
from readiness.foam.foam_spot import written
from readiness.foam.said import Mark, Said, State, mark_of
from readiness.job.foam_quantities import Resistance, r_told

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.facts.foam_rows import ResistanceRow
    from readiness.foam.foam_spot import FoamSpot, Ruled

TOPIC = "resistance"

COLUMNS = {
    SurfaceKind.WALL_ABOVE_GRADE: "wall",
    SurfaceKind.GABLE_WALL: "wall",
    SurfaceKind.RIM_JOIST: "wall",
    SurfaceKind.WALL_BELOW_GRADE: "basement",
    SurfaceKind.CRAWL_WALL: "crawl",
    SurfaceKind.ROOF_DECK: "ceiling",
    SurfaceKind.ATTIC_FLOOR: "attic",
    SurfaceKind.FLOOR_OVER_COLD_SPACE: "floor",
}
"""The column of the table by kind of surface; other kinds stand in none."""

_PART = re.compile(r"([0-9.]+)(ci)?(?:\+([0-9.]+)ci)?")


@dataclass(frozen=True, slots=True)
class Reached:
    """What a surface has, split as the table splits it."""

    cavity_r: float
    continuous_r: float

    @property
    def total_r(self) -> float:
        """Return both together."""
        return self.cavity_r + self.continuous_r


def reached_by(spot: FoamSpot) -> Reached | None:
    """Return the resistance of a surface; None if the foam's class or depth is missing.

    Foam without a cavity round it, on masonry or in front of it, runs through and counts as
    continuous.
    """
    foam_r = spot.foam_r
    if foam_r is None:
        return None
    if spot.cavity_inches is None and not spot.framed:
        return Reached(spot.fill_r, foam_r + spot.outside_r)
    return Reached(foam_r + spot.fill_r, spot.outside_r)


def meets(option: str, has: Reached) -> bool:
    """Say whether one option of the table, such as `13`, `15ci` or `20+5ci`, is reached."""
    match = _PART.fullmatch(option)
    assert match is not None, option  # noqa: S101  a test reads every row of the table
    first = float(match[1])
    if match[2]:
        return has.continuous_r >= first
    if match[3]:
        return has.cavity_r >= first and has.continuous_r >= float(match[3])
    return has.total_r >= first


def resistance_said(spot: FoamSpot, ruled: Ruled) -> Iterable[Said]:
    """Yield what the energy chapter's table says of a surface."""
    column = COLUMNS.get(spot.kind)
    if column is None:
        yield Said(TOPIC, State.NO_ROW, "the table has no row for this kind of surface")
        return
    row = _row(ruled)
    wanted = _wanted(row, column) if row is not None else ""
    if row is None or not wanted:
        yield _no_row(ruled)
        return
    if wanted == "0":
        yield Said(TOPIC, State.NOT_OWED, "the table asks for none here", (mark_of(row),))
        return
    has = reached_by(spot)
    if has is None:
        says = f"{_told(wanted, row, ruled)} wanted; class or depth of the foam is not written"
        yield Said(TOPIC, State.UNKNOWN, says, (mark_of(row),))
        return
    yield _compared(spot, ruled, row, wanted, has)


def _row(ruled: Ruled) -> ResistanceRow | None:
    return next(
        (
            row
            for row in ruled.tables.r_values.values()
            if ruled.edition in row.editions and speaks_for(row.zones, ruled.zone)
        ),
        None,
    )


def _wanted(row: ResistanceRow, column: str) -> str:
    if column == "attic":
        return row.attic or row.ceiling
    return str(getattr(row, column))


def _no_row(ruled: Ruled) -> Said:
    rows = [r for r in ruled.tables.r_values.values() if ruled.edition in r.editions]
    if any(needs_letter(row.zones, ruled.zone) for row in rows):
        says = "write the climate zone with its letter: the table parts it"
        return Said(TOPIC, State.UNKNOWN, says)
    return Said(TOPIC, State.NO_ROW, "resistance wanted: ask the office")


def _compared(spot: FoamSpot, ruled: Ruled, row: ResistanceRow, wanted: str, has: Reached) -> Said:
    """Return what is wanted beside what is reached."""
    marks = (mark_of(row), *_marks(spot))
    says = f"{_told(wanted, row, ruled)} wanted, {_has(has, spot, ruled)}"
    if row.effective or ruled.edition == CANADA:
        is_below = has.total_r < float(Resistance.parse(wanted).r)
        says += "; the table's is effective, with framing taken off: for the designer"
        return Said(TOPIC, State.SHORT if is_below else State.ASK, says, marks)
    if any(meets(option, has) for option in wanted.split(" or ")):
        return Said(TOPIC, State.REACHED, says, marks)
    if spot.kind is SurfaceKind.RIM_JOIST:
        rule = ruled.tables.rules["rim-as-wall"]
        marks = (*marks, mark_of(rule, ruled.edition))
        says += f"; {rule.says}"
        return Said(TOPIC, State.ASK, says, marks, rule.asks, rule.whom)
    allowed = spot.allowance(Allowance.THINNER)
    if allowed is not None:
        says += f"; allowed by {allowed.source}"
        return Said(TOPIC, State.REACHED, says, (*marks, allowed))
    other = ruled.tables.rules["other-ways"]
    marks = (*marks, mark_of(other))
    says += f"; {other.says}"
    return Said(TOPIC, State.SHORT, says, marks, other.asks, other.whom)


def _marks(spot: FoamSpot) -> Iterable[Mark]:
    if spot.foam is not None and spot.depth_inches is not None:
        yield spot.foam.resistance(spot.depth_inches).mark
    if spot.outside_r:
        yield written("insulation outside")
    if spot.fill_r:
        yield written("other insulation in the cavity")


def _told(wanted: str, row: ResistanceRow, ruled: Ruled) -> str:
    if row.effective:
        return Resistance.parse(wanted).in_units(ruled.units)
    return " or ".join(f"R-{option}" for option in wanted.split(" or "))


def _has(has: Reached, spot: FoamSpot, ruled: Ruled) -> str:
    """Return what is reached in words, its parts named where there are several."""
    parts = [("foam", spot.foam_r or 0), ("fill", spot.fill_r), ("outside", spot.outside_r)]
    told = [f"{name} {r_told(r, ruled.units)}" for name, r in parts if r]
    if len(told) == 1:
        return told[0]
    return f"{' + '.join(told)} = {r_told(has.total_r, ruled.units)}"
