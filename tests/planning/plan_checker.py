"""Checks the dates of a plan against the laid-out job, minute by minute where it matters.

It shares no code with the model, the passes or the worktime of the schedule: links, gaps and
lengths are counted here on lists of working minutes made from the hours of each party.
Invariant: it only reads dates, never who decided them.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations

from readiness.facts.vocabulary import Where
from readiness.job.instants import EARLIER, is_dated
from readiness.planning.plan_told import PlanTold
from readiness.site.site import Site
from readiness.site.task import LinkKind, TaskKind

DAYS = 1440


@dataclass(frozen=True)
class Dates:
    """What is checked."""

    site: Site
    as_of: int
    start: Mapping[int, int]
    """By task; tasks that are finished or have no date are left out."""
    finish: Mapping[int, int]
    minutes: Mapping[int, int]
    """How long each task has to be worked."""
    done: Mapping[int, tuple[int, int]]
    """Tasks that were seen finished, with their dates."""
    begun: frozenset[int]
    arrivals: Mapping[str, int]
    """By planned trip."""
    waived: frozenset[tuple[int, int]]
    """Pairs of tasks whose link an approval for part has settled."""
    agreed: Mapping[int, int]
    """Starts that must stand, by task."""
    shared: frozenset[int]
    """Tasks that people have agreed to be where they are, whoever else is there."""

    @cached_property
    def worked(self) -> dict[int, list[int]]:
        """Return every working minute of each calendar in the stretch that is looked at."""
        low = min([self.as_of, *self.start.values()]) - 20 * DAYS
        high = max([self.as_of, *self.finish.values()]) + 20 * DAYS
        return {
            number: [
                minute
                for opens, shuts in calendar.spans(low, high)
                for minute in range(max(opens, low), min(shuts, high))
            ]
            for number, calendar in enumerate(self.site.calendars)
            if not calendar.slots
        }

    def count(self, calendar: int, low: int, high: int) -> int:
        """Return the working minutes of a calendar between two instants."""
        minutes = self.worked[calendar]
        return bisect_left(minutes, high) - bisect_left(minutes, low)

    def told(self, task: int) -> str:
        """Return a task by name."""
        return self.site.tasks[task].id


def faults(dates: Dates) -> list[str]:
    """Return everything that is wrong with the dates of a plan."""
    return [
        *_lengths(dates),
        *_links(dates),
        *_slots(dates),
        *_crews(dates),
        *_rooms(dates),
        *_keep_outs(dates),
        *_held(dates),
    ]


def _lengths(dates: Dates) -> Iterator[str]:
    for task, start in dates.start.items():
        row, finish = dates.site.tasks[task], dates.finish[task]
        if row.kind is TaskKind.APPROVAL or task in dates.begun:
            continue
        if row.calendar is None:
            worked = finish - start
        else:
            worked = dates.count(row.calendar, start, finish)
        if worked < dates.minutes[task]:
            yield f"{row.id} is worked {worked} of {dates.minutes[task]} minutes"


def _links(dates: Dates) -> Iterator[str]:
    site = dates.site
    for link in site.links:
        if link.target not in dates.start or (link.source, link.target) in dates.waived:
            continue
        if link.source in dates.done:
            from_start, from_finish = dates.done[link.source]
        elif link.source in dates.start:
            from_start, from_finish = dates.start[link.source], dates.finish[link.source]
        else:
            yield f"{dates.told(link.target)} is dated and {dates.told(link.source)} is not"
            continue
        leaves_start = link.kind in (LinkKind.START_TO_START, LinkKind.START_TO_END)
        if leaves_start and link.kind is LinkKind.START_TO_START and link.target in dates.begun:
            continue
        early = from_start if leaves_start else from_finish
        into_finish = link.kind in (LinkKind.END_TO_END, LinkKind.START_TO_END)
        late = (dates.finish if into_finish else dates.start)[link.target]
        if link.target in dates.begun and not into_finish:
            late = dates.finish[link.target]
        if late < early:
            yield f"{dates.told(link.target)} comes before {dates.told(link.source)} ({link.kind})"
        elif link.gap_minutes:
            between = (
                late - early if link.gap_elapsed else dates.count(site.job_calendar, early, late)
            )
            if between < link.gap_minutes:
                yield f"{dates.told(link.target)} leaves {between} of {link.gap_minutes} minutes"


def _slots(dates: Dates) -> Iterator[str]:
    for task, start in dates.start.items():
        row = dates.site.tasks[task]
        if row.kind is not TaskKind.APPROVAL or row.calendar is None:
            continue
        slots = dates.site.calendars[row.calendar].spans(start - DAYS, start + DAYS)
        if (start, dates.finish[task]) not in slots:
            yield f"{row.id} is in no slot of its office"


def _crews(dates: Dates) -> Iterator[str]:
    """A crew is with a stay, or on a trip, from its first part to its last."""
    stays: dict[tuple[str, int], list[int]] = {}
    for name, parts in dates.site.stay_tasks.items():
        trade = dates.site.stays[name].trade
        for number, chain in enumerate(parts.chains):
            open_parts = [task for task in chain if task in dates.start]
            if open_parts:
                stays[f"{trade}|{name}", number] = open_parts
    by_trade: dict[str, list[tuple[int, int, bool]]] = {}
    for (key, _), tasks in stays.items():
        span = (dates.start[tasks[0]], dates.finish[tasks[-1]], tasks[0] in dates.shared)
        by_trade.setdefault(key.partition("|")[0], []).append(span)
    for trade, spans in by_trade.items():
        row = dates.site.job.trades.get(trade)
        crews = row.crews if row else 1
        for start, _, _ in spans:
            at_once = [s for s in spans if s[0] <= start < s[1]]
            moved = [s for s in at_once if not s[2]]
            held_at_once = len(at_once) - len(moved)
            if moved and len(at_once) > max(crews, held_at_once):
                yield f"{trade} is in {len(at_once)} stays at once with {crews} crews"
                break


def _rooms(dates: Dates) -> Iterator[str]:
    """One trade at a time, but for those that people have agreed to let in together."""
    for room, tasks in _in_rooms(dates).items():
        for one, other in combinations(tasks, 2):
            same = dates.site.tasks[one].trade == dates.site.tasks[other].trade
            if same or {one, other} <= dates.shared:
                continue
            latest = max(dates.start[one], dates.start[other])
            if latest < min(dates.finish[one], dates.finish[other]):
                yield f"{dates.told(one)} and {dates.told(other)} are in {room} at once"


def _in_rooms(dates: Dates) -> dict[str, list[int]]:
    """Return the work that is done inside each room, by room."""
    in_room: dict[str, list[int]] = {}
    site = dates.site
    for task in dates.start:
        row = site.tasks[task]
        inside = row.stay not in site.stays or site.stays[row.stay].where is Where.INSIDE
        works = row.kind in (TaskKind.WORK, TaskKind.PULL, TaskKind.CORRECTION)
        if works and inside and dates.minutes[task] and not row.stay.startswith("trip:"):
            for room in site.places.rooms_of_surface.get(row.place, (row.place,)):
                if room in site.places.rooms:
                    in_room.setdefault(room, []).append(task)
    return in_room


def _keep_outs(dates: Dates) -> Iterator[str]:
    """Nobody but the spray crew works inside from the arrival to the late end of a keep-out."""
    site = dates.site
    for name, arrival in dates.arrivals.items():
        trip = site.trips[name]
        spray = dates.worked[site.spray_calendar]
        leaves = spray[bisect_left(spray, arrival) + trip.late_minutes - 1] + 1
        opens_again = leaves + trip.keep_out_minutes
        ahead = _ahead(site, trip.tasks)
        for task, start in dates.start.items():
            row = site.tasks[task]
            inside = row.kind is TaskKind.APPROVAL or (
                row.trade is not None
                and (row.stay not in site.stays or site.stays[row.stay].where is Where.INSIDE)
            )
            if not inside or task in trip.tasks or row.calendar is None:
                continue
            stay = site.stays.get(row.stay)
            places = stay.places if stay is not None and stay.together else (row.place,)
            if trip.zone.isdisjoint(places):
                continue
            if task in ahead:
                if dates.finish[task] > arrival and not _only_waived(dates, task, name):
                    yield f"{row.id} is before the {name} trip and ends after its arrival"
                continue
            low, high = max(start, arrival), min(dates.finish[task], opens_again)
            outside = dates.minutes[task]
            if low < high and row.kind is TaskKind.APPROVAL:
                yield f"{row.id} looks while nobody may be inside"
            elif low < high:
                whole = dates.count(row.calendar, start, dates.finish[task])
                shut = dates.count(row.calendar, low, high)
                if whole - shut < outside:
                    yield f"{row.id} is worked while the {name} trip keeps everybody out"


def _only_waived(dates: Dates, task: int, trip: str) -> bool:
    """Say whether all ways from a task to a trip go through links that are settled."""
    site, targets = dates.site, set(dates.site.trips[trip].tasks)
    seen, waiting = {task}, [task]
    while waiting:
        here = waiting.pop()
        for link in site.links:
            if link.source != here or (link.source, link.target) in dates.waived:
                continue
            if link.target in targets:
                return False
            if link.target not in seen and link.target in dates.start:
                seen.add(link.target)
                waiting.append(link.target)
    return True


def _ahead(site: Site, tasks: tuple[int, ...]) -> set[int]:
    found: set[int] = set()
    waiting = list(tasks)
    into: dict[int, list[int]] = {}
    for link in site.links:
        into.setdefault(link.target, []).append(link.source)
    while waiting:
        for source in into.get(waiting.pop(), []):
            if source not in found and source not in tasks:
                found.add(source)
                waiting.append(source)
    return found


def _held(dates: Dates) -> Iterator[str]:
    for task, start in dates.start.items():
        row = dates.site.tasks[task]
        works = row.kind in (TaskKind.WORK, TaskKind.APPROVAL, TaskKind.PULL)
        if works and start < dates.as_of and task not in dates.begun:
            yield f"{row.id} starts in the past"
    for task, at in dates.agreed.items():
        row, wanted = dates.site.tasks[task], at
        if row.calendar is not None and not dates.site.calendars[row.calendar].slots:
            minutes = dates.worked[row.calendar]
            wanted = minutes[bisect_left(minutes, at)]
        if dates.start.get(task, wanted) != wanted:
            yield f"{row.id} is agreed and moved"
    for name, arrival in dates.arrivals.items():
        spray = dates.site.calendars[dates.site.spray_calendar]
        if not list(spray.spans(arrival, arrival + 1)):
            yield f"the {name} trip arrives when its crew does not work"


def dates_of(told: PlanTold) -> Dates:
    """Return the dates of a plan for the check."""
    timed, outlook = told.timed, told.outlook
    site, known = outlook.site, outlook.known
    dated = {
        task.index
        for task in site.tasks
        if task.index not in known.state.finished and is_dated(timed.forecast.finish[task.index])
    }
    legs = timed.planned.legs
    chosen = timed.solved.chosen
    held = [n for n, leg in enumerate(legs) if leg.is_fixed or leg.tasks[0] in known.state.begun]
    return Dates(
        site=site,
        as_of=outlook.seen.as_of,
        start={task: timed.forecast.start[task] for task in dated},
        finish={task: timed.forecast.finish[task] for task in dated},
        minutes={task: known.minutes.get(task, site.tasks[task].minutes) for task in dated},
        done={
            **{task: (row.start, row.finish) for task, row in known.state.finished.items()},
            # What waits for nothing that is dated has been there from the start
            **{
                task.index: (EARLIER, EARLIER)
                for task in site.tasks
                if timed.forecast.finish[task.index] == EARLIER
            },
        },
        begun=frozenset(known.state.begun),
        arrivals=dict(timed.arrivals),
        waived=frozenset(
            (source, task.index)
            for source, by in known.shown_on.items()
            for task in site.tasks
            if task.kind is TaskKind.SPRAY and not task.surfaces.isdisjoint(by)
        ),
        agreed={
            leg.tasks[0]: leg.booked_at
            for number, leg in enumerate(legs)
            if leg.agreed
            and leg.booked_at is not None
            and chosen[number] == leg.booked
            and leg.kind is not TaskKind.ARRIVAL
        },
        shared=frozenset(task for number in held for task in legs[number].tasks),
    )
