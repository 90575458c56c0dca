"""The cheapest set of changes under the cuts so far, by the constraint solver.

Invariant: the set keeps every cut, holds at most one change of a group, contains no earlier way,
and no other set that does so has a smaller rank: cost, people to tell, changes, ids.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.planning.bill import is_priced
from readiness.planning.change import TAKES_OUT

if TYPE_CHECKING:
    from collections.abc import Iterable

    from ortools.sat.python.cp_model import CpModel, IntVar, LinearExprT

    from readiness.planning.change import Change, Offer
    from readiness.planning.cuts import Cut
    from readiness.planning.trip_area import TripArea
    from readiness.planning.trying import Chosen

SEED = 1
"""The same question gives the same answer."""


class Cheapest:
    """The model that grows by one clause for every cut and every way."""

    def __init__(self, offer: Offer, surfaces: int, area: TripArea | None = None) -> None:
        """Build the model of an offer.

        Args:
            offer: The list of changes.
            surfaces: How many surfaces the asked trip has; one has to stay in it.
            area: Their areas, for cuts that ask for a shorter trip.
        """
        from ortools.sat.python import cp_model

        self.offer = offer
        self.area = area
        self.model: CpModel = cp_model.CpModel()
        self._solver = cp_model.CpSolver()
        self._optimal = cp_model.OPTIMAL
        self._solver.parameters.random_seed = SEED
        self._solver.parameters.num_workers = 1
        self._vars: dict[str, IntVar] = {
            change.id: self.model.new_bool_var(change.id) for change in offer.changes
        }
        self._saves: dict[int, IntVar] = {}
        for group in dict.fromkeys(change.group for change in offer.changes):
            self.model.add_at_most_one(self._vars[c.id] for c in offer.changes if c.group == group)
        out = [len(c.surfaces) * self._vars[c.id] for c in offer.changes if c.kind in TAKES_OUT]
        if out:
            self.model.add(sum(out) <= surfaces - 1)
        self.model.minimize(self._rank())

    def _rank(self) -> LinearExprT:
        """Return the rank of a set as one number, the earlier parts weighing more."""
        changes = self.offer.changes
        positions = len(changes) * (len(changes) + 1) // 2 + 1
        people = self._shared({c.id: c.tells - self.offer.tells for c in changes})
        count_weight = positions
        people_weight = count_weight * (len(changes) + 1)
        cost_weight = people_weight * (len(people) + 1)
        terms = [
            (count_weight + number) * self._vars[change.id]
            for number, change in enumerate(changes, 1)
        ]
        terms += [people_weight * told for told in people.values()]
        if is_priced(self.offer):
            paid = {charge.key for charge in self.offer.charges}
            cents = {
                charge.key: charge.cents or 0 for change in changes for charge in change.charges
            }
            keys = {c.id: frozenset(ch.key for ch in c.charges) - paid for c in changes}
            for key, bought in self._shared(keys).items():
                terms.append(cost_weight * cents[key] * bought)
        return sum(terms)

    def _shared(self, needs: dict[str, frozenset[str]]) -> dict[str, IntVar]:
        """Return a variable for each thing that some change needs, on once one of them is."""
        found: dict[str, IntVar] = {}
        for name in sorted(frozenset().union(*needs.values())):
            found[name] = self.model.new_bool_var(name)
            for change, needed in needs.items():
                if name in needed:
                    self.model.add_implication(self._vars[change], found[name])
        return found

    def keep(self, cut: Cut) -> None:
        """Add a cut."""
        self.model.add_bool_or(
            [
                *(self._vars[name] for name in sorted(cut.any_of)),
                *(self._vars[name].negated() for name in sorted(cut.or_lacks)),
                *self._shorter(cut.saved_at_least),
            ]
        )

    def _shorter(self, at_least: int) -> list[IntVar]:
        """Return a variable that is on only if so much area is left to other trips."""
        if not at_least or self.area is None:
            return []
        if at_least not in self._saves:
            enough = self.model.new_bool_var(f"shorter:{at_least}")
            left = sum(
                self.area.of(change.surfaces) * self._vars[change.id]
                for change in self.offer.changes
                if change.kind in TAKES_OUT
            )
            self.model.add(left >= at_least).only_enforce_if(enough)
            self._saves[at_least] = enough
        return [self._saves[at_least]]

    def leave_behind(self, groups: Iterable[Iterable[Change]]) -> None:
        """Forbid every set that holds one change of each of the groups."""
        absent = []
        for number, group in enumerate(groups):
            members = [self._vars[change.id] for change in group]
            if len(members) == 1:
                absent.append(members[0].negated())
                continue
            none = self.model.new_bool_var(f"none:{len(self.model.proto.constraints)}:{number}")
            for member in members:
                self.model.add_implication(none, member.negated())
            absent.append(none)
        self.model.add_bool_or(absent)

    def solve(self) -> Chosen | None:
        """Return the best set, or None if there is none."""
        if self._solver.solve(self.model) != self._optimal:
            return None
        return frozenset(
            name for name, variable in self._vars.items() if self._solver.boolean_value(variable)
        )
