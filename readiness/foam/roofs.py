"""What keeps an unvented roof from condensing: resistance of airtight foam, and its underside.

Invariant: only air-impermeable foam against the deck counts; rigid insulation above the deck is
told beside it and left to the office.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.facts.foam_rows import CondensationTable
from readiness.facts.vocabulary import Allowance, FoamClass, SurfaceKind
from readiness.foam.editions import needs_letter, speaks_for
from readiness.foam.foam_spot import written
from readiness.foam.said import Said, State, asked_about, mark_of
from readiness.foam.walls import class_two_said
from readiness.job.foam_quantities import Resistance, depth_told, r_told

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.facts.foam_rows import CondensationRow
    from readiness.foam.foam_spot import FoamSpot, Ruled

TOPIC = "unvented roof"
UNDERSIDE = "underside of the roof's foam"
COMPARED_ROOF_R = 49
"""The ceiling of zones 4 to 8 before 2021, by which the published shares are reckoned."""


def roof_said(spot: FoamSpot, ruled: Ruled) -> Iterable[Said]:
    """Yield what the code says of condensation at an unvented roof."""
    if spot.kind is not SurfaceKind.ROOF_DECK:
        return
    row = roof_row(ruled)
    if row is None:
        yield _no_row(ruled)
        return
    if spot.foam is None or spot.depth_inches is None:
        says = f"{row.r} of airtight foam wanted; class or depth of the foam is not written"
        yield Said(TOPIC, State.UNKNOWN, says, (mark_of(row),))
        return
    yield _condensation(spot, ruled, row)
    if spot.fill_r:
        yield from _share(spot, ruled, row)
    yield from _underside(spot, ruled)
    for name in ("roof-envelope", "roof-no-class-one"):
        yield asked_about(ruled.tables.rules[name], ruled.edition)


def roof_row(ruled: Ruled) -> CondensationRow | None:
    """Return the row of the table for unvented roofs, or None."""
    return next(
        (
            row
            for row in ruled.tables.condensation.values()
            if row.table is CondensationTable.ROOF
            and ruled.edition in row.editions
            and speaks_for(row.zones, ruled.zone)
        ),
        None,
    )


def _no_row(ruled: Ruled) -> Said:
    rows = [
        row
        for row in ruled.tables.condensation.values()
        if row.table is CondensationTable.ROOF and ruled.edition in row.editions
    ]
    if any(needs_letter(row.zones, ruled.zone) for row in rows):
        says = "write the climate zone with its letter: the table parts it"
        return Said(TOPIC, State.UNKNOWN, says)
    return Said(TOPIC, State.NO_ROW, "condensation control of the roof: ask the office")


def _condensation(spot: FoamSpot, ruled: Ruled, row: CondensationRow) -> Said:
    assert spot.foam is not None  # noqa: S101  asked by the caller
    assert spot.depth_inches is not None  # noqa: S101
    rules, units = ruled.tables.rules, ruled.units
    airtight = spot.foam.airtight_from()
    marks = [mark_of(row), airtight.mark]
    wanted = float(Resistance.parse(row.r).r)
    if spot.depth_inches < airtight.value:
        deep = depth_told(airtight.value, units)
        says = f"{r_told(wanted, units)} of airtight foam wanted; "
        says += f"this foam stops air from {deep} on"
        return Said(TOPIC, State.SHORT, says, tuple(marks))
    foam = spot.foam.resistance(spot.depth_inches)
    marks.append(foam.mark)
    says = f"{r_told(wanted, units)} of airtight foam wanted against the deck, "
    says += f"{r_told(foam.value, units)} reached"
    if not spot.fill_r:
        marks.append(mark_of(rules["roof-all-foam"], ruled.edition))
        says += f"; {rules['roof-all-foam'].says}"
    if foam.value >= wanted:
        return Said(TOPIC, State.REACHED, says, tuple(marks))
    allowed = spot.allowance(Allowance.THINNER)
    if allowed is not None:
        says += f"; allowed by {allowed.source}"
        return Said(TOPIC, State.REACHED, says, (*marks, allowed))
    if foam.value + spot.outside_r >= wanted:
        other = rules["roof-other-way"]
        marks += [written("insulation above the deck"), mark_of(other, ruled.edition)]
        says += f"; {r_told(spot.outside_r, units)} above the deck is for the office to count"
        asks = "Does the office count the rigid insulation above the deck together with the foam?"
        return Said(TOPIC, State.ASK, says, tuple(marks), asks, "office")
    return Said(TOPIC, State.SHORT, says, tuple(marks))


def _share(spot: FoamSpot, ruled: Ruled, row: CondensationRow) -> Iterable[Said]:
    """Yield how large the foam's share is where other insulation lies below it."""
    foam_r = spot.foam_r or 0
    share = (foam_r + spot.outside_r) / (foam_r + spot.outside_r + spot.fill_r)
    asked = float(Resistance.parse(row.r).r) / COMPARED_ROOF_R
    rule = ruled.tables.rules["roof-share"]
    says = (
        f"foam and what lies above it are {share:.0%} of the roof's resistance; "
        f"the table's figure is {asked:.0%} of R-{COMPARED_ROOF_R}: {rule.says}"
    )
    state = State.REACHED if share >= asked else State.ASK
    yield Said(TOPIC, state, says, (mark_of(rule),))


def _underside(spot: FoamSpot, ruled: Ruled) -> Iterable[Said]:
    """Yield what the underside of the foam owes in cold zones."""
    rule = ruled.tables.rules["roof-class-two"]
    if not speaks_for(rule.zones, ruled.zone):
        return
    mark = mark_of(rule, ruled.edition)
    by_itself = class_two_said(spot, ruled, UNDERSIDE, mark)
    if by_itself is not None:
        yield by_itself
        return
    assert spot.foam is not None  # noqa: S101  asked by the caller
    says = f"a class II coating or covering in contact with the foam: {spot.foam.class_} is none"
    if spot.foam.class_ is FoamClass.CLOSED_CELL:
        says = "a class II coating or covering in contact with the foam: at its depth it is none"
    yield Said(UNDERSIDE, State.OWED, says, (mark,), owes="coating")
