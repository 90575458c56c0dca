"""What is known so far while the entries of a diary are folded, one after another.

Invariant: the fold starts from what the job file states and only entries change it.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from readiness.diary.seen import (
    EVERYWHERE,
    Confirmation,
    Contested,
    DepthsRead,
    ReadingsVoided,
    Seen,
    Slipped,
    Stop,
    TakenBack,
    Voided,
)
from readiness.job.instants import instant_of_local
from readiness.job.places import rooms_of, surfaces_of

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.job.job import Job
    from readiness.job.origin import Origin


class Fold:
    """What is known so far; each entry changes it."""

    def __init__(self, seen: Seen, job: Job) -> None:
        self.first = seen
        self.job = job
        self.zone = ZoneInfo(job.site.time_zone)
        self.done = {work: dict(places) for work, places in seen.done.items()}
        self.taken_back: dict[str, dict[str, TakenBack]] = {}
        self.begun = dict(seen.begun)
        self.booked = dict(seen.booked)
        self.looks = {name: list(looks) for name, looks in seen.looks.items()}
        self.things = dict(seen.things)
        self.answers = list(seen.answers)
        self.readings = list(seen.readings)
        self.trips = dict(seen.trips)
        self.waivers = list(seen.waivers)
        self.stops: list[tuple[str, Stop]] = [("", stop) for stop in seen.stops]
        self.contested: dict[tuple[str, str], Contested] = {}
        self.voided: list[Voided] = []
        self.reading_voids: list[ReadingsVoided] = []
        self.depths: list[DepthsRead] = []
        self.foamed: dict[str, int] = {}
        self.foam_rank: dict[str, int] = {}
        self.slips: list[Slipped] = []
        self.confirmations: list[Confirmation] = list(seen.confirmations)
        self.board = seen.board
        self.rank = 0

    def seen(self) -> Seen:
        """Return the fold."""
        return replace(
            self.first,
            done=self.done,
            taken_back=self.taken_back,
            begun=self.begun,
            booked=self.booked,
            looks={name: tuple(looks) for name, looks in self.looks.items()},
            things=self.things,
            answers=tuple(self.answers),
            readings=tuple(self.readings),
            trips=self.trips,
            waivers=tuple(self.waivers),
            stops=tuple(stop for _, stop in self.stops),
            contested=self.contested,
            voided=tuple(self.voided),
            reading_voids=tuple(self.reading_voids),
            depths=tuple(self.depths),
            foamed=self.foamed,
            slips=tuple(self.slips),
            confirmations=tuple(self.confirmations),
            board=self.board,
        )

    def at(self, day: date | datetime) -> int:
        """Return the instant of a statement; a day alone is its midnight, to its disadvantage."""
        moment = day if isinstance(day, datetime) else datetime(day.year, day.month, day.day)  # noqa: DTZ001  wall clock
        return min(instant_of_local(moment, self.zone), self.first.as_of)

    def end_of(self, day: date | datetime) -> int:
        """Return the last instant at which a statement may have become so."""
        if isinstance(day, datetime):
            return self.at(day)
        return min(self.at(datetime(day.year, day.month, day.day, 23, 59)), self.first.as_of)  # noqa: DTZ001  wall clock

    def places(self, names: tuple[str, ...]) -> tuple[str, ...]:
        """Return the places that a list speaks for, as the keys of statements about work."""
        if "all" in names:
            return (EVERYWHERE,)
        return tuple(dict.fromkeys((*rooms_named(names, self.job), *surfaces_of(names, self.job))))

    def surfaces(self, names: tuple[str, ...]) -> tuple[str, ...]:
        """Return the surfaces that a list speaks for."""
        return surfaces_of(names, self.job)

    def foam_on(self, surfaces: Iterable[str], at: int) -> None:
        """Note that foam of any kind went on surfaces."""
        for surface in surfaces:
            self.foamed[surface] = at
            self.foam_rank[surface] = self.rank

    def void_depths(self, surfaces: Iterable[str]) -> None:
        """Drop what was read of the foam on surfaces that is no longer that foam."""
        gone = frozenset(surfaces)
        self.depths = [read for read in self.depths if read.surface not in gone]

    def surfaces_of_trip(self, trip: str) -> tuple[str, ...]:
        """Return the surfaces of a trip, as the job file has it; one it does not have is all."""
        rows = self.job.trips
        if trip not in rows or rows[trip].surfaces != ("all",):
            return self.surfaces(rows[trip].surfaces if trip in rows else ("all",))
        others = {
            surface
            for name, row in rows.items()
            if name != trip and row.surfaces != ("all",)
            for surface in self.surfaces(row.surfaces)
        }
        return tuple(surface for surface in self.job.surfaces if surface not in others)

    def contest(self, code: str, place: str, told: str, origins: tuple[Origin, ...]) -> None:
        """Note that two people differ about one thing; neither counts."""
        self.contested[code, place] = Contested(told, origins)


def rooms_named(names: tuple[str, ...], job: Job) -> tuple[str, ...]:
    """Return the rooms that a list names, a surface alone standing for none."""
    rooms = [name for name in names if name not in job.surfaces]
    return rooms_of(tuple(rooms), job) if rooms else ()
