"""The looks of the offices: one task for each surface, all of one trip in one slot.

Invariant: a surface needs only the approvals for work hidden in it, plus framing there, so that an
early trip can go ahead on an approval for part.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.facts.vocabulary import Order
from readiness.job.origin import Origin
from readiness.job.places import surfaces_of
from readiness.job.rows import OfficeRow
from readiness.site.places import SITE
from readiness.site.site import ApprovalTasks
from readiness.site.task import TaskKind

if TYPE_CHECKING:
    from collections.abc import Mapping

    from readiness.facts.rows import ApprovalKind
    from readiness.job.job import Job
    from readiness.site.drawing import Drawing
    from readiness.site.site import TripTasks

SLOTS = "slots of "
HOURS = "office hours of "


def approval_kinds_of(drawing: Drawing) -> dict[str, ApprovalKind]:
    """Return the approvals of this job, in the order in which they must be given."""
    job = drawing.job
    if job.card:
        return {}
    return {
        name: kind
        for name, kind in drawing.facts.approvals.items()
        if job.approvals.get(name) is not False
        and (name in job.approvals or (job.kind is not None and job.kind in kind.usual_in))
    }


def offices_of(job: Job) -> dict[str, OfficeRow]:
    """Return the written offices, or one usual office."""
    return dict(job.offices) or {"office": OfficeRow(name="the building office")}


def office_for(approval: str, kind: ApprovalKind, offices: Mapping[str, OfficeRow]) -> str:
    """Return the office that gives an approval: named for it, of its kind, else the first."""
    for name, row in offices.items():
        if approval in row.for_:
            return name
    return kind.office if kind.office in offices else next(iter(offices))


class ApprovalDrawer:
    """Adds the tasks of all approvals to a drawing."""

    def __init__(
        self,
        drawing: Drawing,
        trips: Mapping[str, TripTasks],
        kinds: Mapping[str, ApprovalKind],
        office_of: Mapping[str, str],
    ) -> None:
        """Remember what the looks are joined to."""
        self.drawing = drawing
        self.trips = trips
        self.kinds = kinds
        self.office_of = office_of
        self.done: list[ApprovalTasks] = []
        self._covered_by = _tasks_by_approval(drawing)

    def draw(self) -> tuple[ApprovalTasks, ...]:
        """Add every approval for every trip; earlier approvals first."""
        for approval in _in_order(self.kinds):
            for trip in self.trips.values():
                self._draw(approval, trip)
        return tuple(self.done)

    def left_out(self, surfaces: frozenset[str]) -> dict[str, dict[str, tuple[int, ...]]]:
        """Return the work before the foam on surfaces that get none, by approval and surface.

        A look that passed there says as much of that work as one where foam comes.
        """
        found = {
            approval: {
                surface: tasks
                for surface in self.drawing.job.surfaces
                if surface in surfaces and (tasks := self._covered(approval, surface, Order.BEFORE))
            }
            for approval in self.kinds
        }
        return {approval: covers for approval, covers in found.items() if covers}

    def _draw(self, approval: str, trip: TripTasks) -> None:
        kind = self.kinds[approval]
        wanted = Order.CLOSING_UP if kind.after_spray else Order.BEFORE
        covers = {surface: self._covered(approval, surface, wanted) for surface in trip.surfaces}
        asked = [
            surface
            for surface in trip.surfaces
            if covers[surface] or kind.after_spray or self._framed(kind, surface)
        ]
        if asked:
            found = {surface: covers[surface] for surface in asked}
            parts = self._parts(approval, found) if not kind.after_spray else [found]
            first = 1 if len(parts) > 1 else 0
            for number, part in enumerate(parts, first):
                self._draw_looks(
                    approval, trip, part, before_foam=not kind.after_spray, part=number
                )
        in_front = {
            surface: tasks
            for surface in trip.surfaces
            if (tasks := self._covered(approval, surface, Order.AFTER))
        }
        if in_front:
            self._draw_looks(approval, trip, in_front, before_foam=False)

    def _parts(
        self, approval: str, found: Mapping[str, tuple[int, ...]]
    ) -> list[dict[str, tuple[int, ...]]]:
        """Return the surfaces that are looked at in one slot, those asked for in part first."""
        left = dict(found)
        parts = []
        for row in self.drawing.job.approvals.get(approval) or ():
            if row.part:
                asked = surfaces_of(row.surfaces, self.drawing.job)
                parts.append({surface: left.pop(surface) for surface in asked if surface in left})
        return [part for part in (*parts, left) if part]

    def _covered(self, approval: str, surface: str, order: Order) -> tuple[int, ...]:
        return tuple(
            index
            for index in self._covered_by.get(approval, ())
            if self.drawing.orders[index].get(surface) is order
        )

    def _framed(self, kind: ApprovalKind, surface: str) -> bool:
        row = self.drawing.facts.surfaces.get(self.drawing.job.surfaces[surface].is_)
        return kind.covers_framing and (row is None or row.framed)

    def _draw_looks(
        self,
        approval: str,
        trip: TripTasks,
        covers: Mapping[str, tuple[int, ...]],
        *,
        before_foam: bool,
        part: int = 0,
    ) -> None:
        drawing, kind = self.drawing, self.kinds[approval]
        behind_foam = before_foam or kind.after_spray
        origin = (
            drawing.origin_of("approvals", approval)
            if approval in drawing.job.approvals
            else Origin("approvals", row=approval, status=kind.status, citation=kind.source)
        )
        complete = drawing.task(
            f"{_told(approval, behind_foam=behind_foam)}:work complete:{trip.id}"
            + (f":part {part}" if part else ""),
            TaskKind.MILESTONE,
            f"work for {kind.title} complete",
            stay=f"approval:{approval}",
            place=SITE,
            origin=origin,
        )
        looks, corrections = {}, {}
        for surface in covers:
            name = _told(approval, behind_foam=behind_foam)
            correction = self._task(approval, name, surface, "correction", origin)
            look = self._task(approval, name, surface, "look", origin)
            drawing.link(complete, correction, "all of it is looked at in one slot", origin)
            drawing.link(correction, look, "corrected before it is seen again", origin)
            if not before_foam:
                self._wait_for_foam(trip, surface, look)
            else:
                drawing.link(look, trip.sprays[surface], "approved before it is hidden", origin)
            corrections[surface], looks[surface] = correction, look
        for index in dict.fromkeys(task for tasks in covers.values() for task in tasks):
            drawing.link(
                index, complete, "must be complete for the look", drawing.tasks[index].origin
            )
        if not before_foam:
            drawing.link(trip.release, complete, "not before the release", origin)
        if behind_foam:
            self._wait_for_earlier(kind, trip, complete, set(covers), origin)
        self.done.append(
            ApprovalTasks(
                approval, trip.id, complete, looks, corrections, covers, before_foam, part
            )
        )

    def _wait_for_foam(self, trip: TripTasks, surface: str, look: int) -> None:
        origin = self.drawing.tasks[look].origin
        self.drawing.link(trip.release, look, f"after the foam on {surface}", origin)

    def _wait_for_earlier(
        self, kind: ApprovalKind, trip: TripTasks, complete: int, surfaces: set[str], origin: Origin
    ) -> None:
        for earlier in self.done:
            in_time = earlier.before_foam or kind.after_spray
            if earlier.id in kind.after and earlier.trip == trip.id and in_time:
                for surface, look in earlier.looks.items():
                    if surface in surfaces:
                        self.drawing.link(look, complete, "this look comes later", origin)

    def _task(self, approval: str, name: str, surface: str, step: str, origin: Origin) -> int:
        kind = self.kinds[approval]
        is_look = step == "look"
        return self.drawing.task(
            f"{name}@{surface}" if is_look else f"{name}:correction@{surface}",
            TaskKind.APPROVAL if is_look else TaskKind.CORRECTION,
            kind.title if is_look else f"correct what {kind.title} failed",
            stay=f"approval:{approval}",
            place=surface,
            origin=origin,
            trade=None if is_look else kind.correction_trade,
            calendar=self.drawing.calendar(
                SLOTS + self.office_of[approval] if is_look else kind.correction_trade
            ),
            minutes=1 if is_look else 0,
            surfaces=frozenset({surface}),
        )


def _tasks_by_approval(drawing: Drawing) -> dict[str, list[int]]:
    """Return the tasks of the work that each approval covers, in their order."""
    found: dict[str, list[int]] = {}
    for index in drawing.orders:
        stay = drawing.stays[drawing.tasks[index].stay]
        found.setdefault(stay.approval, []).append(index)
    return found


def _told(approval: str, *, behind_foam: bool) -> str:
    """Return the id of a look; one at what runs in front of the foam is a look of its own."""
    return approval if behind_foam else f"{approval}:in front of the foam"


def _in_order(kinds: Mapping[str, ApprovalKind]) -> list[str]:
    """Return the approvals so that each comes after those it waits for."""
    ordered: dict[str, None] = {}

    def add(name: str) -> None:
        for earlier in kinds[name].after:
            if earlier in kinds and earlier not in ordered:
                add(earlier)
        ordered[name] = None

    for name in kinds:
        add(name)
    return list(ordered)
