"""Kinds of work and written lines, merged into the stays of this job.

Invariant: a stay says everything the network needs of one work; what the job file writes wins over
a local rule, and a local rule over the usual row, except where the row is binding.
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, NamedTuple

from readiness.facts.rows import LeastEvidence
from readiness.facts.vocabulary import (
    Effect,
    Gate,
    Order,
    Proof,
    Protection,
    Role,
    Scope,
    SurfaceKind,
    Where,
)
from readiness.job.durations import Duration
from readiness.job.origin import Origin
from readiness.job.places import rooms_of, surfaces_of
from readiness.site.foam_owes import owed_stays
from readiness.site.places import SITE, Places, expanded

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping

    from readiness.facts.rows import Facts, RulePatch, UsualLink, WorkKind
    from readiness.job.job import Job
    from readiness.job.rows import LinkRow, WorkRow

BOARD = "hang-board"
"""The work whose first part is the board start."""

REFERENCE_FLOOR_SQUARE_FEET = 2400
"""Floor of the reference house that usual durations are told for."""

ROOM_FLOOR_SQUARE_FEET = 200
"""Floor of a room without a written area: the reference house has twelve rooms."""


class Wait(NamedTuple):
    """A link of a stay to an earlier stay, usual or written."""

    other: str
    from_start: bool
    into_finish: bool
    gap: Duration | None
    why: str
    written: bool
    """Somebody wrote it."""
    by_place: bool
    """Joins related parts; else exactly the two stays it names."""
    origin: Origin


class Demands(NamedTuple):
    """What the gates ask of a stay, an approval or a requirement."""

    effect: Effect
    due: Gate
    wanted_before: Duration | None
    fresh_for: Duration | None
    least: LeastEvidence
    override: Role | None
    binding: bool
    caution: str


class Stay(NamedTuple):
    """One coming of a trade, with its places as parts."""

    id: str
    title: str
    trade: str
    places: tuple[str, ...]
    order: Mapping[str, Order]
    """Foam order of each surface it touches; surfaces left out are free."""
    takes: Duration
    scaled: bool
    """The duration is that of the reference house and follows the floor area."""
    each: bool
    crews: int
    together: bool
    weights: Mapping[str, float]
    proof: Proof
    approval: str
    protection: Protection
    where: Where
    hot: bool
    sets: str
    waits: tuple[Wait, ...]
    demands: Demands
    why: str
    origin: Origin
    row: WorkRow | None

    def touches(self, places: Places, place: str) -> tuple[str, ...]:
        """Return the surfaces that a part at the place touches."""
        return tuple(surface for surface in places.surfaces_in[place] if surface in self.order)


class Dropped(NamedTuple):
    """A usual link that this job has no use for, and why."""

    work: str
    other: str
    reason: str


def stays_of(
    job: Job, facts: Facts, places: Places, origin_of: Callable[..., Origin]
) -> tuple[dict[str, Stay], tuple[Dropped, ...]]:
    """Return the stays by id, usual ones first, and the usual links that were dropped."""
    patches = _patches(job, facts)
    names = [
        name
        for name, kind in facts.work.items()
        if not job.card
        and job.work.get(name) is not False
        and (name in job.work or (job.kind is not None and job.kind in kind.usual_in))
    ]
    names += [name for name, row in job.work.items() if row is not False and name not in names]
    merger = _Merger(job, facts, places, origin_of, patches)
    found = {name: stay for name in names if (stay := merger.stay(name)) is not None}
    found |= owed_stays(job, facts, places, found, merger.stay)
    dropped = tuple(
        Dropped(stay.id, wait.other, _reason(wait.other, job, facts))
        for stay in found.values()
        for wait in stay.waits
        if not wait.written and wait.other not in found and wait.other not in facts.approvals
    )
    return found, dropped


def _reason(other: str, job: Job, facts: Facts) -> str:
    """Say why a usual link has nothing to wait for."""
    if job.work.get(other) is False:
        return f"{other} is switched off in the job file"
    kind = facts.work.get(other)
    if kind is not None and job.kind is not None and job.kind in kind.usual_in:
        return f"{other} has no place in this job"
    return f"{other} is not usual in this kind of job"


def _patches(job: Job, facts: Facts) -> dict[str, list[RulePatch]]:
    """Return the changes of the switched-on local rules by the work they change."""
    patches: dict[str, list[RulePatch]] = {}
    for rule in job.rules:
        for patch in facts.rules[rule].patches:
            if patch.work:
                patches.setdefault(patch.work, []).append(patch)
    return patches


class _Merger(NamedTuple):
    """Merges one kind of work with the local rules and the written line."""

    job: Job
    facts: Facts
    places: Places
    origin_of: Callable[..., Origin]
    patches: Mapping[str, list[RulePatch]]

    def stay(self, name: str, only: frozenset[str] | None = None) -> Stay | None:
        """Return the stay, or None if it has no place in this job.

        Args:
            name: Id of the work.
            only: The surfaces it is for; None means all that it touches.
        """
        kind = self.facts.work.get(name)
        written = self.job.work.get(name)
        row = written or None
        origin = self.origin_of("work", name) if row or kind is None else _of_row(name, kind)
        order = self._order(name, kind, row)
        if only is not None:
            order = {surface: order.get(surface, Order.CLOSING_UP) for surface in only}
        places = self._in_turn(self._places(kind, row, order), row)
        if not places:
            return None
        takes = (row.takes if row else None) or usual_duration(kind.takes if kind else "1 h")
        return Stay(
            id=name,
            title=(row.title if row else "") or (kind.title if kind else name.replace("-", " ")),
            trade=(row.trade if row else "") or (kind.trade if kind else "contractor"),
            places=places,
            order=order,
            takes=takes,
            scaled=kind is not None and not (row and row.takes) and not kind.each,
            each=kind is not None and kind.each and not (row and row.takes),
            crews=(row.crews_on if row else None) or 1,
            together=bool(row and row.together),
            weights=(row.weights if row else None) or {},
            proof=(row.proof if row else None) or self._proof(name, kind),
            approval=(row.approval if row else "") or self._approval(name, kind),
            protection=(row.protection if row else None)
            or (kind.protection if kind else Protection.NONE),
            where=(row.where if row else None) or (kind.where if kind else Where.INSIDE),
            hot=row.hot if row and row.hot is not None else bool(kind and kind.hot),
            sets=kind.sets if kind else "",
            waits=tuple(self._waits(name, kind, row)),
            demands=self._demands(kind, row),
            why=(row.note if row else "") or (kind.why if kind else ""),
            origin=origin,
            row=row,
        )

    def _approval(self, name: str, kind: WorkKind | None) -> str:
        """Return the approval that covers a work: a local rule's, else the usual one."""
        ruled = [patch.approval for patch in self.patches.get(name, ()) if patch.approval]
        return ruled[-1] if ruled else (kind.approval if kind else "")

    def _proof(self, name: str, kind: WorkKind | None) -> Proof:
        if any(patch.approval for patch in self.patches.get(name, ())):
            return Proof.APPROVED
        return kind.proof if kind else Proof.NONE

    def _order(self, name: str, kind: WorkKind | None, row: WorkRow | None) -> dict[str, Order]:
        """Return the foam order of every surface that the work may touch."""
        order: dict[str, Order] = {}
        for surface, surface_row in self.job.surfaces.items():
            usual = self._usual_order(name, kind, surface_row.is_)
            if usual is not None:
                order[surface] = usual
        if row is not None and isinstance(row.order, Order):
            order = dict.fromkeys(self.job.surfaces, row.order)
        elif row is not None and isinstance(row.order, dict):
            for place, value in row.order.items():
                order.update(dict.fromkeys(self._surfaces_named(place), value))
        return {
            surface: value
            for surface, value in order.items()
            if value not in (Order.FREE, Order.ON_THE_DAY)
        }

    def _surfaces_named(self, place: str) -> Iterable[str]:
        """Return the surfaces of a place, a group, or a kind of surface."""
        if place in set(SurfaceKind):
            return [name for name, row in self.job.surfaces.items() if row.is_ == place]
        return surfaces_of((place,), self.job)

    def _usual_order(self, name: str, kind: WorkKind | None, surface: SurfaceKind) -> Order | None:
        for patch in self.patches.get(name, ()):
            if patch.order is not None and (not patch.on or surface in patch.on):
                return patch.order
        if kind is None:
            return None
        for rule in kind.touches:
            if not rule.on or surface in rule.on:
                return rule.order
        return None

    def _places(
        self, kind: WorkKind | None, row: WorkRow | None, order: Mapping[str, Order]
    ) -> tuple[str, ...]:
        """Return the places of the parts: as written, else storey by storey, then by id."""
        scope = kind.scope if kind else Scope.ROOM
        if row is not None and row.in_ is not None:
            by_room = scope is not Scope.SURFACE
            return expanded(row.in_, self.job, self.places, rooms=by_room)
        if kind is None or scope in (Scope.SITE, Scope.HOUSE):
            return (SITE,)
        if scope is Scope.STOREY:
            return self.places.storeys or (SITE,)
        rooms = [
            room
            for room in self._by_storey(self.places.rooms)
            if not kind.rooms or self.job.rooms[room].is_ in kind.rooms
        ]
        if scope is Scope.ROOM:
            return tuple(
                room
                for room in rooms
                if not kind.only_where_it_touches
                or any(surface in order for surface in self.places.surfaces_in[room])
            )
        allowed = {surface for room in rooms for surface in self.places.surfaces_in[room]}
        return tuple(
            surface
            for surface in self._by_storey(self.places.surfaces)
            if surface in order and (not kind.rooms or surface in allowed)
        )

    def _in_turn(self, parts: tuple[str, ...], row: WorkRow | None) -> tuple[str, ...]:
        """Return the places of the parts, first those that are to be worked first."""
        if row is None or not row.first:
            return parts
        inside = self.places.members
        turns = [
            inside.get(name) or {*rooms_of((name,), self.job), *surfaces_of((name,), self.job)}
            for name in row.first
        ] + [set(parts)]
        return tuple(
            sorted(parts, key=lambda part: next(n for n, held in enumerate(turns) if part in held))
        )

    def _by_storey(self, names: tuple[str, ...]) -> list[str]:
        """Return places from bottom to top, then by id."""
        height = {storey: rank for rank, storey in enumerate(self.places.storeys)}
        return sorted(
            names,
            key=lambda place: (
                min(
                    (
                        height[around]
                        for around in self.places.containers[place]
                        if around in height
                    ),
                    default=-1,
                ),
                place,
            ),
        )

    def _waits(self, name: str, kind: WorkKind | None, row: WorkRow | None) -> Iterable[Wait]:
        dropped = set(row.waits_not_for) if row else set()
        for patch in self.patches.get(name, ()):
            dropped.update(patch.drop_links_from)
        if kind is not None:
            origin = _of_row(name, kind)
            for links, into_finish in ((kind.starts_after, False), (kind.finishes_after, True)):
                for link in links:
                    if (link.end_of or link.start_of) not in dropped:
                        yield _usual_wait(link, origin, into_finish=into_finish)
        for patch in self.patches.get(name, ()):
            for link in patch.starts_after:
                yield _usual_wait(link, Origin("rules", row=name), into_finish=False)
        if row is not None:
            yield from self._written_waits(name, row)

    def _written_waits(self, name: str, row: WorkRow) -> Iterable[Wait]:
        for key, rows, into_finish in (
            ("starts_after", row.starts_after, False),
            ("finishes_after", row.finishes_after, True),
        ):
            for number, written in enumerate(rows):
                origin = self.origin_of("work", name, key, number)
                yield _written_wait(written, origin, into_finish=into_finish)

    def _demands(self, kind: WorkKind | None, row: WorkRow | None) -> Demands:
        return Demands(
            effect=(row.effect if row else None) or (kind.effect if kind else Effect.STOPS_SURFACE),
            due=kind.due if kind else Gate.ROLL,
            wanted_before=duration_or_none(kind.wanted_before if kind else ""),
            fresh_for=None,
            least=kind.least if kind else LeastEvidence(),
            override=None
            if kind and kind.binding
            else (kind.override if kind else Role.CONTRACTOR),
            binding=bool(kind and kind.binding),
            caution=kind.caution if kind else "",
        )


def _usual_wait(link: UsualLink, origin: Origin, *, into_finish: bool) -> Wait:
    return Wait(
        other=link.end_of or link.start_of,
        from_start=bool(link.start_of),
        into_finish=into_finish,
        gap=duration_or_none(link.gap),
        why=link.why,
        written=False,
        by_place=True,
        origin=origin,
    )


def _written_wait(link: LinkRow, origin: Origin, *, into_finish: bool) -> Wait:
    return Wait(
        other=link.end_of or link.start_of,
        from_start=bool(link.start_of),
        into_finish=into_finish,
        gap=link.gap,
        why=link.why,
        written=True,
        by_place=link.each_place,
        origin=origin,
    )


def _of_row(name: str, kind: WorkKind) -> Origin:
    return Origin("work", row=name, status=kind.status, citation=kind.source)


def duration_or_none(text: str) -> Duration | None:
    """Return the duration of a row of facts, or None if it names none."""
    return usual_duration(text) if text else None


@cache
def usual_duration(text: str) -> Duration:
    """Return a duration of the tables of facts, which write a few of them hundreds of times."""
    return Duration.parse(text)
