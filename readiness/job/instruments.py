"""What an instrument on a building site can read, by what it measures.

Invariant: a figure that no air, wood or wall on a site can have is refused where it is written, and
speaks for nothing where an older file has it all the same.
"""

from __future__ import annotations

from readiness.facts.vocabulary import ReadingKind
from readiness.job.quantities import Share, Temperature
from readiness.job.quantity import QuantityError

QUANTITY_OF: dict[ReadingKind, type[Share | Temperature]] = {
    ReadingKind.WOOD_MOISTURE: Share,
    ReadingKind.CONCRETE_MOISTURE: Share,
    ReadingKind.RELATIVE_HUMIDITY: Share,
    ReadingKind.SUBSTRATE_TEMPERATURE: Temperature,
    ReadingKind.AIR_TEMPERATURE: Temperature,
}
COLDEST_F = -40
HOTTEST_F = {ReadingKind.SUBSTRATE_TEMPERATURE: 180, ReadingKind.AIR_TEMPERATURE: 130}
"""Beyond these no site is at work; the instrument or its unit is wrong. Common practice."""


def figure_read(kind: ReadingKind, written: str) -> float:
    """Return a reading as a number, temperatures in F and shares in percent.

    Raises:
        QuantityError: The text is no quantity of the kind, or none that a site can have.
    """
    amount = QUANTITY_OF[kind].parse(written)
    if isinstance(amount, Share):
        if amount.fraction == 0 and kind is ReadingKind.RELATIVE_HUMIDITY:
            raise QuantityError(written, "a humidity of air", "no air is without water; look again")
        return float(amount.percent)
    if not COLDEST_F <= amount.fahrenheit <= HOTTEST_F[kind]:
        wanted = f"the {kind.value} of a site, {COLDEST_F} F to {HOTTEST_F[kind]} F"
        raise QuantityError(written, wanted, "is the unit right?")
    return float(amount.fahrenheit)
