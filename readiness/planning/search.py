"""Finds the best ways: the solver proposes, the forecast and the gate judge, refusals become cuts.

Before a cut is added it is grown: changes that help and harm no chain are taken into the set as
long as it still fails, and so leave the cut. That way one refusal speaks for many sets.

Invariant: a way works, no change of it can be left out, and nothing cheaper that contains no
earlier way works.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from readiness.planning.change import OF_A_TRADE, TAKES_OUT, ChangeKind
from readiness.planning.cuts import Cut, cuts_of
from readiness.planning.harmless import harmless_of
from readiness.planning.refusals import refusals_of

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.planning.change import Change
    from readiness.planning.cheapest import Cheapest
    from readiness.planning.refusals import Refusal
    from readiness.planning.trying import Attempt, Chosen, Trying

MOST_WAYS = 5
MOST_FORECASTS_TO_THE_FIRST = 400
"""After so many forecasts without a way the search ends and says that it was not finished."""
MOST_FORECASTS = 1500
"""After so many forecasts no further way is looked for."""

VARIANTS = frozenset({ChangeKind.BOOK, ChangeKind.PULL, ChangeKind.ARRIVE}) | OF_A_TRADE
"""Kinds whose changes about one thing differ by date alone: such a pair is one way, not two."""


def apart_from_its_date(change: Change) -> str:
    """Return what a change is, whichever of the dates on the list it has."""
    return f"{change.kind}:{change.about}" if change.kind in VARIANTS else change.id


@dataclass(frozen=True, slots=True)
class Found:
    """What a search has come to."""

    ways: tuple[Attempt, ...]
    """The best first."""
    proof: tuple[Cut, ...]
    """If there is no way: cuts that no set keeps together, none of them to spare."""
    forecasts: int
    finished: bool
    """Nothing was left unsearched among the ways told."""


class Search:
    """The search over the changes of one offer."""

    def __init__(self, trying: Trying) -> None:
        """Remember what tries the sets."""
        self.trying = trying
        self.harmless = harmless_of(trying)
        self.cuts: list[Cut] = []
        self._kept: set[tuple[Chosen, Chosen, int]] = set()
        self._made: dict[Chosen, tuple[Cut, ...]] = {}
        self._refused: dict[Chosen, tuple[Refusal, ...]] = {}
        self.finished = True
        self.surfaces = len(trying.attempt(frozenset()).asked_surfaces)

    def run(self, most: int = MOST_WAYS) -> Found:
        """Return the best ways."""
        first = self.trying.attempt(frozenset())
        if first.works:
            return Found((first,), (), self.trying.forecasts, finished=True)
        self._grow_and_keep(first, None)
        if any(cut.is_empty for cut in self.cuts):
            return self._nothing()
        from readiness.planning.cheapest import Cheapest

        model = Cheapest(self.trying.offer, self.surfaces, self.trying.area)
        for cut in self.cuts:
            model.keep(cut)
        ways: list[Attempt] = []
        while len(ways) < most:
            most_forecasts = MOST_FORECASTS if ways else MOST_FORECASTS_TO_THE_FIRST
            way = self._next(model, most_forecasts)
            if way is None:
                break
            ways.append(way)
            model.leave_behind(self._alike(change) for change in self.trying.changes(way.chosen))
        if not ways and self.finished:
            return self._nothing()
        return Found(tuple(ways), (), self.trying.forecasts, finished=self.finished)

    def _next(self, model: Cheapest, most_forecasts: int) -> Attempt | None:
        """Return the best set that works; None if none does, or too many forecasts were made."""
        while True:
            if self.trying.forecasts >= most_forecasts:
                self.finished = False
                return None
            chosen = model.solve()
            if chosen is None:
                return None
            attempt = self.trying.attempt(chosen)
            if attempt.works:
                return attempt
            self._grow_and_keep(attempt, model)

    def _alike(self, change: Change) -> list[Change]:
        """Return a change and those that differ from it by their date alone."""
        what = apart_from_its_date(change)
        return [c for c in self.trying.offer.changes if apart_from_its_date(c) == what]

    def _grow_and_keep(self, attempt: Attempt, model: Cheapest | None) -> None:
        """Add the cuts of an attempt that fails, and those of the sets it can be grown to."""
        self._keep(attempt, model)
        for surface in dict.fromkeys(r.surface for r in self._refusals_of(attempt)):
            self._keep(self._grown(attempt, surface), model)

    def _refusals_of(self, attempt: Attempt) -> tuple[Refusal, ...]:
        """Return why an attempt fails, asked once."""
        if attempt.chosen not in self._refused:
            self._refused[attempt.chosen] = refusals_of(attempt)
        return self._refused[attempt.chosen]

    def _cuts_of(self, attempt: Attempt) -> tuple[Cut, ...]:
        """Return the cuts of an attempt, made once."""
        if attempt.chosen not in self._made:
            self._made[attempt.chosen] = cuts_of(self.trying, attempt, self._refusals_of(attempt))
        return self._made[attempt.chosen]

    def _keep(self, attempt: Attempt, model: Cheapest | None) -> None:
        for cut in self._cuts_of(attempt):
            if cut.key not in self._kept:
                self._kept.add(cut.key)
                self.cuts.append(cut)
                if model is not None:
                    model.keep(cut)

    def _grown(self, attempt: Attempt, surface: str) -> Attempt:
        """Return the attempt with what helps and harms nothing, as far as it still fails there.

        The other surfaces first: what holds one up is plainest when they are left elsewhere.
        """
        wanted = self._wanted(attempt, surface)
        taken = {s for c in self.trying.changes(attempt.chosen) for s in c.surfaces}
        alone = tuple(
            change
            for change in self.trying.changes(wanted & self.harmless.keys())
            if change.kind in TAKES_OUT
            and surface not in change.surfaces
            and not taken & set(change.surfaces)
        )
        attempt = self._extended(attempt, alone, surface)
        while True:
            added = self._helping(attempt, surface)
            if not added:
                return attempt
            before = attempt
            attempt = self._extended(attempt, added, surface)
            if len(attempt.chosen) < len(before.chosen) + len(added):
                return attempt

    def _extended(self, attempt: Attempt, added: tuple[Change, ...], surface: str) -> Attempt:
        """Return the attempt with as much of the changes as leaves the surface refused.

        All at once first; where that lets it pass, each half by itself.
        """
        if not added:
            return attempt
        whole = self.trying.attempt(self._with(attempt.chosen, added))
        if any(refusal.surface == surface for refusal in self._refusals_of(whole)):
            return whole
        if len(added) == 1:
            return attempt
        half = len(added) // 2
        first = self._extended(attempt, added[:half], surface)
        return self._extended(first, added[half:], surface)

    def _wanted(self, attempt: Attempt, surface: str) -> Chosen:
        """Return what the cuts of a surface ask for."""
        cuts = (cut for cut in self._cuts_of(attempt) if cut.refusal.surface == surface)
        return frozenset[str]().union(*(cut.any_of for cut in cuts))

    def _helping(self, attempt: Attempt, surface: str) -> tuple[Change, ...]:
        """Return the harmless changes that a cut of the surface asks for, one of each group."""
        wanted = self._wanted(attempt, surface)
        best: dict[str, Change] = {}
        for change in self.trying.changes(wanted & self.harmless.keys()):
            if change.kind in TAKES_OUT:
                continue
            other = best.get(change.group)
            if other is None or self.harmless[change.id] > self.harmless[other.id]:
                best[change.group] = change
        chosen = {c.group: c for c in self.trying.changes(attempt.chosen)}
        return tuple(
            change
            for change in best.values()
            if change.group not in chosen
            or (
                chosen[change.group].id in self.harmless
                and self.harmless[change.id] > self.harmless[chosen[change.group].id]
            )
        )

    def _with(self, chosen: Chosen, added: Iterable[Change]) -> Chosen:
        """Return a set with changes added, each in the place of another one of its group."""
        groups = {change.group: change.id for change in self.trying.changes(chosen)}
        groups.update({change.group: change.id for change in added})
        return frozenset(groups.values())

    def _nothing(self) -> Found:
        return Found((), self._proof(), self.trying.forecasts, finished=True)

    def _proof(self) -> tuple[Cut, ...]:
        """Return cuts that no set keeps together, none to spare, by leaving out one after another.

        An empty cut is a proof alone.
        """
        alone = next((cut for cut in self.cuts if cut.is_empty), None)
        if alone is not None:
            return (alone,)
        from readiness.planning.cheapest import Cheapest

        needed = list(self.cuts)
        for cut in reversed(self.cuts):
            rest = [other for other in needed if other is not cut]
            model = Cheapest(self.trying.offer, self.surfaces, self.trying.area)
            for other in rest:
                model.keep(other)
            if model.solve() is None:
                needed = rest
        return tuple(needed)
