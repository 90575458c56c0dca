"""What spraying short foam again takes: how much is missing, and in how many passes.

A refill is foam like the first: it has the passes and waits of its product sheet and a keep-out of
its own.

Invariant: passes and waits come from the product sheet alone; without one they are not computed.
"""

from __future__ import annotations

from math import ceil
from typing import TYPE_CHECKING

from readiness.facts.foam_rows import Figure
from readiness.facts.loader import load_foam
from readiness.foam.foam_spot import foam_of
from readiness.foam.outcome import Outcome
from readiness.gates.depth_words import length_told

if TYPE_CHECKING:
    from fractions import Fraction

    from readiness.foam.product import Foam
    from readiness.schedule.depths_known import DepthKnown
    from readiness.telling.case import Case

KEEP_OUT = "it starts a keep-out of its own, and is probed again"
NO_SHEET = "passes and waits are not computed, product sheet needed"


def refill_told(case: Case, surface: str, known: DepthKnown) -> str:
    """Return what the refill of a surface takes; empty if none is due."""
    missing = _missing(known)
    if missing is None or known.agreed is None:
        return ""
    job = case.site.job
    words = length_told(missing, job.units)
    lead = f"up to {words} are missing"
    if known.outcome is Outcome.RESPRAY:
        lead = f"{words} anew after cutting out"
    foam = foam_of(job.surfaces[surface], job.products, load_foam())
    return f"{lead}: {_passes(missing, foam, job.units)}; {KEEP_OUT}"


def _missing(known: DepthKnown) -> Fraction | None:
    """Return the deepest that is sprayed at one spot, in inches; None if nothing is."""
    if known.agreed is None or known.found is None:
        return None
    if known.outcome is Outcome.RESPRAY:
        return known.agreed.inches
    low = [*known.found.field.low_inches, *known.found.perimeter.low_inches]
    if known.outcome is not Outcome.FILL or not low:
        return None
    return known.agreed.inches - min(low)


def _passes(inches: Fraction, foam: Foam | None, units: str) -> str:
    """Return the passes by the sheet, or what is published and why it is not planned with."""
    if foam is None:
        return NO_SHEET
    product = foam.product
    if product is None or product.lift is None:
        return f"{NO_SHEET}{_published(foam)}"
    passes = max(1, ceil(inches / product.lift.inches))
    told = f"1 pass of at most {length_told(product.lift.inches, units)}"
    if passes > 1:
        told = f"{passes} passes of at most {length_told(product.lift.inches, units)}"
        told += f", {product.wait} between" if product.wait else ", their wait is not written"
    return f"{told} by the sheet of {foam.name} ({product.sheet})"


def _published(foam: Foam) -> str:
    """Return the published pass of the class, as a caution with its mark."""
    rows = load_foam().figures.values()
    row = next((r for r in rows if r.of is Figure.LIFT and r.foam == foam.class_), None)
    if row is None:
        return ""
    return f" (published for ordinary grades: {row.low} to {row.high} [{row.status.value}])"
