"""If we sprayed anyway: who would cut how much foam where, and what is not possible at all.

Invariant: what is binding has no way round and no figure.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from readiness.facts.vocabulary import Category, Gate
from readiness.gates.asked import asked_gate, asked_instant, asked_trip
from readiness.gates.blockers import Blocker, Holds, blockers_of
from readiness.site.parts import surface_square_feet
from readiness.site.task import TaskKind
from readiness.telling.blocker_lines import blocker_lines
from readiness.telling.case import Case, Instants, On
from readiness.telling.teller import Who

if TYPE_CHECKING:
    from collections.abc import Iterable


@dataclass(frozen=True, slots=True)
class AnywayLine:
    """What one blocker would mean if foam went on in spite of it."""

    says: str
    """The blocker."""
    possible: bool
    """False for what is binding."""
    may_decide: str
    """The role that could waive it; empty for nobody."""
    then: str
    """What would follow, as a sentence."""
    who: Who
    """Who would do it."""
    surfaces: tuple[str, ...]
    square_feet: float
    """Foam that may have to be cut or stays missing, at the most."""
    board_feet: float | None
    """None if a depth is not written."""
    price: float | None
    """Cutting it out and spraying it again, by the job's own prices; None if one is missing."""


@dataclass(frozen=True, slots=True)
class AnywayAnswer:
    """The answer to "what if we sprayed anyway?"."""

    job: str
    instants: Instants
    trip_name: str
    lines: tuple[AnywayLine, ...]
    possible: bool
    """No blocker is binding."""
    price: float | None
    """All that may have to be cut out and sprayed again, each surface once, with one more trip."""
    currency: str
    missing_prices: tuple[str, ...]
    """What would have to be known for a price: keys of the job's own prices, or depths of foam."""


def anyway(case: Case, on: On = None, gate: Gate | None = None, trip: str = "") -> AnywayAnswer:
    """Return what spraying in spite of each blocker would mean."""
    outlook = case.outlook
    trip = trip or asked_trip(outlook, on)
    instant = asked_instant(outlook, on, trip)
    gate = gate or asked_gate(outlook, instant, trip)
    verdicts = case.judge.verdicts(gate, instant, trip)
    blockers = blockers_of(outlook, verdicts)
    told = blocker_lines(case, blockers, verdicts)
    lines = tuple(
        _line(case, blocker, line.says, line.who, line.may_waive)
        for blocker, line in zip(blockers, told, strict=True)
    )
    as_of, asked = case.teller.moment(outlook.seen.as_of), case.teller.moment(instant)
    assert as_of is not None  # noqa: S101  both are real instants
    assert asked is not None  # noqa: S101
    cut = tuple(
        dict.fromkeys(
            surface
            for blocker, line in zip(blockers, lines, strict=True)
            if line.possible and _is_cut(case, blocker)
            for surface in blocker.surfaces
        )
    )
    possible = all(line.possible for line in lines)
    price = _price(case, cut, further_trip=True) if possible and cut else None
    return AnywayAnswer(
        job=case.site.job.name,
        instants=Instants(as_of, asked, case.site.zone, gate.value),
        trip_name=case.site.trips[trip].name,
        lines=lines,
        possible=possible,
        price=price,
        currency=case.site.job.costs.currency,
        missing_prices=_missing(case, cut),
    )


def _is_cut(case: Case, blocker: Blocker) -> bool:
    """Say whether foam would have to be cut for it: work or a look at work behind the foam."""
    if blocker.stop is not None or blocker.holds is Holds.LATE or not blocker.requirements:
        return False
    task = blocker.task
    if _only_looks(case, blocker):
        return False
    look = task is not None and case.site.tasks[task].kind is TaskKind.APPROVAL
    return look or case.site.requirements[blocker.requirements[0]].category is Category.BEFORE


def _only_looks(case: Case, blocker: Blocker) -> bool:
    """Say whether the work that is missing puts nothing in place, such as a walk with the owner."""
    if blocker.task is None:
        return False
    kind = case.site.facts.work.get(case.site.tasks[blocker.task].stay)
    return kind is not None and kind.only_looks


def _price(case: Case, surfaces: Iterable[str], *, further_trip: bool) -> float | None:
    """Return what cutting and spraying again costs at the most; None if a price is missing."""
    costs = case.site.job.costs
    square_feet, board_feet = _foam(case, surfaces)
    if costs.cut_out is None or costs.foam is None or board_feet is None:
        return None
    if further_trip and costs.trip is None:
        return None
    trip = costs.trip if further_trip and costs.trip is not None else 0.0
    return round(costs.cut_out * square_feet + costs.foam * board_feet + trip, 2)


def _missing(case: Case, surfaces: Iterable[str]) -> tuple[str, ...]:
    """Return what is missing for a price of cutting and spraying again."""
    surfaces = tuple(surfaces)
    if not surfaces:
        return ()
    costs = case.site.job.costs
    keys = [key for key in ("cut_out", "foam", "trip") if getattr(costs, key) is None]
    if _foam(case, surfaces)[1] is None:
        keys.append("depth")
    return tuple(keys)


def _line(case: Case, blocker: Blocker, says: str, who: Who, may_waive: str) -> AnywayLine:
    binding = blocker.stop is not None or bool(blocker.kept_out_by) or _binding(case, blocker)
    square_feet, board_feet = _foam(case, blocker.surfaces)
    no_foam = binding or _only_looks(case, blocker)
    cut = not binding and _is_cut(case, blocker)
    return AnywayLine(
        says=says,
        possible=not binding,
        may_decide="" if binding else may_waive,
        then=_then(case, blocker, who, binding=binding),
        who=who,
        surfaces=blocker.surfaces,
        square_feet=0.0 if no_foam else square_feet,
        board_feet=None if no_foam else board_feet,
        price=_price(case, blocker.surfaces, further_trip=False) if cut else None,
    )


def _binding(case: Case, blocker: Blocker) -> bool:
    return any(
        case.site.requirements[requirement].demands.binding for requirement in blocker.requirements
    )


def _foam(case: Case, surfaces: Iterable[str]) -> tuple[float, float | None]:
    """Return square feet and board feet of the foam on some surfaces, as agreed."""
    job = case.site.job
    area = {surface: float(surface_square_feet(surface, job)) for surface in surfaces}
    depths = {surface: job.surfaces[surface].depth for surface in area}
    if any(depth is None for depth in depths.values()):
        return round(sum(area.values()), 1), None
    feet = sum(area[s] * float(depth.inches) for s, depth in depths.items() if depth is not None)
    return round(sum(area.values()), 1), round(feet, 1)


def _then(case: Case, blocker: Blocker, who: Who, *, binding: bool) -> str:
    """Return what would follow."""
    if blocker.stop is not None:
        return "not possible: somebody has stopped the site"
    if binding:
        return "not possible: nobody may waive it"
    where = ", ".join(dict.fromkeys(case.teller.place(s) for s in blocker.surfaces[:3]))
    where += f" and {len(blocker.surfaces) - 3} more" if len(blocker.surfaces) > 3 else ""  # noqa: PLR2004
    if blocker.holds is Holds.LATE:
        return f"the gun does not reach behind it: foam stays missing on {where}"
    task = blocker.task
    if task is not None and case.site.tasks[task].kind is TaskKind.APPROVAL:
        return f"the office may have it opened: foam is cut out on {where} and sprayed again"
    if _only_looks(case, blocker):
        return f"that look at what the foam hides is lost on {where}; no foam is cut for it"
    category = case.site.requirements[blocker.requirements[0]].category
    if category is Category.BEFORE:
        return f"{who.name} cuts foam open on {where}, and somebody fills it again"
    return f"the crew works in spite of it, at its own risk of a bad job on {where}"
