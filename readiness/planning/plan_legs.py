"""What of a job is still to be dated: one leg for each crew's way through its places.

A stay is booked with one date and its parts follow, so a leg has one start to choose: an opening of
a half shift of its trade; a trip chooses an arrival, a look a slot. How each part lies for each
choice is worked out here on the trade's own calendar, to the minute.

Invariant: no leg begins before the forecast that nothing but logic holds, and what is finished,
begun or arrived is in no choice.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from readiness.gates.proposals import Arrivals
from readiness.job.instants import NEVER, is_dated
from readiness.planning.activities import Activity, Mode, Part
from readiness.planning.plan_ground import is_waived, openings, through
from readiness.schedule.forward import calendar_at, imposed
from readiness.schedule.outlook import late_end
from readiness.schedule.readings_of_days import due_at
from readiness.schedule.slots import Slots
from readiness.site.task import TaskKind

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from readiness.planning.plan_ground import Ground
    from readiness.site.site import ApprovalTasks, TripTasks


@dataclass(frozen=True, slots=True)
class Leg:
    """One thing to date."""

    id: str
    kind: TaskKind
    about: str
    """Id of the stay, approval, trip or thing."""
    tasks: tuple[int, ...]
    trade: str
    """Whose crew works, or whose office looks."""
    crew: str
    """The trade whose crews are counted; empty if nobody's crew is busy."""
    activity: Activity
    booked: int | None = None
    """The candidate at which it is booked or agreed now."""
    agreed: bool = False
    is_fixed: bool = False
    """Held at its booking."""
    booked_at: int | None = None
    """The booking itself."""


class Legs:
    """Collects the legs of a job."""

    def __init__(self, ground: Ground, *, keeps: bool, apart: frozenset[str]) -> None:
        """Remember the ground, whether agreed dates are held, and stays taken part by part."""
        self.ground = ground
        self.apart = apart
        self.keeps = keeps
        self.state = ground.outlook.known.state

    def all(self) -> list[Leg]:
        """Return every leg, by id."""
        found = [*self._stays(), *self._looks(), *self._trips(), *self._others()]
        return sorted(found, key=lambda leg: leg.id)

    def _open(self, tasks: Iterable[int]) -> tuple[int, ...]:
        return tuple(
            task
            for task in tasks
            if task not in self.state.finished and is_dated(self.ground.lower.finish[task])
        )

    def _leg(  # noqa: PLR0913  a leg is nothing but its fields
        self,
        name: str,
        kind: TaskKind,
        about: str,
        tasks: tuple[int, ...],
        trade: str,
        *,
        booked_at: int | None = None,
        agreed: bool = False,
        crew: str = "",
        not_after: int = NEVER,
    ) -> Leg:
        ground = self.ground
        head = tasks[0]
        first = max(ground.outlook.seen.as_of, ground.lower.start[head])
        if head in self.state.begun:
            first = min(first, self.state.begun[head].resume_from)
        calendar = ground.network.calendar[head]
        if calendar is None:
            # What runs by the clock, such as drying, is set going by its trade and keeps no crew
            calendar, crew = ground.site.trade_calendar[trade], ""
        found = set(openings(ground, calendar, first))
        if head in self.state.begun:
            booked_at = None
        if booked_at is not None:
            found.add(booked_at)
        limits = sorted(found)
        parts = through(ground, tasks, limits)
        keep = [
            number
            for number in range(len(limits))
            if all(
                part.starts[number] >= ground.lower.start[task]
                and part.ends[number] >= ground.lower.finish[task]
                for task, part in zip(tasks, parts, strict=True)
            )
            and parts[0].starts[number] <= not_after
        ]
        held = limits.index(booked_at) if booked_at is not None else -1
        fits = held in keep
        fixed = fits and agreed and self.keeps
        if fixed:
            keep = [held]
        parts = tuple(
            Part([part.starts[number] for number in keep], [part.ends[number] for number in keep])
            for part in parts
        )
        return Leg(
            id=name,
            kind=kind,
            about=about,
            tasks=tasks,
            trade=trade,
            crew=crew,
            activity=Activity(name, (Mode(parts),)),
            booked=keep.index(held) if fits else None,
            agreed=agreed,
            is_fixed=fixed,
            booked_at=booked_at,
        )

    def _stays(self) -> Iterator[Leg]:
        ground, known = self.ground, self.ground.outlook.known
        seen = ground.outlook.seen
        for name, stay in ground.site.stays.items():
            for number, chain in enumerate(ground.site.stay_tasks[name].chains):
                tasks = self._open(chain)
                if not tasks:
                    continue
                commitment = known.commitments.get(name)
                whole = tasks[0] == chain[0] and tasks[0] not in known.state.begun
                at = commitment.late if commitment is not None and whole else None
                if at is not None and at < seen.as_of:
                    at = None
                limit = seen.not_after.get(name)
                calendar = ground.site.calendars[ground.site.tasks[tasks[0]].calendar or 0]
                for position, stretch in enumerate(self._stretches(name, tasks, at)):
                    yield self._leg(
                        f"{name}#{number}.{position}" if number or position else name,
                        TaskKind.WORK,
                        name,
                        stretch,
                        stay.trade,
                        booked_at=None if position else at,
                        agreed=commitment is not None and commitment.agreed,
                        crew=stay.trade,
                        not_after=NEVER if limit is None or position else due_at(limit, calendar),
                    )

    def _stretches(
        self, name: str, tasks: tuple[int, ...], booked_at: int | None
    ) -> list[tuple[int, ...]]:
        """Return the tasks of a crew in stretches that are worked without a break.

        A stay is one stretch, unless its crew is in the middle of it, or it is held at a date from
        which logic makes it wait between two of its places.
        """
        if name in self.apart:
            return [(task,) for task in tasks]
        if tasks[0] in self.state.begun and len(tasks) > 1:
            return [tasks[:1], tasks[1:]]
        if booked_at is not None and len(tasks) > 1:
            parts = through(self.ground, tasks, [booked_at])
            lower = self.ground.lower
            waits = any(
                part.starts[0] < lower.start[task] or part.ends[0] < lower.finish[task]
                for task, part in zip(tasks[1:], parts[1:], strict=True)
            )
            if waits and parts[0].starts[0] >= lower.start[tasks[0]]:
                return [(task,) for task in tasks]
        return [tasks]

    def _looks(self) -> Iterator[Leg]:
        ground, known = self.ground, self.ground.outlook.known
        for approval in ground.site.approvals:
            groups: dict[int | None, list[int]] = {}
            for task in self._open(approval.looks.values()):
                groups.setdefault(known.slots.get(task), []).append(task)
            for slot, tasks in groups.items():
                yield self._look(approval, slot, tuple(tasks))

    def _look(self, approval: ApprovalTasks, slot: int | None, tasks: tuple[int, ...]) -> Leg:
        ground = self.ground
        first = max(ground.lower.start[task] for task in tasks)
        timer = calendar_at(ground.calendars, ground.network.calendar[tasks[0]])
        assert isinstance(timer, Slots)  # noqa: S101  looks take slots
        slots = timer.slots(first, ground.last)
        fits = slot is not None and any(start == slot for start, _ in slots)
        if fits and self.keeps:
            slots = [(start, end) for start, end in slots if start == slot]
        part = Part([start for start, _ in slots], [end for _, end in slots])
        where = "" if approval.before_foam else ":after"
        where += f":part {approval.part}" if approval.part else ""
        name = f"{approval.id}:{approval.trip}{where}"
        return Leg(
            id=f"look:{name}:{slot or ''}",
            kind=TaskKind.APPROVAL,
            about=approval.id,
            tasks=tasks,
            trade=ground.site.office_of[approval.id],
            crew="",
            activity=Activity(name, (Mode((part,) * len(tasks)),)),
            booked=part.starts.index(slot) if fits else None,
            agreed=slot is not None,
            is_fixed=fits and self.keeps,
            booked_at=slot,
        )

    def _trips(self) -> Iterator[Leg]:
        ground, known = self.ground, self.ground.outlook.known
        for trip in ground.site.trips.values():
            if trip.id in known.arrived or any(s in self.state.finished for s in trip.tasks):
                # Under way: its tasks are dated one by one
                tasks = self._open(trip.tasks)
                yield from (
                    self._leg(f"trip:{trip.id}:{task}", TaskKind.SPRAY, trip.id, (task,), "spray")
                    for task in tasks
                    if ground.network.calendar[task] is not None and ground.network.minutes[task]
                )
                continue
            if not is_dated(ground.lower.finish[trip.release]):
                continue
            yield self._trip(trip)

    def _trip(self, trip: TripTasks) -> Leg:
        ground, known = self.ground, self.ground.outlook.known
        arrivals = Arrivals(ground.outlook, trip.id)
        opens = max((ground.lower.start[trip.arrival], *self._imposed(trip)))
        news = ground.outlook.seen.trips.get(trip.id)
        booked = known.arrivals.get(trip.id)
        first = max(opens, ground.outlook.seen.as_of)
        found = set(arrivals.between(first, ground.last))
        if booked is not None and booked >= first:
            found.add(booked)
        limits = sorted(found)
        agreed = news is not None and news.agreed
        fixed = agreed and self.keeps and booked in found
        if fixed and booked is not None:
            limits = [booked]
        # All that the spray waits for must be over on arrival, whichever surface comes first
        parts = through(ground, trip.tasks, limits)
        ends = tuple(late_end(trip, ground.outlook.frame, at, None) for at in limits)
        parts = (*parts, Part(ends, ends))
        return Leg(
            id=f"trip:{trip.id}",
            kind=TaskKind.ARRIVAL,
            about=trip.id,
            tasks=trip.tasks,
            trade="spray",
            crew="spray",
            activity=Activity(trip.id, (Mode(parts),)),
            booked=limits.index(booked) if booked is not None and booked in found else None,
            agreed=agreed,
            is_fixed=fixed,
            booked_at=booked,
        )

    def _imposed(self, trip: TripTasks) -> Iterator[int]:
        """Yield what logic alone imposes from outside on the steps of a trip."""
        ground = self.ground
        for task in trip.tasks:
            for number in ground.network.numbered[ground.network.rank[task]].numbers():
                link = ground.network.links[number]
                if link.source not in trip.tasks and not is_waived(ground.outlook, link):
                    yield imposed(link, ground.network, ground.calendars, ground.lower)

    def _others(self) -> Iterator[Leg]:
        ground = self.ground
        kinds = (TaskKind.PULL, TaskKind.CORRECTION, TaskKind.WORK)
        for task in ground.site.tasks:
            alone = task.kind in kinds and task.stay not in ground.site.stays
            if not alone or not self._open((task.index,)) or task.stay.startswith("trip:"):
                continue
            if not ground.network.minutes[task.index] or task.calendar is None:
                continue
            at = self.state.bookings.get(task.index)
            if at is not None and at < ground.outlook.seen.as_of:
                at = None
            yield self._leg(
                task.id,
                task.kind,
                task.stay.partition(":")[2],
                (task.index,),
                str(task.trade),
                booked_at=at,
                crew=str(task.trade),
            )
