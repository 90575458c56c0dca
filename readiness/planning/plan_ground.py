"""What a plan stands on: what no plan moves, the dates that logic alone gives, and calendars.

Invariant: nothing here is a choice; the forecast of the ground is a lower limit of every plan.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from readiness.job.instants import EARLIER, is_dated
from readiness.planning.activities import Part
from readiness.schedule.forward import calendar_at, forward
from readiness.schedule.outlook import closed_network
from readiness.schedule.readings_of_days import started_at
from readiness.schedule.worktime import Worktime
from readiness.site.calendars import MINUTES_A_DAY
from readiness.site.task import TaskKind

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from readiness.schedule.calendar import Calendar
    from readiness.schedule.forward import Forecast
    from readiness.schedule.network import Network
    from readiness.schedule.outlook import Outlook
    from readiness.site.site import Site
    from readiness.site.task import Link


@dataclass(frozen=True)
class Ground:
    """A job at one moment as the plan sees it."""

    outlook: Outlook
    network: Network
    calendars: tuple[Calendar, ...]
    lower: Forecast
    """The dates if nothing but logic, offices and what was seen held them."""
    last: int
    """Nothing is planned later than that."""
    bookings: Mapping[int, int]
    """Lower limits that no plan moves: not before a day, a keep-out counted from the last foam."""
    pulls: frozenset[int]
    """Pulls that nobody has dated and the plan may date."""

    @property
    def site(self) -> Site:
        """Return the site."""
        return self.outlook.site


def ground_of(outlook: Outlook, days: int, *, keeps_trips: bool) -> Ground:
    """Return what a plan stands on.

    Args:
        outlook: The forecast as things stand.
        days: How many days after the latest date of the forecast a plan may last.
        keeps_trips: Agreed trips stay where they are, so their keep-out is shut from the start.
    """
    known, site = outlook.known, outlook.site
    pulls = frozenset(offered_pulls(outlook))
    shut = {
        trip: span
        for trip, span in outlook.closures.items()
        if trip in known.arrived or (keeps_trips and outlook.seen.trips[trip].agreed)
    }
    network, calendars = closed_network(outlook.frame, shut, None)
    network = network.with_minutes(known.minutes)
    kept = {
        task: at
        for task, at in known.state.bookings.items()
        if site.tasks[task].kind is TaskKind.KEEP_OUT
    }
    for name, day in outlook.seen.not_before.items():
        for chain in site.stay_tasks[name].chains if name in site.stay_tasks else ():
            head = next((task for task in chain if task not in known.state.finished), None)
            if head is not None:
                calendar = site.calendars[site.tasks[head].calendar or site.job_calendar]
                kept[head] = started_at(day, calendar)
    state = replace(known.state, bookings=kept, never=known.state.never - pulls)
    lower = forward(network, calendars, state)
    dates = [at for at in (*lower.finish, *known.state.bookings.values()) if is_dated(at)]
    last = max(dates, default=outlook.seen.as_of) + days * MINUTES_A_DAY
    return Ground(outlook, network, calendars, lower, last, kept, pulls)


def offered_pulls(outlook: Outlook) -> Iterator[int]:
    """Yield the undated pulls that may be planned: by a trade, with its look where it needs one."""
    site = outlook.site
    for thing in site.things.values():
        if thing.pull is None or thing.pull not in outlook.known.state.never:
            continue
        kind = thing.kind
        licensed = kind.pull_trade in site.job.trades and kind.approval in site.approval_kinds
        if not kind.licensed or licensed:
            yield thing.pull


def is_waived(outlook: Outlook, link: Link) -> bool:
    """Say whether a link into the spray of a surface is met there by an approval for part."""
    site = outlook.site
    target = site.tasks[link.target]
    shown = outlook.known.shown_on.get(link.source, {})
    return target.kind is TaskKind.SPRAY and not target.surfaces.isdisjoint(shown)


def openings(ground: Ground, calendar: int, first: int) -> list[int]:
    """Return the openings of the half shifts of a calendar from an instant on.

    The first one is the instant itself if it lies within a shift of today.
    """
    timer = ground.calendars[calendar]
    assert isinstance(timer, Worktime)  # noqa: S101  crews work in spans, never in slots
    found: list[int] = []
    spans = _days(timer.spans(first - MINUTES_A_DAY, ground.last))
    for day in spans:
        halves = [opens for opens, _ in day]
        if len(day) == 1:
            halves.append((day[0][0] + day[0][1] + 1) // 2)
        found += [half for half in halves if half >= first]
    if is_dated(first) and (not found or found[0] > first):
        found.insert(0, first)
    return found


def _days(spans: Iterable[tuple[int, int]]) -> list[list[tuple[int, int]]]:
    """Return spans by day: those with less than six hours between them belong together."""
    days: list[list[tuple[int, int]]] = []
    for span in spans:
        if days and span[0] - days[-1][-1][1] < 6 * 60:
            days[-1].append(span)
        else:
            days.append([span])
    return days


def through(ground: Ground, tasks: Iterable[int], starts: Iterable[int]) -> tuple[Part, ...]:
    """Return how parts lie if the first one may begin at each of the given instants."""
    columns: list[tuple[list[int], list[int]]] = []
    limits = list(starts)
    for task in tasks:
        timer = calendar_at(ground.calendars, ground.network.calendar[task])
        begun = ground.outlook.known.state.begun.get(task)
        column: tuple[list[int], list[int]] = ([], [])
        for limit in limits:
            if begun is not None:
                start = max(limit, begun.resume_from)
                finish = timer.resumed(limit, begun.resume_from, EARLIER, begun.remaining_minutes)
            else:
                start, finish = timer.earliest(limit, EARLIER, ground.network.minutes[task])
            column[0].append(start)
            column[1].append(finish)
        columns.append(column)
        limits = column[1]
    return tuple(Part(*column) for column in columns)
