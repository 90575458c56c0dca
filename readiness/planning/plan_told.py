"""Tells a plan: every date with what holds it, who works where each day, what sets the board.

Invariant: every moment told is one of the forward pass under the plan's choices.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime
from functools import cached_property
from typing import TYPE_CHECKING

from readiness.job.instants import is_dated, moment_of
from readiness.planning.plan_ground import is_waived
from readiness.schedule.forward import imposed
from readiness.schedule.worktime import Worktime
from readiness.site.calendars import zone_days
from readiness.site.places import SITE
from readiness.site.task import TaskKind
from readiness.telling.teller import Teller, Who

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from readiness.planning.plan_legs import Leg
    from readiness.planning.plan_timed import Timed
    from readiness.schedule.outlook import Outlook

LONGEST_CHAIN = 12


@dataclass(frozen=True, slots=True)
class DateLine:
    """One date of the plan: a work, a look, a trip or the pulling of a thing."""

    id: str
    kind: str
    what: str
    places: tuple[str, ...]
    who: Who
    starts: datetime
    ends: datetime
    was: datetime | None
    """Where it is booked or agreed now."""
    change: str
    """`new`, `stays`, `moves` or `under way`."""
    was_agreed: bool
    """It was agreed with the people concerned, not only booked."""
    drives: bool
    """It is on the chain that sets the start of board."""
    step: int
    """Its number in `chain`; 0 if it is not told there."""
    because: str
    """What holds it where it is."""


@dataclass(frozen=True, slots=True)
class RoomHours:
    """From when to when somebody is in one room on a day."""

    room: str
    """Name of the room."""
    starts: datetime
    """When the first of it comes in, that day."""
    ends: datetime
    """When the last of it goes, that day."""


@dataclass(frozen=True, slots=True)
class HereLine:
    """Who works where on a day."""

    who: Who
    what: str
    places: tuple[str, ...]
    starts: datetime
    ends: datetime
    date: int
    """Number of the line in `dates`."""
    rooms: tuple[str, ...]
    """The rooms that these places are, or run through."""
    hours: tuple[RoomHours, ...]
    """The hours in each of these rooms; of a trip, all its hours that day."""


@dataclass(frozen=True, slots=True)
class CrewLine:
    """How many come of one trade, as far as the job says so."""

    who: Who
    crews: int
    """How many crews it has at most at once."""
    people: int | None
    """Head count of one crew; nothing if nobody has written it."""


@dataclass(frozen=True, slots=True)
class PlannedDay:
    """One day of the plan."""

    day: date
    here: tuple[HereLine, ...]
    kept_out: tuple[str, ...]
    """Trips whose keep-out runs that day."""
    shut_rooms: tuple[str, ...]
    """Rooms that they shut."""


class PlanTold:
    """Tells one plan."""

    def __init__(self, outlook: Outlook, timed: Timed) -> None:
        """Remember the plan, and the forecast that it starts from."""
        self.outlook = outlook
        self.timed = timed
        self.site = outlook.site
        self.as_of = outlook.seen.as_of
        self.legs = timed.planned.legs
        self.teller = Teller(_outlook_of(outlook, timed))
        self.chain_tasks = self._chain_tasks()
        self.driving = frozenset(self.chain_tasks)

    @property
    def board(self) -> int:
        """Return when board may start."""
        return self.timed.forecast.start[self.site.board_start]

    # Dates

    def dates(self) -> tuple[DateLine, ...]:
        """Return every date, by start."""
        found = [self._date(leg) for leg in self.legs]
        return tuple(sorted(found, key=lambda line: (line.starts, line.ends, line.id)))

    def _date(self, leg: Leg) -> DateLine:
        starts, ends = self.span(leg)
        row = self.site.tasks[leg.tasks[0]]
        places = tuple(
            dict.fromkeys(
                self.teller.place(self.site.tasks[task].place)
                for task in leg.tasks
                if self.site.tasks[task].place != SITE
            )
        )
        if leg.kind is TaskKind.ARRIVAL:
            places = self.teller.surfaces(self.site.trips[leg.about].surfaces)
        first, last = self.teller.moment(starts), self.teller.moment(ends)
        assert first is not None  # noqa: S101  a leg of a plan is dated
        assert last is not None  # noqa: S101
        return DateLine(
            id=leg.id,
            kind=row.kind.value if leg.kind is not TaskKind.ARRIVAL else "trip",
            what=self._what(leg),
            places=places,
            who=self._who(leg),
            starts=first,
            ends=last,
            was=None if leg.booked_at is None else self.teller.moment(leg.booked_at),
            change=self.change(leg),
            was_agreed=leg.agreed,
            drives=not self.driving.isdisjoint(leg.tasks),
            step=self._step(leg),
            because=self.because(leg),
        )

    def _what(self, leg: Leg) -> str:
        """Return what is done on a leg, in words."""
        if leg.kind is TaskKind.ARRIVAL:
            return f"spray, the {self.site.trips[leg.about].name} trip"
        if leg.kind is TaskKind.PULL:
            return self.teller.task(leg.tasks[0])
        return self.site.tasks[leg.tasks[0]].title

    def span(self, leg: Leg) -> tuple[int, int]:
        """Return when a leg starts and ends."""
        forecast = self.timed.forecast
        if leg.kind is TaskKind.ARRIVAL:
            trip = self.site.trips[leg.about]
            return forecast.start[trip.arrival], forecast.finish[trip.release]
        return (
            min(forecast.start[task] for task in leg.tasks),
            max(forecast.finish[task] for task in leg.tasks),
        )

    def _who(self, leg: Leg) -> Who:
        return self.teller.who(leg.trade or "contractor")

    def change(self, leg: Leg) -> str:
        """Return what becomes of the date a leg has now, by the dates of the forward pass."""
        if any(task in self.outlook.known.state.begun for task in leg.tasks):
            return "under way"
        if leg.booked_at is None:
            return "new"
        return "stays" if self.span(leg)[0] == leg.booked_at else "moves"

    def because(self, leg: Leg) -> str:
        """Return what holds a leg where it is."""
        if leg.kind is TaskKind.ARRIVAL:
            source = self._opens_by(leg.about)
            if source is None:
                return "the first arrival the rig may have"
            ends = self.teller.outlook.forecast.finish[source]
            return f"after {self.teller.task(source)}, {self.teller.told(ends)}"
        behind = self.teller.chain_tasks(leg.tasks[0])
        if behind:
            ends = self.teller.outlook.forecast.finish[behind[0]]
            return f"after {self.teller.task(behind[0])}, {self.teller.told(ends)}"
        told = self.teller.chain(leg.tasks[0])
        return told[0].rpartition("(")[2].rstrip(")") if told and "(" in told[0] else ""

    # What drives it

    def _opens_by(self, trip: str) -> int | None:
        """Return what a trip waits for last from outside; None if nothing is later than now."""
        timed, found = self.timed, []
        for task in self.site.trips[trip].tasks:
            for number in timed.network.numbered[timed.network.rank[task]].numbers():
                link = timed.network.links[number]
                if link.source in self.site.trips[trip].tasks or is_waived(self.outlook, link):
                    continue
                at = imposed(link, timed.network, timed.calendars, timed.forecast)
                if is_dated(at) and at > self.as_of:
                    found.append((at, -link.source))
        return -max(found)[1] if found else None

    def _chain_tasks(self) -> tuple[int, ...]:
        """Return the tasks that the start of board hangs on, through the arrivals of trips."""
        arrivals = {trip.arrival: trip.id for trip in self.site.trips.values()}
        task: int | None = self.site.board_start
        found: dict[int, None] = {}
        while task is not None:
            steps = self.teller.chain_tasks(task)
            found.update(dict.fromkeys((task, *steps)))
            last = steps[-1] if steps else task
            trip = arrivals.get(last)
            task = self._opens_by(trip) if trip is not None else None
            if task in found:
                break
        return tuple(found)

    def _step(self, leg: Leg) -> int:
        """Return the number of a leg in the chain that is told."""
        driving = [self.site.tasks[task].stay for task in leg.tasks if task in self.driving]
        return next((self._steps[stay][0] for stay in driving if stay in self._steps), 0)

    def chain(self) -> Iterator[str]:
        """Yield the steps that set the start of board, nearest first; stays told once."""
        yield from (says for _, says in self._steps.values())

    @cached_property
    def _steps(self) -> dict[str, tuple[int, str]]:
        """Return the number and the words of each step of the chain, by stay."""
        told: dict[str, tuple[int, str]] = {}
        if not is_dated(self.board):
            return told
        for task in self.chain_tasks:
            row = self.site.tasks[task]
            asleep = row.kind in (TaskKind.MILESTONE, TaskKind.CHECK, TaskKind.RELEASE)
            if asleep or not self.timed.network.minutes[task]:
                continue
            ends = self.timed.forecast.finish[task]
            if row.stay not in told and len(told) < LONGEST_CHAIN:
                says = f"{self.teller.task(task)}, until {self.teller.told(ends)}"
                told[row.stay] = (len(told) + 1, says)
        return told

    # Day by day

    def days(self, dates: tuple[DateLine, ...]) -> Iterator[PlannedDay]:
        """Yield the days on which anybody works, or nobody may come in."""
        number_of = {line.id: number for number, line in enumerate(dates)}
        zone = zone_days(self.site.zone)
        by_day: dict[date, list[HereLine]] = {}
        out: dict[date, list[str]] = {}
        shut: dict[date, dict[str, None]] = {}
        for leg in self.legs:
            for task_day, line in self._here(leg, number_of[leg.id]):
                by_day.setdefault(task_day, []).append(line)
            if leg.kind is TaskKind.ARRIVAL:
                starts, ends = self.span(leg)
                first, last = moment_of(starts, zone.zone).date(), moment_of(ends, zone.zone).date()
                for ordinal in range(first.toordinal(), last.toordinal() + 1):
                    day = date.fromordinal(ordinal)
                    out.setdefault(day, []).append(self.site.trips[leg.about].name)
                    zone_of_trip = self.site.trips[leg.about].zone
                    shut.setdefault(day, {}).update(dict.fromkeys(self._rooms(zone_of_trip)))
        for day in sorted(by_day.keys() | out.keys()):
            here = sorted(
                by_day.get(day, []), key=lambda line: (line.starts, line.who.name, line.what)
            )
            yield PlannedDay(day, tuple(here), tuple(out.get(day, [])), tuple(shut.get(day, ())))

    def rooms(self) -> tuple[str, ...]:
        """Return all rooms, in the order of the job."""
        return tuple(self._rooms(self.site.places.rooms))

    def _rooms(self, places: Iterable[str]) -> Iterator[str]:
        """Yield the rooms that places are, or run through, in the order of the job."""
        known = self.site.places
        through = {room for each in places for room in known.rooms_of_surface.get(each, (each,))}
        yield from (self.teller.place(room) for room in self.site.job.rooms if room in through)

    def _here(self, leg: Leg, number: int) -> Iterator[tuple[date, HereLine]]:
        """Yield a leg day by day, with the places it is in."""
        forecast, zone = self.timed.forecast, zone_days(self.site.zone).zone
        spans: dict[date, list[tuple[int, int, str]]] = {}
        for task in leg.tasks:
            row = self.site.tasks[task]
            if row.calendar is None or not (self.timed.network.minutes[task]):
                continue
            timer = self.timed.calendars[self.timed.network.calendar[task] or 0]
            start, finish = forecast.start[task], forecast.finish[task]
            worked = (
                timer.spans(start, finish) if isinstance(timer, Worktime) else [(start, finish)]
            )
            for opens, shuts in worked:
                day = moment_of(opens, zone).date()
                spans.setdefault(day, []).append((opens, shuts, row.place))
        for day, found in spans.items():
            places = dict.fromkeys(place for _, _, place in found if place != SITE)
            line = HereLine(
                who=self._who(leg),
                what=self._what(leg),
                places=tuple(self.teller.place(place) for place in places),
                starts=moment_of(min(opens for opens, _, _ in found), zone),
                ends=moment_of(max(shuts for _, shuts, _ in found), zone),
                date=number,
                rooms=tuple(self._rooms(places)),
                hours=tuple(self._hours(found)),
            )
            if leg.kind is TaskKind.ARRIVAL:
                # Which room the gun is in at which minute nobody plans
                hours = (RoomHours(room, line.starts, line.ends) for room in line.rooms)
                line = replace(line, hours=tuple(hours))
            yield day, line

    def _hours(self, found: Iterable[tuple[int, int, str]]) -> Iterator[RoomHours]:
        """Yield from when to when somebody is in each room, in the order of the job."""
        zone = zone_days(self.site.zone).zone
        by_room: dict[str, list[tuple[int, int]]] = {}
        for opens, shuts, place in found:
            for room in self._rooms((place,)):
                by_room.setdefault(room, []).append((opens, shuts))
        for room in self.rooms():
            if room in by_room:
                first = moment_of(min(opens for opens, _ in by_room[room]), zone)
                yield RoomHours(room, first, moment_of(max(end for _, end in by_room[room]), zone))

    def crews(self, dates: tuple[DateLine, ...]) -> Iterator[CrewLine]:
        """Yield each party of which the job says that several crews come, or how many people."""
        job = self.site.job
        sprays = {line.who for line in dates if line.kind == "trip"}
        for who in dict.fromkeys(line.who for line in dates):
            row = job.trades.get(who.id)
            crews = row.crews if row is not None else 1
            people = job.rates.people if who in sprays else None
            if crews > 1 or people is not None:
                yield CrewLine(who, crews, people)


def _outlook_of(outlook: Outlook, timed: Timed) -> Outlook:
    """Return the plan as an outlook, for everything that tells dates and chains."""
    return replace(
        outlook,
        known=outlook.known._replace(state=timed.state),
        network=timed.network,
        calendars=timed.calendars,
        forecast=timed.forecast,
    )
