"""What covers the foam against fire: thermal barrier, ignition barrier, the rim-joist exception.

Invariant: foam is left bare only by all four tests of the exception, each from the product's own
sheet, or by the word of a named person.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from readiness.facts.vocabulary import Allowance, RoomKind, SurfaceKind
from readiness.foam.editions import CANADA
from readiness.foam.foam_spot import written
from readiness.foam.said import SHEET, Mark, Said, State, mark_of
from readiness.job.foam_quantities import Density, depth_told
from readiness.job.quantities import Length

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.facts.foam_rows import FoamRuleRow
    from readiness.foam.foam_spot import FoamSpot, Ruled

TOPIC = "fire"
WORK = "barrier"


@dataclass(frozen=True, slots=True)
class RimTest:
    """One of the four tests of the exception for rim joists."""

    name: str
    passes: bool | None
    """None if the figure is not known."""
    says: str
    mark: Mark


def fire_said(spot: FoamSpot, ruled: Ruled) -> Iterable[Said]:
    """Yield what covers the foam of a surface, and what its fire tests say."""
    yield _covering(spot, ruled)
    yield from _tests_of_the_product(spot, ruled)


def _covering(spot: FoamSpot, ruled: Ruled) -> Said:
    rules = ruled.tables.rules
    allowed = spot.allowance(Allowance.BARE_FOAM)
    if allowed is not None:
        says = f"may stay bare by word of {allowed.source}"
        caution = rules["thermal-barrier"].caution
        return Said(TOPIC, State.NOT_OWED, says, (allowed,), caution=caution)
    if ruled.edition == CANADA:
        return _owed(rules["canada-thermal-barrier"], ruled)
    if ruled.edition not in rules["thermal-barrier"].editions:
        says = "foam is covered against fire everywhere: ask the office with what"
        caution = rules["thermal-barrier"].caution
        return Said(TOPIC, State.NO_ROW, says, owes=WORK, caution=caution)
    if spot.kind is SurfaceKind.RIM_JOIST:
        return _rim(spot, ruled)
    if spot.is_serviced:
        return _serviced(spot, ruled)
    return _owed(rules["thermal-barrier"], ruled)


def _owed(rule: FoamRuleRow, ruled: Ruled, further: tuple[Mark, ...] = (), lead: str = "") -> Said:
    """Return that a covering is owed."""
    says = f"{lead}{rule.title}: {rule.says}"
    marks = (mark_of(rule, ruled.edition), *further)
    return Said(TOPIC, State.OWED, says, marks, owes=WORK, caution=rule.caution)


def _serviced(spot: FoamSpot, ruled: Ruled) -> Said:
    """Return what covers foam in an attic or a crawl space."""
    rules = ruled.tables.rules
    stored = rules["stored-in"]
    if spot.service_only is False:
        lead = "stored in or lived in, so "
        return _owed(rules["thermal-barrier"], ruled, (mark_of(stored, ruled.edition),), lead)
    in_crawl = RoomKind.CRAWL_SPACE in spot.rooms
    ignition = rules["ignition-barrier-crawl" if in_crawl else "ignition-barrier-attic"]
    if spot.service_only:
        return _owed(ignition, ruled, (written("entered for service only"),))
    mark = mark_of(stored, ruled.edition)
    lead = "the thermal barrier if it is stored in or lived in (write service_only); else "
    return _owed(ignition, ruled, (mark,), lead)


def _rim(spot: FoamSpot, ruled: Ruled) -> Said:
    """Return whether the rim's foam may stay bare by the four tests."""
    tests = rim_tests(spot, ruled)
    marks = tuple(dict.fromkeys(test.mark for test in tests))
    caution = ruled.tables.rules["thermal-barrier"].caution
    told = ", ".join(f"{test.name} {test.says}" for test in tests)
    failed = [test.name for test in tests if test.passes is False]
    if failed:
        lead = f"not bare, by {' and '.join(failed)} ({told}); so "
        return _owed(ruled.tables.rules["thermal-barrier"], ruled, marks, lead)
    missing = [test.name for test in tests if test.passes is None]
    if missing:
        says = f"bare only if the sheet tells {', '.join(missing)} ({told}); else covered"
        return Said(TOPIC, State.UNKNOWN, says, marks, owes=WORK, caution=caution)
    says = f"all four tests of the rim-joist exception hold ({told})"
    return Said(TOPIC, State.NOT_OWED, says, marks, caution=caution)


def rim_tests(spot: FoamSpot, ruled: Ruled) -> tuple[RimTest, ...]:
    """Return the four tests of the exception: depth, density, flame spread, smoke developed."""
    rules, edition = ruled.tables.rules, ruled.edition
    product = spot.foam.product if spot.foam is not None else None

    def test(name: str, rule: FoamRuleRow, has: float | None, told: str, limit: float) -> RimTest:
        if has is None:
            return RimTest(name, None, "not known", mark_of(rule, edition))
        return RimTest(name, has <= limit, told, mark_of(rule, edition))

    depth = rules["rim-depth"]
    inches = spot.depth_inches
    most = Length.parse(depth.figure)
    told = depth_told(inches, ruled.units) if inches is not None else ""
    return (
        test("depth", depth, inches, f"{told} of {most.in_units(ruled.units)}", float(most.inches)),
        _density_test(spot, ruled),
        test(
            "flame spread",
            rules["rim-flame"],
            product.flame_spread if product else None,
            f"{product.flame_spread} of {rules['rim-flame'].figure}" if product else "",
            float(rules["rim-flame"].figure),
        ),
        test(
            "smoke developed",
            rules["rim-smoke"],
            product.smoke_developed if product else None,
            f"{product.smoke_developed} of {rules['rim-smoke'].figure}" if product else "",
            float(rules["rim-smoke"].figure),
        ),
    )


def _density_test(spot: FoamSpot, ruled: Ruled) -> RimTest:
    rules = ruled.tables.rules
    least = Density.parse(rules["rim-density-least"].figure)
    most = Density.parse(rules["rim-density-most"].figure)
    mark = mark_of(rules["rim-density-most"], ruled.edition)
    product = spot.foam.product if spot.foam is not None else None
    if product is None or product.density is None:
        return RimTest("density", None, "not known", mark)
    has = product.density
    told = f"{has.in_units(ruled.units)} of {least.in_units(ruled.units)} to "
    told += most.in_units(ruled.units)
    return RimTest("density", least <= has <= most, told, mark)


def _tests_of_the_product(spot: FoamSpot, ruled: Ruled) -> Iterable[Said]:
    """Yield where the product's own fire tests don't cover what is sprayed."""
    product = spot.foam.product if spot.foam is not None else None
    if product is None or spot.depth_inches is None:
        return
    assert spot.foam is not None  # noqa: S101  it has a product
    rules = ruled.tables.rules
    indexes = (
        ("flame spread", "flame-general", product.flame_spread),
        ("smoke developed", "smoke-general", product.smoke_developed),
    )
    sheet = Mark(f"fire tests of {spot.foam.name}", SHEET, product.sheet)
    for name, rule, index in indexes:
        if index is not None and index > float(rules[rule].figure):
            says = f"{name} {index} of {rules[rule].figure} at most"
            yield Said(TOPIC, State.SHORT, says, (mark_of(rules[rule]), sheet))
    if product.most_depth is not None:
        if spot.depth_inches > float(product.most_depth.inches):
            says = (
                f"{depth_told(spot.depth_inches, ruled.units)} is deeper than the "
                f"{product.most_depth} "
                "that the product's fire tests cover"
            )
            yield Said(TOPIC, State.SHORT, says, (sheet,))
        return
    tested = rules["flame-tested-depth"]
    if spot.depth_inches > float(Length.parse(tested.figure).inches):
        says = f"{tested.title}: {tested.says}; the sheet tells the deepest it covers"
        yield Said(TOPIC, State.ASK, says, (mark_of(tested),))
