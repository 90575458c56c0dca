"""What the rules about foam say of each surface, as lines of an answer.

Invariant: a line keeps every mark of what it rests on; what follows from foam names the work of the
job that answers it, or says that there is none.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from readiness.facts.loader import load_foam
from readiness.foam.fire import fire_said
from readiness.foam.foam_spot import foam_spots_of, ruled_of
from readiness.foam.resistance import resistance_said
from readiness.foam.roofs import roof_said
from readiness.foam.said import State
from readiness.foam.surroundings import asked_of_the_job, ground_said, told_beside
from readiness.foam.uses import suited
from readiness.foam.walls import wall_said
from readiness.site.foam_works import ANSWERED_BY, works_at
from readiness.telling.teller import Who

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable

    from readiness.foam.foam_spot import FoamSpot
    from readiness.foam.said import Mark, Said
    from readiness.foam.uses import Suited
    from readiness.telling.case import Case


@dataclass(frozen=True, slots=True)
class MarkLine:
    """What a line rests on, and how far that was seen."""

    what: str
    """Title of the row, the figure of the sheet, or what was written."""
    status: str
    """How far its source was seen, or `product sheet`, `company rate` and so on."""
    source: str
    """Document, sheet or person."""


@dataclass(frozen=True, slots=True)
class RuleLine:
    """What one rule says of a surface; never a verdict of the office."""

    topic: str
    """What it is about."""
    state: str
    """Reached, not owed, owed, to ask, short, not known, not in our tables, or only told."""
    says: str
    asks: str
    """What is asked about it; empty if nothing."""
    who: Who | None
    """Who is asked; null if nobody is."""
    owes: str
    """What follows as work; empty if nothing."""
    answered_by: tuple[str, ...]
    """Works of the job that answer it."""
    rests_on: tuple[MarkLine, ...]
    """Rows, sheets and words that it used."""
    is_unverified: bool
    """Something it used was not seen where it is said to stand."""
    caution: str


@dataclass(frozen=True, slots=True)
class SuitLine:
    """Whether the class of foam suits the surface."""

    word: str
    """`suits`, `suits if`, `does not suit`, `allowed` or `not known`."""
    says: str
    rests_on: tuple[MarkLine, ...]
    """Rows, reports and words that it used."""


@dataclass(frozen=True, slots=True)
class FollowLine:
    """Work that follows from the foam of some surfaces."""

    what: str
    """A barrier, retarder, coating, ground sheet, look, or alarms."""
    surfaces: tuple[str, ...]
    names: tuple[str, ...]
    works: tuple[str, ...]
    """Works, approvals or requirements of the job that answer it; empty if none does."""
    gate: str
    """The gate that asks for it."""


ALARMS = "alarms-working"
"""The requirement about alarms in a house that foam makes tight."""


class FoamTeller:
    """Tells the foam of one case."""

    def __init__(self, case: Case) -> None:
        """Look the surfaces, their works and the tables up."""
        site = case.site
        self.case = case
        self.tables = load_foam()
        self.ruled = ruled_of(site.job, self.tables)
        self.works = works_at(site)
        self.spots = foam_spots_of(site.job, self.tables, site.facts.surfaces, self.works)

    def suit(self, surface: str) -> SuitLine:
        """Return whether the class suits a surface."""
        found: Suited = suited(self.spots[surface], self.ruled)
        return SuitLine(found.word, found.says, _marks(found.marks))

    def rules(self, surface: str) -> tuple[RuleLine, ...]:
        """Return what every rule says of a surface."""
        spot = self.spots[surface]
        return tuple(self._line(said, spot) for said in _all_said(spot, self))

    def of_the_job(self, surfaces: Iterable[str]) -> tuple[RuleLine, ...]:
        """Return what is asked once for all the surfaces."""
        spots = [self.spots[surface] for surface in surfaces]
        said = asked_of_the_job(spots, self.ruled, self.case.site.job.rules)
        return tuple(self._line(one, None) for one in said)

    def beside(self, surfaces: Iterable[str]) -> tuple[RuleLine, ...]:
        """Return the rules that are told and compared with nothing."""
        spots = [self.spots[surface] for surface in surfaces]
        return tuple(self._line(one, None) for one in told_beside(spots, self.ruled))

    def _line(self, said: Said, spot: FoamSpot | None) -> RuleLine:
        works = self.works[spot.surface] if spot is not None else ()
        answers = ANSWERED_BY.get(said.owes, ())
        return RuleLine(
            topic=said.topic,
            state=said.state.value,
            says=said.says,
            asks=said.asks,
            who=self._who(said.whom) if said.whom else None,
            owes=said.owes,
            answered_by=tuple(work for work in works if work in answers),
            rests_on=_marks(said.marks),
            is_unverified=any(mark.is_unverified for mark in said.marks),
            caution=said.caution,
        )

    def _who(self, whom: str) -> Who:
        job = self.case.site.job
        if whom == "office" and job.offices:
            return self.case.teller.who(next(iter(job.offices)))
        return self.case.teller.who(whom)

    def follows(self, surfaces: Collection[str]) -> tuple[FollowLine, ...]:
        """Return the work that follows, alike surfaces together, first what no work answers."""
        found: dict[tuple[str, tuple[str, ...]], list[str]] = {}
        for surface in surfaces:
            for line in self.rules(surface):
                if line.owes and line.state in (State.OWED, State.UNKNOWN, State.NO_ROW):
                    found.setdefault((line.owes, line.answered_by), []).append(surface)
        lines = [
            FollowLine(
                what=what,
                surfaces=tuple(dict.fromkeys(places)),
                names=self.case.teller.surfaces(dict.fromkeys(places)),
                works=works,
                gate="roll" if what == "ground sheet" else "board",
            )
            for (what, works), places in found.items()
        ]
        lines += self._looks_and_alarms(frozenset(surfaces))
        return tuple(sorted(lines, key=lambda line: bool(line.works)))

    def _looks_and_alarms(self, surfaces: frozenset[str]) -> Iterable[FollowLine]:
        """Yield the looks at the foam itself and the alarms, as the job has them."""
        site, names = self.case.site, self.case.teller.surfaces
        for approval in site.approvals:
            mine = tuple(surface for surface in approval.looks if surface in surfaces)
            if mine and not approval.before_foam:
                yield FollowLine("look", mine, names(mine), (approval.id,), "board")
        for one in site.requirements:
            mine = tuple(surface for surface in one.surfaces if surface in surfaces)
            if mine and one.code == ALARMS:
                yield FollowLine("alarms", mine, names(mine), (one.code,), "board")


def _all_said(spot: FoamSpot, teller: FoamTeller) -> Iterable[Said]:
    for rule in (resistance_said, wall_said, roof_said, fire_said, ground_said):
        yield from rule(spot, teller.ruled)


def _marks(marks: Iterable[Mark]) -> tuple[MarkLine, ...]:
    return tuple(MarkLine(mark.what, mark.status, mark.source) for mark in dict.fromkeys(marks))
