"""What was seen, as limits on the tasks of the site.

Invariant: a task is finished, begun or open; what is known of a stay is spread over its parts in
the order in which they are worked.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil
from typing import TYPE_CHECKING

from readiness.diary.seen import EVERYWHERE
from readiness.facts.vocabulary import ApprovalResult, Order, Rung
from readiness.job.durations import Duration
from readiness.job.instants import EARLIER, NEVER, is_dated
from readiness.job.places import surfaces_of
from readiness.schedule.notice import earliest_slot
from readiness.schedule.readings_of_days import (
    booked_from_to,
    finished_at,
    instant_of_moment,
    started_at,
)
from readiness.schedule.state import Begun, Finished, State
from readiness.site.stays import BOARD
from readiness.site.task import TaskKind

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from readiness.diary.seen import Look, Seen, TripNews
    from readiness.job.origin import Origin
    from readiness.site.calendars import Calendar
    from readiness.site.site import ApprovalTasks, Site, TripTasks

RANK = {rung: rank for rank, rung in enumerate(Rung)}
"""Rungs of evidence by strength."""

PASSED = frozenset(
    {
        ApprovalResult.PASSED,
        ApprovalResult.PASSED_FOR_PART,
        ApprovalResult.MAY_COVER,
        ApprovalResult.ACCEPTED_OTHERWISE,
        ApprovalResult.NOT_REQUIRED,
    }
)
"""Results after which a surface may be covered."""


@dataclass(frozen=True, slots=True)
class Commitment:
    """A booked or begun stay: the instants its first start may lie at."""

    early: int
    late: int
    agreed: bool


@dataclass(frozen=True, slots=True)
class Shown:
    """What shows that a task is finished."""

    how: Rung
    told: str
    origin: Origin


@dataclass(frozen=True, slots=True)
class Known:
    """What was seen, task by task and trip by trip."""

    state: State
    minutes: Mapping[int, int]
    """Minutes of corrections that a failed look has woken."""
    commitments: Mapping[str, Commitment]
    """By stay."""
    arrivals: Mapping[str, int]
    """Booked, or actual, arrival by trip; trips without one are not booked."""
    arrived: frozenset[str]
    looks: Mapping[int, Look]
    """The latest statement with a result by task of a look."""
    shown: Mapping[int, Shown]
    """What shows that a task is finished, by task."""
    contested: Mapping[int, str]
    """Tasks of which two people say different things, with both."""
    unreported: tuple[int, ...]
    """First open part of each stay that is past its booked end without a word."""


def known_of(site: Site, seen: Seen) -> Known:
    """Return what was seen as limits on the tasks of the site."""
    return _Reader(site, seen).known()


class _Reader:
    """Collects the limits of one moment."""

    def __init__(self, site: Site, seen: Seen) -> None:
        self.site = site
        self.seen = seen
        self.finished: dict[int, Finished] = {}
        self.begun: dict[int, Begun] = {}
        self.bookings: dict[int, int] = {}
        self.notices: dict[int, int] = {}
        self.never: set[int] = set()
        self.minutes: dict[int, int] = {}
        self.commitments: dict[str, Commitment] = {}
        self.looks: dict[int, Look] = {}
        self.shown: dict[int, Shown] = {}
        self.arrivals: dict[str, int] = {}
        self.arrived: set[str] = set()
        self.contested: dict[int, str] = {}

    def known(self) -> Known:
        """Return everything that is known."""
        for approval in self.site.approvals:
            self._approval(approval)
        for name in self.site.stays:
            self._stay(name)
        for name, thing in self.site.things.items():
            if thing.pull is not None:
                self._pull(name, thing.pull)
        for trip in self.site.trips.values():
            self._trip(trip)
        held = frozenset(
            task.index
            for task in self.site.tasks
            if task.kind not in (TaskKind.MILESTONE, TaskKind.ARRIVAL, TaskKind.KEEP_OUT)
            and task.kind not in (TaskKind.RELEASE, TaskKind.CORRECTION)
            and task.index not in self.finished
            and task.index not in self.begun
        )
        return Known(
            state=State(
                as_of=self.seen.as_of,
                held_by_as_of=held,
                bookings=self.bookings,
                notices=self.notices,
                begun=self.begun,
                finished=self.finished,
                never=frozenset(self.never),
            ),
            minutes=self.minutes,
            commitments=self.commitments,
            arrivals=self.arrivals,
            arrived=frozenset(self.arrived),
            looks=self.looks,
            shown=self.shown,
            contested=self.contested,
            unreported=tuple(self._unreported()),
        )

    def _calendar(self, task: int) -> Calendar:
        index = self.site.tasks[task].calendar
        return self.site.calendars[self.site.job_calendar if index is None else index]

    def _finish(self, task: int, finish: int, shown: Shown | None = None) -> None:
        """Note a task as finished; of several statements the earliest one stands.

        What shows it is the strongest of them.
        """
        earlier = self.finished.get(task)
        if earlier is None or finish < earlier.finish:
            self.finished[task] = Finished(finish, finish)
            self.begun.pop(task, None)
        if shown is not None and (
            task not in self.shown or RANK[shown.how] > RANK[self.shown[task].how]
        ):
            self.shown[task] = shown

    # --- stays -----------------------------------------------------------------------------

    def _stay(self, name: str) -> None:
        done = self.seen.done.get(name, {})
        for part in self.site.stay_tasks[name].parts if done else ():
            places = tuple(self._places_over(part))
            if any((name, place) in self.seen.contested for place in places):
                self.contested[part] = self._told_both(name, places)
                continue
            for place in places:
                if place in done and not self._reopened(name, part, places, done[place].rank):
                    fact = done[place]
                    at = finished_at(fact.on, self._calendar(part), self.seen.as_of)
                    self._finish(part, at, Shown(fact.how, "done", fact.origin))
        self._begun(name)
        self._booked(name)

    def _told_both(self, code: str, places: tuple[str, ...]) -> str:
        found = (self.seen.contested.get((code, place)) for place in places)
        return next(told for told in found if told is not None)

    def _reopened(self, name: str, part: int, places: tuple[str, ...], rank: int) -> bool:
        """Say whether a later statement took the work back, or a change reopened it there."""
        back = self.seen.taken_back.get(name, {})
        if any(place in back and back[place].rank > rank for place in places):
            return True
        touched = self.site.orders.get(part, {})
        return any(
            voided.rank > rank
            and not voided.foam_only
            and (name in voided.works or not voided.works)
            and any(touched.get(surface) is Order.BEFORE for surface in voided.surfaces)
            for voided in self.seen.voided
        )

    def _places_over(self, part: int) -> Iterable[str]:
        """Return the keys of statements that speak for a part: itself, what contains it, all."""
        place = self.site.tasks[part].place
        groups = (
            group
            for group, names in self.site.job.groups.items()
            if place in names or place in self._in_group(group)
        )
        return (EVERYWHERE, *self.site.places.containers[place], *groups)

    def _in_group(self, group: str) -> tuple[str, ...]:
        return surfaces_of((group,), self.site.job)

    def _begun(self, name: str) -> None:
        begun = self.seen.begun.get(name)
        if begun is None:
            return
        for chain in self.site.stay_tasks[name].chains:
            part = next(
                (
                    task
                    for task in chain
                    if task not in self.finished and self._begun_in(task, begun.places)
                ),
                None,
            )
            if part is None:
                continue
            calendar = self._calendar(part)
            planned = self.site.tasks[part].minutes
            start = min(started_at(begun.on, calendar), self.seen.as_of)
            self.begun[part] = Begun(
                start,
                self.seen.as_of if begun.seen_at is None else begun.seen_at,
                self._remaining(begun.share, begun.remaining, part, planned, start),
            )
            return

    def _begun_in(self, part: int, places: tuple[str, ...]) -> bool:
        """Say whether a part lies in the places in which work was seen to have begun."""
        if places == ("all",):
            return True
        inside = self.site.places.surfaces_in[self.site.tasks[part].place]
        named = set(surfaces_of(places, self.site.job))
        return self.site.tasks[part].place in places or any(s in named for s in inside)

    def _remaining(
        self, share: float | None, remaining: Duration | None, part: int, planned: int, start: int
    ) -> int:
        """Return what a begun part still takes: as reported, else planned less what was worked.

        Without a report it is never under a tenth of the plan.
        """
        if remaining is not None:
            return remaining.minutes(self._calendar(part).day_minutes)
        if share is not None:
            left = ceil(planned * (1 - share))
            return left if share in (0.0, 1.0) else max(left, ceil(planned / 10))
        worked = sum(
            max(0, min(shut, self.seen.as_of) - max(opened, start))
            for opened, shut in self._calendar(part).spans(start, self.seen.as_of)
        )
        return max(planned - worked, ceil(planned / 10))

    def _booked(self, name: str) -> None:
        tasks = self.site.stay_tasks[name]
        heads = [
            next((task for task in chain if task not in self.finished), None)
            for chain in tasks.chains
        ]
        calendar = self._calendar(tasks.parts[0])
        lower = self.seen.not_before.get(name)
        if lower is not None:
            for head in heads:
                if head is not None:
                    self.bookings[head] = started_at(lower, calendar)
        booked = self.seen.booked.get(name)
        if booked is None and name == BOARD:
            booked = self.seen.board
        if booked is None:
            return
        early, late = booked_from_to(booked.booking, calendar)
        self.commitments[name] = Commitment(early, late, booked.agreed)
        for chain, head in zip(tasks.chains, heads, strict=True):
            if head is not None and head == chain[0] and head not in self.begun:
                self.bookings[head] = max(late, self.bookings.get(head, EARLIER))

    def _unreported(self) -> Iterable[int]:
        """Yield the first open part of each stay that should be over by its booking."""
        for name, commitment in self.commitments.items():
            tasks = self.site.stay_tasks[name]
            if any(part in self.begun or part in self.finished for part in tasks.parts):
                continue
            calendar = self._calendar(tasks.parts[0])
            whole = sum(self.site.tasks[part].minutes for part in tasks.chains[0])
            worked = (
                sum(
                    max(0, min(shut, self.seen.as_of) - max(opened, commitment.late))
                    for opened, shut in calendar.spans(commitment.late, self.seen.as_of)
                )
                if commitment.late < self.seen.as_of
                else 0
            )
            if commitment.late < self.seen.as_of and worked >= whole:
                yield tasks.parts[0]

    # --- approvals -------------------------------------------------------------------------

    def _approval(self, approval: ApprovalTasks) -> None:
        looks = self.seen.looks.get(approval.id, ())
        office = self.site.calendars[self.site.office_calendar[self.site.office_of[approval.id]]]
        for surface, task in approval.looks.items():
            about = [
                look
                for look in looks
                if self._speaks_for(look, surface) and not self._void(look, approval, surface)
            ]
            both = self.seen.contested.get((approval.id, surface))
            if both is not None:
                self.contested[task] = both
            told = [look for look in about if look.result is not None]
            if not approval.before_foam and surface in self._looked_at_before(approval):
                told = told[1:]
            if told:
                self.looks[task] = told[-1]
            if told and told[-1].result in PASSED and both is None:
                last = told[-1]
                passed = finished_at(last.on, office, self.seen.as_of)
                shown = Shown(last.how, str(last.result), last.origin)
                self._finish(task, passed, shown)
                self._finish(approval.corrections[surface], passed)
                if told[-1].result is not ApprovalResult.NOT_REQUIRED:
                    for covered in approval.covers[surface]:
                        self._finish(covered, passed, shown)
                continue
            if told:
                self._wake(approval, surface)
            self._notice(approval, task, [look for look in about if look.result is None], office)

    def _looked_at_before(self, approval: ApprovalTasks) -> set[str]:
        """Return the surfaces whose first result of this kind is for what lies behind the foam."""
        return {
            surface
            for other in self.site.approvals
            if other.id == approval.id and other.before_foam
            for surface in other.looks
        }

    def _speaks_for(self, look: Look, surface: str) -> bool:
        return surface in surfaces_of(look.surfaces, self.site.job)

    def _void(self, look: Look, approval: ApprovalTasks, surface: str) -> bool:
        """Say whether a change, or damage to the foam that was looked at, came after a look."""
        return any(
            surface in voided.surfaces
            and (look.at is None or look.at <= voided.at)
            and (not voided.foam_only or self.site.approval_kinds[approval.id].after_spray)
            for voided in self.seen.voided
        )

    def _wake(self, approval: ApprovalTasks, surface: str) -> None:
        """Give the sleeping correction of a failed look its minutes."""
        correction = approval.corrections[surface]
        kind = self.site.approval_kinds[approval.id]
        task = self.site.tasks[correction]
        day = self._calendar(correction).day_minutes
        self.minutes[task.index] = Duration.parse(kind.correction_takes).minutes(day)

    def _notice(
        self, approval: ApprovalTasks, task: int, requests: list[Look], office: Calendar
    ) -> None:
        """Limit a look by its confirmed slot, else by its notice from the request or as_of."""
        zone = self.site.zone
        slots = [look.slot for look in requests if look.slot is not None]
        if slots:
            self.notices[task] = instant_of_moment(slots[-1], zone)
            return
        asked = [look.requested for look in requests if look.requested is not None]
        since = instant_of_moment(asked[-1], zone) if asked else self.seen.as_of
        name = self.site.office_of[approval.id]
        row = self.site.job.offices.get(name)
        notice = (row.notice if row else None) or Duration.parse(
            self.site.approval_kinds[approval.id].notice
        )
        self.notices[task] = earliest_slot(since, notice, row.cut_off if row else "", office)

    # --- things and trips ------------------------------------------------------------------

    def _pull(self, name: str, task: int) -> None:
        """Limit the pull of a fixed thing: gone, dated, or never until somebody dates it."""
        placed = self.seen.things[name]
        calendar = self._calendar(task)
        if placed.pulled is not None:
            shown = Shown(Rung.SEEN, "pulled", placed.origin)
            self._finish(task, finished_at(placed.pulled, calendar, self.seen.as_of), shown)
        elif not self._stands(name):
            self._finish(task, EARLIER, Shown(Rung.SEEN, "not there", placed.origin))
        elif placed.pull is not None:
            self.bookings[task] = started_at(placed.pull, calendar)
        else:
            self.never.add(task)

    def _stands(self, name: str) -> bool:
        """Say whether a thing stands at as_of."""
        thing, placed = self.site.things[name], self.seen.things[name]
        if placed.since is not None:
            calendar = self.site.calendars[self.site.job_calendar]
            return started_at(placed.since, calendar) <= self.seen.as_of
        if placed.dated_by_work:
            parts = (
                self.site.stay_tasks[thing.set_by].parts if thing.set_by in self.site.stays else ()
            )
            return any(part in self.finished or part in self.begun for part in parts)
        return True

    def _trip(self, trip: TripTasks) -> None:
        news = self.seen.trips.get(trip.id)
        if news is None:
            return
        calendar = self.site.calendars[self.site.spray_calendar]
        self._arrival(trip, news, calendar)
        sprayed = {
            surface: day
            for place, day in news.sprayed.items()
            for surface in surfaces_of((place,), self.site.job)
            if surface in trip.sprays
        }
        for surface, day in sprayed.items():
            self._finish(trip.set_up, news.arrived or self.seen.as_of)
            self._finish(trip.sprays[surface], finished_at(day, calendar, self.seen.as_of))
        if news.cleaned is not None:
            self._finish(trip.clean_up, news.cleaned)
        if news.last_foam is not None:
            self.bookings[trip.keep_out] = news.last_foam
        if news.released is not None:
            for task in trip.tasks:
                self._finish(task, news.released)

    def _arrival(self, trip: TripTasks, news: TripNews, calendar: Calendar) -> None:
        if news.arrived is not None:
            self.arrivals[trip.id] = news.arrived
            self.arrived.add(trip.id)
            self._finish(trip.arrival, news.arrived)
        elif news.arrival is not None:
            self.arrivals[trip.id] = started_at(news.arrival, calendar)
            self.bookings[trip.arrival] = self.arrivals[trip.id]


def is_finished(known: Known, task: int, by: int = NEVER) -> bool:
    """Say whether a task was seen finished, by an instant."""
    finished = known.state.finished.get(task)
    return finished is not None and (not is_dated(finished.finish) or finished.finish <= by)
