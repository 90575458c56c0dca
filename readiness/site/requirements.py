"""What the gates ask, laid out over the places of this job.

Invariant: everything that must come before the spray of a surface, and has an item in the
network, has exactly one requirement per item, so a refusal always names what holds it up.
"""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

from readiness.facts.rows import LeastEvidence
from readiness.facts.vocabulary import LEFT_OUT, Category, Effect, Gate, Role, Scope
from readiness.job.origin import Origin
from readiness.site.answers import questions_of_things
from readiness.site.applying import applying_kinds
from readiness.site.foam_owes import foam_class
from readiness.site.places import SITE
from readiness.site.site import Requirement
from readiness.site.stays import Demands, duration_or_none
from readiness.site.work_tasks import before

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from readiness.facts.rows import ApprovalKind, Facts, RequirementKind
    from readiness.job.job import Job
    from readiness.job.rows import RequirementChange
    from readiness.site.drawing import Drawing
    from readiness.site.site import ApprovalTasks, Thing


HIDDEN_WORK = "hidden-work-in"
"""The requirement that stands for all hidden work where there is no network of it."""


class RequirementDrawer:
    """Collects the requirements of a site in a stable order."""

    def __init__(self, drawing: Drawing, trip_of: Mapping[str, str]) -> None:
        """Remember the drawing; only surfaces of a trip can be held up."""
        self.drawing = drawing
        self.trip_of = trip_of
        self.found: list[Requirement] = []

    def of_work(self) -> None:
        """Add one requirement for every part that belongs before some surface."""
        for index in self.drawing.orders:
            surfaces = tuple(s for s in before(self.drawing, index) if s in self.trip_of)
            if surfaces:
                task = self.drawing.tasks[index]
                stay = self.drawing.stays[task.stay]
                self.add(
                    code=stay.id,
                    title=f"{stay.title} is done",
                    place=task.place,
                    surfaces=surfaces,
                    category=Category.BEFORE,
                    task=index,
                    clears=stay.trade,
                    demands=stay.demands,
                    why=stay.why,
                    origin=stay.origin,
                )

    def of_approvals(
        self,
        approvals: Iterable[ApprovalTasks],
        kinds: Mapping[str, ApprovalKind],
        office_of: Mapping[str, str],
    ) -> None:
        """Add one requirement for every look that must pass before the spray."""
        for approval in approvals:
            kind = kinds[approval.id]
            if kind.after_spray or not approval.before_foam:
                continue
            for surface, look in approval.looks.items():
                self.add(
                    code=approval.id,
                    title=f"{kind.title} is passed",
                    place=surface,
                    surfaces=(surface,),
                    category=Category.BEFORE,
                    task=look,
                    clears=office_of[approval.id],
                    demands=demands_of(kind, None),
                    why=kind.why,
                    origin=self.drawing.tasks[look].origin,
                )

    def of_things(self, things: Iterable[Thing]) -> None:
        """Add one requirement for every thing that is or will be in the way."""
        for thing in things:
            surfaces = tuple(s for s in thing.blocks if s in self.trip_of)
            if not surfaces:
                continue
            self.add(
                code=thing.id,
                title=f"{thing.title} is out of the way",
                place=thing.place,
                surfaces=surfaces,
                category=Category.BEFORE if thing.fixed else Category.PREPARATION,
                task=thing.pull,
                clears=thing.kind.pull_trade,
                demands=_thing_demands(thing),
                why=thing.kind.title,
                origin=thing.origin,
                takes=None if thing.fixed else str(thing.takes),
            )

    def of_card(self) -> None:
        """Add what a site card must ask because no network of work can tell it.

        Every approval before the foam, that nothing is still to come behind it, and that nothing
        stands in front of it.
        """
        job, facts = self.drawing.job, self.drawing.facts
        hidden = facts.requirements.get(HIDDEN_WORK)
        if hidden is not None:
            for place, surfaces in self._laid_out(hidden):
                self._add_usual(HIDDEN_WORK, hidden, None, place, surfaces)
        everything = tuple(sorted(self.trip_of, key=self.drawing.places.surfaces.index))
        for name, kind in looks_of_card(job, facts):
            for surface in everything:
                self.add(
                    code=name,
                    title=f"{kind.title} is passed",
                    place=surface,
                    surfaces=(surface,),
                    category=Category.BEFORE,
                    task=None,
                    clears="contractor",
                    demands=demands_of(kind, None),
                    why=kind.why,
                    origin=Origin("approvals", row=name, status=kind.status, citation=kind.source),
                    question=f"{kind.title}: passed, for which surfaces?",
                )
        self._of_things_unknown(everything)

    def _of_things_unknown(self, everything: tuple[str, ...]) -> None:
        """Add each question about things in the way, on the surfaces that such a thing blocks."""
        job, facts = self.drawing.job, self.drawing.facts
        for name, kind in questions_of_things().items():
            things = [facts.obstructions[thing] for thing in kind.obstructions]
            blocked = {on for thing in things for on in thing.blocks}
            names = [f"{thing.title[:1].lower()}{thing.title[1:]}" for thing in things]
            surfaces = tuple(s for s in everything if job.surfaces[s].is_ in blocked)
            if surfaces:
                self.add(
                    code=name,
                    title=f"Out of the way: {', '.join(names)}",
                    place=SITE,
                    surfaces=surfaces,
                    category=Category.PREPARATION,
                    task=None,
                    clears="contractor",
                    demands=STANDS_IN_THE_WAY,
                    why="What stands in front of the foam is pulled before the gun comes.",
                    origin=Origin("questions", row=name, status=kind.status, citation=kind.source),
                    question=kind.title,
                )

    def of_facts(self) -> None:
        """Add the usual requirements that only evidence can meet, over their places."""
        drawing = self.drawing
        works = frozenset(drawing.stays)
        for name, kind in applying_kinds(drawing.job, drawing.facts, works):
            if name == LEFT_OUT:
                # Asked only where something is left out
                continue
            change = drawing.job.requirements.get(name)
            if kind.scope is Scope.READING and kind.reading is not None:
                self._add_spots(name, kind, change or None)
                continue
            for place, surfaces in self._laid_out(kind):
                self._add_usual(name, kind, change or None, place, surfaces)

    def _add_spots(
        self, name: str, kind: RequirementKind, change: RequirementChange | None
    ) -> None:
        """Add one requirement for each spot to read, trip by trip."""
        from readiness.facts.loader import load_exposures
        from readiness.foam.groups import groups_of
        from readiness.foam.spots import spots_of

        assert kind.reading is not None  # noqa: S101  only called for what is read
        job, exposures = self.drawing.job, load_exposures()
        fits = self._fitting(kind)
        for trip in dict.fromkeys(self.trip_of[surface] for surface in fits):
            of_trip = [surface for surface in fits if self.trip_of[surface] == trip]
            for spot in spots_of(groups_of(job, of_trip, exposures), kind.reading):
                surfaces = tuple(s for s in of_trip if any(s in group for group in spot.surfaces))
                self._add_usual(name, kind, change, spot.surface, surfaces, spot.surfaces)

    def _add_usual(  # noqa: PLR0913, PLR0917  a requirement is nothing but its fields
        self,
        name: str,
        kind: RequirementKind,
        change: RequirementChange | None,
        place: str,
        surfaces: tuple[str, ...],
        groups: tuple[tuple[str, ...], ...] = (),
    ) -> None:
        origin = (
            self.drawing.origin_of("requirements", name)
            if change
            else Origin("requirements", row=name, status=kind.status, citation=kind.source)
        )
        self.add(
            code=name,
            title=kind.title,
            place=place,
            surfaces=surfaces,
            category=kind.category,
            task=None,
            clears=kind.clears,
            demands=demands_of(kind, change),
            why=kind.why,
            origin=origin,
            takes=kind.takes,
            question=kind.question,
            kind=kind,
            change=change,
            groups=groups,
        )

    def _fitting(self, kind: RequirementKind) -> list[str]:
        """Return the surfaces of trips that a requirement is about, in the order of the job."""
        job, places = self.drawing.job, self.drawing.places
        fits = [
            surface
            for surface in self.trip_of
            if (not kind.on or job.surfaces[surface].is_ in kind.on)
            and (not kind.foam or foam_class(job, surface) in {None, kind.foam})
            and (not kind.only_bare or surface not in self._behind_a_barrier)
        ]
        return sorted(fits, key=places.surfaces.index)

    @cached_property
    def _behind_a_barrier(self) -> frozenset[str]:
        """Return the surfaces over which some work of this job puts a fire barrier."""
        drawing = self.drawing
        barriers = {name for name, kind in drawing.facts.work.items() if kind.fire_barrier}
        return frozenset(
            surface
            for task, orders in drawing.orders.items()
            if drawing.tasks[task].stay in barriers
            for surface in orders
        )

    def _laid_out(self, kind: RequirementKind) -> Iterable[tuple[str, tuple[str, ...]]]:
        """Yield the places of a requirement with the surfaces that it holds up."""
        job, places = self.drawing.job, self.drawing.places
        fits = self._fitting(kind)
        if kind.scope is Scope.SURFACE:
            yield from ((surface, (surface,)) for surface in fits)
        elif kind.scope is Scope.ROOM:
            for room in places.rooms:
                inside = tuple(s for s in fits if room in places.rooms_of_surface[s])
                if inside and (not kind.rooms or job.rooms[room].is_ in kind.rooms):
                    yield room, inside
        elif kind.scope is Scope.STOREY and places.storeys:
            for storey in places.storeys:
                inside = tuple(s for s in fits if s in places.members[storey])
                if inside:
                    yield storey, inside
        elif fits:
            yield SITE, tuple(fits)

    def add(  # noqa: PLR0913  a requirement is nothing but its fields
        self,
        *,
        code: str,
        title: str,
        place: str,
        surfaces: tuple[str, ...],
        category: Category,
        task: int | None,
        clears: str,
        demands: Demands,
        why: str,
        origin: Origin,
        takes: str | None = None,
        question: str = "",
        kind: RequirementKind | None = None,
        change: RequirementChange | None = None,
        groups: tuple[tuple[str, ...], ...] = (),
    ) -> None:
        """Add one requirement."""
        self.found.append(
            Requirement(
                index=len(self.found),
                code=code,
                title=title,
                place=place,
                surfaces=surfaces,
                category=category,
                task=task,
                clears=clears,
                takes=duration_or_none(takes or ""),
                demands=demands,
                question=question,
                reading=kind.reading if kind else None,
                at_most=(change.at_most if change else "") or (kind.at_most if kind else ""),
                at_least=(change.at_least if change else "") or (kind.at_least if kind else ""),
                groups=groups,
                check=bool(kind and kind.check),
                measured=bool(kind and kind.measured),
                why=why,
                origin=origin,
            )
        )


def looks_of_card(job: Job, facts: Facts) -> Iterator[tuple[str, ApprovalKind]]:
    """Yield the approvals before the foam that a site card asks about."""
    for name, kind in facts.approvals.items():
        if not kind.after_spray and (job.kind is None or job.kind in kind.usual_in):
            yield name, kind


def demands_of(kind: RequirementKind | ApprovalKind, change: RequirementChange | None) -> Demands:
    """Return what the gates ask of a row of facts, as changed by the job file."""
    return Demands(
        effect=(change.effect if change else None) or kind.effect,
        due=(change.due if change else None) or kind.due,
        wanted_before=(change.wanted_before if change else None)
        or duration_or_none(kind.wanted_before),
        fresh_for=duration_or_none(kind.fresh_for),
        least=kind.least,
        override=None if kind.binding else kind.override,
        binding=kind.binding,
        caution=kind.caution,
    )


STANDS_IN_THE_WAY = Demands(
    effect=Effect.STOPS_SURFACE,
    due=Gate.ROLL,
    wanted_before=None,
    fresh_for=None,
    least=LeastEvidence(),
    override=Role.CONTRACTOR,
    binding=False,
    caution="",
)
"""What the gates ask of anything that stands in the way of the gun."""


def _thing_demands(thing: Thing) -> Demands:
    return STANDS_IN_THE_WAY._replace(caution=thing.kind.caution)
