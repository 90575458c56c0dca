"""Lists what could be sealed by hand: whole surfaces, and single bays behind what stands.

Of the methods that fit only one is offered for each, because to the day they are all the same: the
cheapest, and of those without a price the one that takes least.

Invariant: no surface is larger, and takes no more foam, than its method is done for; no bay is
offered behind what only a licensed trade may touch.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.facts.loader import load_by_hand
from readiness.job.foam_quantities import BoardFeet
from readiness.job.quantities import Area
from readiness.planning.change import Change, ChangeKind
from readiness.site.trip_tasks import SPRAY_TRADE

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from readiness.facts.by_hand_rows import HandMethod
    from readiness.gates.verdict import SurfaceVerdict
    from readiness.job.job import Job
    from readiness.planning.change import Charge
    from readiness.planning.prices import Prices
    from readiness.schedule.outlook import Outlook
    from readiness.site.site import Thing
    from readiness.telling.teller import Teller

SEEN_BY = "ask the office where it wants a look at what is sealed by hand"
LATER = (
    "it is done after the release; foam from it starts the keep-out again for everybody inside, "
    "as long as its own sheet says"
)


class ByHandListing:
    """Makes that part of the list."""

    def __init__(self, outlook: Outlook, trip: str, teller: Teller, prices: Prices) -> None:
        """Remember the forecast with the trip booked to the asked arrival."""
        self.outlook, self.trip, self.teller, self.prices = outlook, trip, teller, prices
        self.site = outlook.site

    def surfaces(self, held: Iterable[str], at: int) -> Iterator[Change]:
        """Yield the sealing of each held surface that is small enough for some method."""
        for surface in held:
            methods = self._cheapest_first(
                method for method in load_by_hand().values() if fits(method, surface, self.site.job)
            )
            if methods:
                yield self._seal(surface, methods, at)

    def bays(self, held: Iterable[SurfaceVerdict], at: int) -> Iterator[Change]:
        """Yield the reserving of the bay behind each thing that holds some surface up."""
        verdicts = tuple(held)
        methods = self._cheapest_first(m for m in load_by_hand().values() if m.in_bays)
        for thing in self.site.things.values():
            if not thing.kind.may_leave_bay:
                continue
            surfaces = tuple(
                verdict.surface for verdict in verdicts if self._is_held_by(verdict, thing)
            )
            if surfaces:
                yield self._bay(thing, surfaces, methods, at)

    def _is_held_by(self, verdict: SurfaceVerdict, thing: Thing) -> bool:
        """Say whether a thing stands in the way of a surface, will too soon, or is pulled late."""
        stands = any(c.task is None and c.stay == thing.id for c in verdict.late_by)
        requirements = self.site.requirements
        return stands or any(requirements[index].code == thing.id for index in verdict.failing)

    def _cheapest_first(self, methods: Iterable[HandMethod]) -> list[HandMethod]:
        """Return methods by their price, those without one last, else as the table has them."""

        def price(method: HandMethod) -> float:
            cents = self._charge(method, "", "").cents
            return float("inf") if cents is None else cents

        return sorted(methods, key=price)

    def _charge(self, method: HandMethod, key: str, what: str) -> Charge:
        """Return the charge of a method: its own price, else that of any sealing by hand."""
        row, price = self.prices.row, method.price
        if getattr(row, price) is None and row.seal is not None:
            price = "seal"
        return self.prices.charge(price, key, f"sealing {what} by hand")

    def _seal(self, surface: str, methods: list[HandMethod], at: int) -> Change:
        place, method = self.teller.place(surface), methods[0]
        return Change(
            id=f"seal:{surface}",
            kind=ChangeKind.SEAL,
            group=f"surface:{surface}",
            about=surface,
            at=at,
            fields=(self._reserved((surface,), method),),
            says=f"keep {place} out of the spraying and seal it by hand later, {method.says}",
            tells=frozenset({SPRAY_TRADE, method.done_by}),
            charges=(self._charge(method, f"seal:{surface}", place),),
            brings=(*_brings(methods), f"write down that {place} was sealed by hand, once it is"),
            caution=method.caution,
            surfaces=(surface,),
        )

    def _bay(
        self, thing: Thing, surfaces: tuple[str, ...], methods: list[HandMethod], at: int
    ) -> Change:
        method = methods[0]
        places = self.teller.surfaces(surfaces)
        where = places[0] if len(places) == 1 else f"{', '.join(places[:-1])} and {places[-1]}"
        bay = f"the bay behind {thing.title} at {where}"
        fields = {**self._reserved(surfaces, method), "behind": thing.id}
        return Change(
            id=f"bay:{thing.id}",
            kind=ChangeKind.BAY,
            group=f"pull:{thing.id}",
            about=thing.id,
            at=at,
            fields=(fields,),
            says=f"leave {thing.title} where it is, keep {bay} out of the spraying and seal it by "
            f"hand later, {method.says}",
            tells=frozenset({SPRAY_TRADE, method.done_by}),
            charges=(self._charge(method, f"bay:{thing.id}", bay),),
            brings=(
                *(self._sprayed(surface) for surface in surfaces),
                *_brings(methods),
                f"write down that {bay} was sealed by hand, once it is",
            ),
            caution=" ".join(filter(None, (thing.kind.caution, method.caution))),
        )

    def _reserved(self, surfaces: tuple[str, ...], method: HandMethod) -> dict[str, object]:
        return {
            "kind": "reserved",
            "trip": self.trip,
            "surfaces": list(surfaces),
            "follow_up": f"seal by hand {method.says}",
        }

    def _sprayed(self, surface: str) -> str:
        area = self.site.job.surfaces[surface].area
        of = f" of {area.in_units(self.site.job.units)}" if area is not None else ""
        return f"{self.teller.place(surface)}{of} is sprayed without that bay; mark and measure it"


def fits(method: HandMethod, surface: str, job: Job) -> bool:
    """Say whether a surface is of a kind, small and shallow enough for a method.

    Where no area is written, or no depth that the foam follows from, nobody can say.
    """
    row = job.surfaces[surface]
    most = method.on.get(row.is_)
    if most is None or row.area is None or row.area.square_feet > Area.parse(most).square_feet:
        return False
    if not method.most_foam:
        return True
    if row.depth is None:
        return False
    foam = row.area.square_feet * row.depth.inches
    return foam <= BoardFeet.parse(method.most_foam).board_feet


def _brings(methods: list[HandMethod]) -> tuple[str, ...]:
    """Return what comes with the first of the methods, and which others would do as well."""
    others = ", or ".join(method.says for method in methods[1:])
    return (
        *methods[0].entails,
        *((LATER,) if methods[0].foam else ()),
        *((f"or seal it {others}",) if others else ()),
        SEEN_BY,
    )
