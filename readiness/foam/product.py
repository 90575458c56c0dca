"""What is known of the foam on a surface: from its product sheet, else from the table of its class.

Invariant: a figure carries its mark; what the sheet says goes before every figure of the class, and
lift and wait come from the sheet alone.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from readiness.facts.foam_rows import Figure
from readiness.foam.said import SHEET, Mark, mark_of
from readiness.job.foam_quantities import BoardFeet, Resistance, SprayRate
from readiness.job.quantities import Length

if TYPE_CHECKING:
    from collections.abc import Mapping

    from readiness.facts.foam_rows import FoamFigureRow, FoamTables
    from readiness.facts.vocabulary import FoamClass
    from readiness.job.foam_rows import ProductRow


@dataclass(frozen=True, slots=True)
class Known:
    """One figure with what it rests on."""

    value: float
    mark: Mark


@dataclass(frozen=True, slots=True)
class Foam:
    """The foam of one class or product, as far as it is known."""

    class_: FoamClass
    product: ProductRow | None
    tables: FoamTables

    @property
    def name(self) -> str:
        """Return what it is called."""
        if self.product is None:
            return f"{self.class_.value}, no product named"
        return self.product.name or self.class_.value

    def by_sheet(self, what: str) -> Mark:
        """Return the mark of a figure of the sheet."""
        assert self.product is not None  # noqa: S101  only asked where a sheet is
        return Mark(f"{what} of {self.name}", SHEET, self.product.sheet)

    def resistance(self, inches: float) -> Known:
        """Return the resistance of foam so deep, in h ft2 F/Btu."""
        if self.product is not None and self.product.r:
            points = _points({k: float(v.r) for k, v in self.product.r.items()})
            return Known(resistance_at(points, inches), self.by_sheet("resistance"))
        row = self.figure(Figure.RESISTANCE)
        return Known(float(Resistance.parse(row.used).r) * inches, mark_of(row))

    def permeance(self, inches: float) -> Known | None:
        """Return the permeance of foam so deep, in perm; None without a sheet."""
        if self.product is None or not self.product.permeance or not inches:
            return None
        points = _points({k: float(v.perm) for k, v in self.product.permeance.items()})
        return Known(permeance_at(points, inches), self.by_sheet("permeance"))

    def airtight_from(self) -> Known:
        """Return the least depth at which it stops air, in inches."""
        if self.product is not None and self.product.airtight_from is not None:
            depth = float(self.product.airtight_from.inches)
            return Known(depth, self.by_sheet("air-impermeable depth"))
        row = self.figure(Figure.AIRTIGHT_DEPTH)
        return Known(float(Length.parse(row.used).inches), mark_of(row))

    def drum_set(self, own: BoardFeet | None) -> Known:
        """Return the board feet of one drum set: the company's own, the sheet's, the usual."""
        if own is not None:
            return Known(float(own.board_feet), company("drum set"))
        if self.product is not None and self.product.drum_set is not None:
            return Known(float(self.product.drum_set.board_feet), self.by_sheet("drum set"))
        row = self.figure(Figure.DRUM_SET)
        return Known(float(BoardFeet.parse(row.used).board_feet), mark_of(row))

    def rate(self, own: SprayRate | None) -> Known:
        """Return the board feet in an hour at the gun."""
        if own is not None:
            return Known(float(own.board_feet_per_hour), company("rate at the gun"))
        row = self.figure(Figure.RATE)
        return Known(float(SprayRate.parse(row.used).board_feet_per_hour), mark_of(row))

    def figure(self, of: Figure) -> FoamFigureRow:
        """Return the row of the class that is planned with; else the one that is told."""
        rows = [r for r in self.tables.figures.values() if r.of is of and r.foam == self.class_]
        return next((row for row in rows if row.used), rows[0])


def company(what: str) -> Mark:
    """Return the mark of a figure that the spray company wrote into the job."""
    return Mark(what, "company rate", "the spray company, as written in the job")


def _points(by_depth: Mapping[str, float]) -> list[tuple[float, float]]:
    return sorted((float(Length.parse(depth).inches), value) for depth, value in by_depth.items())


def resistance_at(points: list[tuple[float, float]], inches: float) -> float:
    """Return a resistance between told depths on a straight line, beyond them in proportion.

    Below the first and beyond the last told depth the resistance for each inch is that of the
    nearest told one.
    """
    first, last = points[0], points[-1]
    if inches <= first[0]:
        return first[1] * inches / first[0]
    if inches >= last[0]:
        return last[1] * inches / last[0]
    (x0, y0), (x1, y1) = next(
        pair for pair in pairwise(points) if pair[0][0] <= inches <= pair[1][0]
    )
    return y0 + (y1 - y0) * (inches - x0) / (x1 - x0)


def permeance_at(points: list[tuple[float, float]], inches: float) -> float:
    """Return a permeance from the nearest told depth that is no deeper, else from the first.

    Through one material the permeance falls as the depth rises: half as deep lets twice as much
    through.
    """
    depth, perm = max((point for point in points if point[0] <= inches), default=points[0])
    return perm * depth / inches
