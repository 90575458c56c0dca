"""Which vapor retarder a framed wall owes, and where its foam is one or counts towards one.

Invariant: open-cell foam never counts as continuous insulation, and foam is called a class II
retarder by its own sheet only.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.facts.foam_rows import CondensationTable, Figure
from readiness.facts.vocabulary import Allowance, FoamClass, SurfaceKind
from readiness.foam.editions import CANADA, needs_letter, speaks_for
from readiness.foam.foam_spot import written
from readiness.foam.said import Mark, Said, State, mark_of
from readiness.job.foam_quantities import Permeance, Resistance, perm_told, r_told

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.facts.foam_rows import CondensationRow, FoamRuleRow
    from readiness.foam.foam_spot import FoamSpot, Ruled

TOPIC = "vapor retarder"
WALLS = (SurfaceKind.WALL_ABOVE_GRADE, SurfaceKind.GABLE_WALL)
DEEPEST_2X4_INCHES = 4.5
"""A cavity up to here is taken as one of 2x4 studs; without a cavity the stricter 2x6 stands."""

WORK = "retarder"


def wall_said(spot: FoamSpot, ruled: Ruled) -> Iterable[Said]:
    """Yield what the code says of vapor retarders at a wall."""
    rules = ruled.tables.rules
    if spot.kind in (SurfaceKind.WALL_BELOW_GRADE, SurfaceKind.CRAWL_WALL):
        if ruled.edition and ruled.edition != CANADA:
            rule = rules["retarder-not-below-grade"]
            yield Said(TOPIC, State.NOT_OWED, rule.says, (mark_of(rule),))
        return
    if spot.kind not in WALLS:
        return
    if ruled.edition == CANADA:
        yield from _canada(spot, ruled)
        return
    rule_of_zone = _rule_of_zone(ruled)
    if rule_of_zone is None:
        yield _no_rule(ruled)
    elif rule_of_zone is not rules["retarder-cold"]:
        mark = mark_of(rule_of_zone, ruled.edition)
        yield Said(TOPIC, State.NOT_OWED, rule_of_zone.says, (mark,))
    else:
        yield _cold(spot, ruled)


def _rule_of_zone(ruled: Ruled) -> FoamRuleRow | None:
    names = ("retarder-warm", "retarder-mixed", "retarder-cold")
    return next(
        (
            rule
            for rule in (ruled.tables.rules[name] for name in names)
            if ruled.edition in rule.editions and speaks_for(rule.zones, ruled.zone)
        ),
        None,
    )


def _no_rule(ruled: Ruled) -> Said:
    if ruled.edition and needs_letter(("4A", "4C"), ruled.zone):
        return Said(TOPIC, State.UNKNOWN, "write the climate zone with its letter: marine or not")
    return Said(TOPIC, State.NO_ROW, "vapor retarder: ask the office")


def _cold(spot: FoamSpot, ruled: Ruled) -> Said:
    """Return what a wall of a cold zone owes."""
    cold = mark_of(ruled.tables.rules["retarder-cold"], ruled.edition)
    if spot.foam is None or spot.depth_inches is None:
        says = "a retarder is asked for inside; class or depth of the foam is not written"
        return Said(TOPIC, State.UNKNOWN, says, (cold,))
    by_itself = class_two_said(spot, ruled, TOPIC, cold)
    if by_itself is not None and by_itself.state is State.REACHED:
        return by_itself
    paint = _paint_is_enough(spot, ruled)
    if paint is not None:
        return paint
    if by_itself is not None:
        return by_itself
    allowed = spot.allowance(Allowance.NO_RETARDER)
    if allowed is not None:
        says = f"left out, by word of {allowed.source}"
        return Said(TOPIC, State.NOT_OWED, says, (cold, allowed))
    says = f"a class I or II retarder inside: {spot.foam.class_} does not do it here"
    marks = [cold, *_open_cell(spot, ruled)]
    vented = ruled.tables.rules["vented-cladding"]
    row = _row(ruled)
    if row is not None and speaks_for(vented.zones, ruled.zone):
        says += f"; or paint over {row.instead}"
        marks += [mark_of(row), mark_of(vented, ruled.edition)]
    return Said(TOPIC, State.OWED, says, tuple(marks), owes=WORK)


def class_two_said(spot: FoamSpot, ruled: Ruled, topic: str, asked_by: Mark) -> Said | None:
    """Return that the foam is class II by its sheet, or that only its sheet could say so.

    None: it is not, whatever a sheet says of closed-cell foam.
    """
    assert spot.foam is not None  # noqa: S101  asked by the caller
    assert spot.depth_inches is not None  # noqa: S101
    rules = ruled.tables.rules
    limit = float(Permeance.parse(rules["class-two"].figure).perm)
    known = spot.foam.permeance(spot.depth_inches)
    marks = (asked_by, mark_of(rules["class-two"]))
    if known is not None:
        if known.value > limit:
            return None
        told = perm_told(known.value, ruled.units)
        says = f"the foam is class II by its own sheet: {told} at its depth"
        return Said(topic, State.REACHED, says, (*marks, known.mark))
    if spot.foam.class_ is FoamClass.OPEN_CELL:
        return None
    row = spot.foam.figure(Figure.RETARDER_DEPTH)
    says = (
        f"closed-cell foam is usually class II from {row.low} to {row.high} on: "
        "the product sheet is needed"
    )
    return Said(topic, State.UNKNOWN, says, (*marks, mark_of(row)))


def _row(ruled: Ruled) -> CondensationRow | None:
    return next(
        (
            row
            for row in ruled.tables.condensation.values()
            if row.table is CondensationTable.WALL
            and ruled.edition in row.editions
            and speaks_for(row.zones, ruled.zone)
        ),
        None,
    )


def _paint_is_enough(spot: FoamSpot, ruled: Ruled) -> Said | None:
    """Return that foam or insulation outside lets paint (class III) be enough, or None."""
    row = _row(ruled)
    if row is None:
        return None
    is_2x4 = spot.cavity_inches is not None and spot.cavity_inches <= DEEPEST_2X4_INCHES
    wanted = float(Resistance.parse(row.r_2x4 if is_2x4 else row.r_2x6).r)
    studs = "2x4" if is_2x4 else "2x6"
    foam_r, marks = _counted(spot, ruled)
    if spot.outside_r + foam_r < wanted:
        return None
    used = [mark_of(row)]
    parts = []
    if spot.outside_r:
        used.append(written("insulation outside"))
        parts.append(f"{r_told(spot.outside_r, ruled.units)} outside")
    if spot.outside_r < wanted:
        used += marks
        parts.append(f"{r_told(foam_r, ruled.units)} of foam")
        if foam_r < wanted:
            used.append(mark_of(ruled.tables.rules["foam-and-sheathing-count"], ruled.edition))
    says = (
        f"paint (class III) is enough by the table: {' and '.join(parts)} "
        f"of {r_told(wanted, ruled.units)} wanted over {studs}"
    )
    return Said(TOPIC, State.REACHED, says, tuple(used))


def _counted(spot: FoamSpot, ruled: Ruled) -> tuple[float, list[Mark]]:
    """Return the foam's resistance that counts as continuous insulation, with what it rests on."""
    rules = ruled.tables.rules
    nothing: tuple[float, list[Mark]] = (0, [])
    foam_r = spot.foam_r
    if spot.foam is None or foam_r is None or spot.depth_inches is None:
        return nothing
    if (
        spot.foam.class_ is FoamClass.OPEN_CELL
        or ruled.edition not in rules["foam-counts"].editions
    ):
        return nothing
    permeance = rules["foam-counts-permeance"]
    known = spot.foam.permeance(spot.depth_inches)
    if known is None or known.value > float(Permeance.parse(permeance.figure).perm):
        return nothing
    return foam_r, [
        mark_of(rules["foam-counts"], ruled.edition),
        mark_of(permeance, ruled.edition),
        known.mark,
        spot.foam.resistance(spot.depth_inches).mark,
    ]


def _open_cell(spot: FoamSpot, ruled: Ruled) -> Iterable[Mark]:
    if spot.foam is not None and spot.foam.class_ is FoamClass.OPEN_CELL:
        yield mark_of(ruled.tables.rules["open-cell-does-not-count"], ruled.edition)


def _canada(spot: FoamSpot, ruled: Ruled) -> Iterable[Said]:
    """Yield what the national code of Canada says of the vapor barrier."""
    rules = ruled.tables.rules
    rule, place = rules["canada-barrier"], rules["canada-barrier-place"]
    if spot.foam is None or spot.depth_inches is None:
        says = f"{rule.says}; class or depth of the foam is not written"
        yield Said(TOPIC, State.UNKNOWN, says, (mark_of(rule),))
        return
    known = spot.foam.permeance(spot.depth_inches)
    limit = float(Permeance.parse(rule.figure).perm)
    if known is not None and known.value <= limit:
        told = perm_told(known.value, ruled.units)
        says = f"the foam may be the vapor barrier by its own sheet: {told} at its depth"
        yield Said(TOPIC, State.REACHED, says, (mark_of(rule), known.mark))
    elif known is None and spot.foam.class_ is FoamClass.CLOSED_CELL:
        says = f"{rule.says}: the product sheet is needed"
        yield Said(TOPIC, State.UNKNOWN, says, (mark_of(rule),))
    else:
        says = f"a vapor barrier of its own: {rule.says}"
        yield Said(TOPIC, State.OWED, says, (mark_of(rule),), owes=WORK)
    says = f"{place.title}: {place.says}"
    yield Said(TOPIC, State.ASK, says, (mark_of(place),), place.asks, place.whom)
