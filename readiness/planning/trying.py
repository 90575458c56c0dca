"""Tries a set of changes: as diary entries, with the forecast and the gate that everybody uses.

Invariant: a set works exactly when the gate that its instants name says yes of the asked trip;
the same set is forecast once.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

from readiness.diary.amended import amended
from readiness.diary.seen import TripNews
from readiness.diary.told import told_on
from readiness.gates.asked import asked_gate
from readiness.gates.verdict import Judge
from readiness.job.origin import Origin
from readiness.planning.change import LAID_OUT_ANEW, ChangeKind
from readiness.planning.trip_area import area_of
from readiness.planning.writing import entries_of, lines_of
from readiness.schedule.frame import frame_of
from readiness.schedule.network import CircleError
from readiness.schedule.outlook import outlook_of
from readiness.site.lay_out import lay_out

if TYPE_CHECKING:
    from collections.abc import Callable

    from readiness.diary.history import Noted
    from readiness.diary.seen import Seen
    from readiness.gates.verdict import Verdicts
    from readiness.job.job import Job
    from readiness.planning.change import Change, Offer
    from readiness.planning.trip_area import TripArea
    from readiness.schedule.frame import Frame
    from readiness.schedule.outlook import Outlook

Chosen = frozenset[str]


@dataclass(frozen=True, slots=True)
class Attempt:
    """One set of changes and what came of it."""

    chosen: Chosen
    on: int
    """The arrival that was judged."""
    outlook: Outlook | None
    """None if works would wait for each other."""
    judge: Judge | None
    verdicts: Verdicts | None

    @property
    def works(self) -> bool:
        """Say whether the answer is yes."""
        return self.verdicts is not None and self.verdicts.is_yes

    @property
    def asked_surfaces(self) -> tuple[str, ...]:
        """Return the surfaces that the verdict is about."""
        if self.verdicts is None:
            return ()
        return tuple(v.surface for v in self.verdicts.surfaces.values() if v.counts)


class Trying:
    """Tries sets of the changes of one offer."""

    def __init__(self, outlook: Outlook, offer: Offer, trip: str, on: int) -> None:
        """Remember the job as it stands.

        Args:
            outlook: The forecast without any change.
            offer: The list.
            trip: Id of the asked trip once the offer's own lines are written.
            on: The asked arrival.
        """
        self.outlook = outlook
        self.offer = offer
        self.trip = trip
        self.on = on
        self.forecasts = 0
        self.watch: Callable[[int], object] = lambda forecasts: forecasts
        """Is told how many forecasts were made; what it raises ends the search."""
        self._changes = {change.id: change for change in offer.changes}
        self._tried: dict[Chosen, Attempt] = {}
        self._frames: dict[Chosen, tuple[Job, Frame] | None] = {}

    @property
    def job(self) -> Job:
        """Return the job as its diary leaves it."""
        return self.outlook.site.job

    @cached_property
    def area(self) -> TripArea | None:
        """Return the areas of the asked trip without any change, if its length follows them."""
        return area_of(self.attempt(frozenset()), self.trip)

    def changes(self, chosen: Chosen) -> tuple[Change, ...]:
        """Return the chosen changes in the order of the list."""
        return tuple(change for change in self.offer.changes if change.id in chosen)

    def attempt(self, chosen: Chosen) -> Attempt:
        """Return what comes of a set."""
        if chosen not in self._tried:
            self._tried[chosen] = self._attempt(chosen)
        return self._tried[chosen]

    def _attempt(self, chosen: Chosen) -> Attempt:
        self.forecasts += 1
        self.watch(self.forecasts)
        changes = self.changes(chosen)
        on = next((c.at for c in changes if c.kind is ChangeKind.ARRIVE), self.on)
        as_of = self.outlook.seen.as_of
        lines = lines_of(self.job, self.offer, self.trip, changes)
        notes = entries_of(lines, as_of, self.outlook.site.zone)
        structure = frozenset(change.id for change in changes if change.kind in LAID_OUT_ANEW)
        laid = self._laid_out(structure, notes)
        if laid is None or self.trip not in laid[1].site.trips:
            return Attempt(chosen, on, None, None, None)
        job, frame = laid
        outlook = outlook_of(frame, told_on(self._seen(job), job, notes))
        judge = Judge(outlook)
        gate = asked_gate(outlook, on, self.trip)
        return Attempt(chosen, on, outlook, judge, judge.verdicts(gate, on, self.trip))

    def _laid_out(self, structure: Chosen, notes: tuple[Noted, ...]) -> tuple[Job, Frame] | None:
        """Return the job as the structural changes leave it; None if works wait for each other."""
        if structure not in self._frames:
            job = amended(self.job, notes)
            if job is self.job:
                self._frames[structure] = (job, self.outlook.frame)
            else:
                site = lay_out(job, self.outlook.site.facts)
                try:
                    self._frames[structure] = (job, frame_of(site, self.outlook.frame))
                except CircleError:
                    self._frames[structure] = None
        return self._frames[structure]

    def _seen(self, job: Job) -> Seen:
        """Return what is known, with the trips that a change has added."""
        seen = self.outlook.seen
        added = {
            name: TripNews(Origin("ways", row=name)) for name in job.trips if name not in seen.trips
        }
        return replace(seen, trips={**seen.trips, **added}) if added else seen
