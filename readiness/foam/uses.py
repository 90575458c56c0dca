"""Whether a class of foam suits a surface by what the surface has to live with.

Invariant: a class alone never suits: the product's own listing for the use is shown or still to be
shown, and what does not suit is let through by a named person only.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from readiness.facts.foam_rows import Suits
from readiness.facts.vocabulary import Allowance
from readiness.foam.said import Mark, mark_of

if TYPE_CHECKING:
    from readiness.foam.foam_spot import FoamSpot, Ruled

STILL_TO_SHOW = "the product's own listing for this use still to be shown"


@dataclass(frozen=True, slots=True)
class Suited:
    """Whether the foam of a surface suits it, in words."""

    word: str
    """`suits`, `suits if`, `does not suit`, `allowed`, or `not known`."""
    says: str
    marks: tuple[Mark, ...]

    @property
    def is_refused(self) -> bool:
        """Say whether the class is refused here."""
        return self.word == Suits.DOES_NOT


def suited(spot: FoamSpot, ruled: Ruled) -> Suited:
    """Return whether the class of a surface suits it."""
    if spot.foam is None:
        return Suited("not known", "no class of foam is written", ())
    row = next(
        (
            row
            for row in ruled.tables.uses.values()
            if row.foam is spot.foam.class_
            and row.exposure is spot.exposure
            and (not row.on or spot.kind in row.on)
        ),
        None,
    )
    if row is None:
        return Suited("not known", f"no row tells {spot.foam.class_} {spot.exposure} here", ())
    if row.result is Suits.DOES_NOT:
        word = spot.allowance(Allowance.CLASS_HERE)
        if word is None:
            return Suited(
                row.result.value, f"does not suit, because {row.because}", (mark_of(row),)
            )
        said = f"refused by common practice, because {row.because}; allowed here by {word.source}"
        return Suited("allowed", said, (mark_of(row), word))
    listing, mark = _listing(spot)
    by_class = f"suits if {row.because}" if row.result is Suits.SUITS_IF else "suits by class"
    marks = (mark_of(row), *((mark,) if mark else ()))
    return Suited(row.result.value, f"{by_class}; {listing}", marks)


def _listing(spot: FoamSpot) -> tuple[str, Mark | None]:
    """Return what is known of the product's own listing for the use."""
    product = spot.foam.product if spot.foam is not None else None
    if product is None or spot.kind not in product.listed_for or not product.report:
        return STILL_TO_SHOW, None
    mark = Mark("listing for this use", "product sheet", product.report)
    return f"its own listing names this use, as entered ({product.report})", mark
