"""The tasks of each trip, from the rig's arrival to the release.

Invariant: work joins the spray of a surface only if it belongs before that surface, and a release
joins only work that belongs after it.
"""

from __future__ import annotations

import itertools
from math import ceil
from typing import TYPE_CHECKING

from readiness.job.durations import Duration
from readiness.job.origin import Origin
from readiness.job.places import resolve, surfaces_of
from readiness.job.trip_rows import TripRow
from readiness.site.parts import floor_square_feet, shared, surface_square_feet
from readiness.site.places import SITE
from readiness.site.site import TripTasks
from readiness.site.stays import REFERENCE_FLOOR_SQUARE_FEET
from readiness.site.task import TaskKind
from readiness.site.work_tasks import after, before, closing_up

if TYPE_CHECKING:
    from collections.abc import Mapping

    from readiness.site.drawing import Drawing

REST = "not-planned"
"""Id of the trip that surfaces without a trip still need."""

SPRAY_TRADE = "spray"
SET_UP_STEPS = (
    "walk-in",
    "conditions-check",
    "masking",
    "box-covers",
    "air-handling-off",
    "containment",
    "rig-warm-up",
)
CLEAN_UP_STEPS = ("probe", "trim", "clean-up")


def trip_rows(drawing: Drawing) -> dict[str, tuple[TripRow, tuple[str, ...], bool]]:
    """Return every trip with its row, its surfaces, and whether the job file plans it."""
    job = drawing.job
    reserved = reserved_surfaces(drawing)
    rows: dict[str, tuple[TripRow, tuple[str, ...], bool]] = {}
    left = dict.fromkeys(surface for surface in job.surfaces if surface not in reserved)
    named = {
        surface
        for row in job.trips.values()
        if row.surfaces != ("all",)
        for surface in surfaces_of(row.surfaces, job)
    }
    for name, row in job.trips.items():
        asked = surfaces_of(row.surfaces, job)
        if row.surfaces == ("all",):
            asked = tuple(surface for surface in asked if surface not in named)
        mine = tuple(surface for surface in asked if surface in left)
        for surface in mine:
            del left[surface]
        rows[name] = (row, mine, True)
    if left or not rows:
        rows[REST] = (TripRow(name="a trip not planned yet"), tuple(left), False)
    return {name: value for name, value in rows.items() if value[1]}


def reserved_surfaces(drawing: Drawing) -> frozenset[str]:
    """Return the surfaces that some trip leaves unsprayed on purpose."""
    return frozenset(
        surface
        for row in drawing.job.trips.values()
        if row.reserved
        for surface in surfaces_of(row.reserved, drawing.job)
    )


def draw_trips(drawing: Drawing) -> tuple[dict[str, TripTasks], dict[int, int]]:
    """Add the tasks of every trip; return them, and the pessimistic minutes by task."""
    late: dict[int, int] = {}
    trips = {
        name: _Trip(drawing, name, row, surfaces, planned=planned).draw(late)
        for name, (row, surfaces, planned) in trip_rows(drawing).items()
    }
    return trips, late


class _Trip:
    """Draws one trip."""

    def __init__(
        self, drawing: Drawing, name: str, row: TripRow, surfaces: tuple[str, ...], *, planned: bool
    ) -> None:
        self.drawing = drawing
        self.name = name
        self.row = row
        self.surfaces = surfaces
        self.planned = planned
        self.origin = (
            drawing.origin_of("trips", name) if planned else Origin("trip", row="spray", status="")
        )

    def draw(self, late: dict[int, int]) -> TripTasks:
        """Add arrival, set-up, sprays, clean-up, keep-out and release, chained."""
        set_up, spray, clean_up, extra = self._minutes()
        areas = [surface_square_feet(surface, self.drawing.job) for surface in self.surfaces]
        arrival = self._step("arrival", TaskKind.ARRIVAL, "the rig arrives", None, 0)
        first = self._step("set-up", TaskKind.WORK, "set-up and masking", SPRAY_TRADE, set_up)
        sprays = {
            surface: self._step(
                f"spray@{surface}", TaskKind.SPRAY, "spray", SPRAY_TRADE, minutes, surface
            )
            for surface, minutes in zip(self.surfaces, shared(spray, areas), strict=True)
        }
        late.update(zip(sprays.values(), shared(spray + extra, areas), strict=True))
        last = self._step("clean-up", TaskKind.CLEAN_UP, "trim and clean up", SPRAY_TRADE, clean_up)
        keep_out, is_default = self._keep_out()
        wait = self._step("keep-out", TaskKind.KEEP_OUT, "keep-out", None, keep_out)
        release = self._step("release", TaskKind.RELEASE, "release", None, 0)
        chain = (arrival, first, *sprays.values(), last, wait, release)
        for earlier, later in itertools.pairwise(chain):
            self.drawing.link(earlier, later, "the trip's own order", self.origin)
        zone = frozenset(
            place
            for named in resolve(self.row.zone, self.drawing.job)
            for place in self._inside(named)
        )
        return TripTasks(
            id=self.name,
            name=self.row.name or self.name.replace("-", " "),
            surfaces=self.surfaces,
            planned=self.planned,
            arrival=arrival,
            set_up=first,
            sprays=sprays,
            clean_up=last,
            keep_out=wait,
            release=release,
            minutes=set_up + spray + clean_up,
            late_minutes=set_up + spray + clean_up + extra,
            zone=zone if self.row.zone != ("all",) else self.drawing.places.members[SITE],
            keep_out_minutes=keep_out,
            residents_minutes=max(keep_out, self._residents_minutes()),
            keep_out_is_default=is_default,
        )

    def _inside(self, place: str) -> frozenset[str]:
        return self.drawing.places.members.get(place, frozenset({place}))

    def _step(  # noqa: PLR0913, PLR0917  mirrors a task
        self,
        step: str,
        kind: TaskKind,
        title: str,
        trade: str | None,
        minutes: int,
        surface: str = "",
    ) -> int:
        return self.drawing.task(
            f"{self.name}:{step}",
            kind,
            title,
            stay=f"trip:{self.name}",
            place=surface or SITE,
            origin=self.origin,
            trade=trade,
            calendar=self.drawing.calendar(trade) if trade else None,
            minutes=minutes,
            surfaces=frozenset({surface}) if surface else frozenset(),
        )

    def _minutes(self) -> tuple[int, int, int, int]:
        """Return the minutes of set-up, spray and clean-up, and the pessimistic extra."""
        day = self.drawing.day_minutes(SPRAY_TRADE)
        steps = self.drawing.facts.trip
        set_up = sum(Duration.parse(steps[step].takes).minutes(day) for step in SET_UP_STEPS)
        clean_up = sum(Duration.parse(steps[step].takes).minutes(day) for step in CLEAN_UP_STEPS)
        if self.row.lasts is not None:
            whole = self.row.lasts.minutes(day)
            set_up, clean_up = min(set_up, whole // 4), min(clean_up, whole // 4)
            spray = whole - set_up - clean_up
        else:
            spray = self._usual_spray(Duration.parse(steps["spray"].takes).minutes(day))
        whole = set_up + spray + clean_up
        at_most = self.row.lasts_at_most
        extra = max(0, at_most.minutes(day) - whole) if at_most is not None else 0
        usual, most = self._with_all_rigs(spray), self._with_all_rigs(spray + extra)
        return set_up, usual, clean_up, most - usual

    def _with_all_rigs(self, spray: int) -> int:
        """Return the minutes in which the trip's rigs spray together what takes one rig so long.

        They share it evenly, in whole minutes and at least one for each surface; nothing else of a
        trip gets shorter by another rig.
        """
        least = min(spray, len(self.surfaces))
        return max(least, ceil(spray / self.row.rigs))

    def _usual_spray(self, reference_minutes: int) -> int:
        """Return the usual spray time, following the floor and the trip's share of the area."""
        job = self.drawing.job
        floor = floor_square_feet((SITE,), job, self.drawing.places)
        everything = sum(surface_square_feet(surface, job) for surface in job.surfaces)
        mine = sum(surface_square_feet(surface, job) for surface in self.surfaces)
        share = reference_minutes * floor / REFERENCE_FLOOR_SQUARE_FEET * mine / everything
        return max(len(self.surfaces), ceil(share))

    def _residents_minutes(self) -> int:
        after = self.row.residents_after
        return after.minutes(1440) if after is not None else 0

    def _keep_out(self) -> tuple[int, bool]:
        """Return the clock minutes of the keep-out and whether they are only usual."""
        if self.row.keep_out is not None:
            return self.row.keep_out.minutes(1440), not self.row.sheet
        usual = Duration.parse(self.drawing.facts.trip["keep-out"].takes)
        return usual.minutes(1440), True


def draw_order(
    drawing: Drawing, trips: Mapping[str, TripTasks], trip_of: Mapping[str, str]
) -> None:
    """Join work to the foam: before into the spray, release into after and closing up."""
    for task in list(drawing.tasks):
        if task.kind is not TaskKind.WORK or task.index not in drawing.orders:
            continue
        for surface in before(drawing, task.index):
            if surface in trip_of:
                spray = trips[trip_of[surface]].sprays[surface]
                drawing.link(task.index, spray, "belongs behind the foam", task.origin)
        waits_for = dict.fromkeys(
            trip_of[surface]
            for surface in (*after(drawing, task.index), *closing_up(drawing, task.index))
            if surface in trip_of
        )
        for trip in waits_for:
            drawing.link(trips[trip].release, task.index, "not before the release", task.origin)
