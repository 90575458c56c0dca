"""What holds each task where it is, and the chain that it hangs on.

Invariant: a link drives a task exactly when the instant it imposes, moved to the task's calendar,
is the task's own date, so every step of a told chain is a true "because".
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from typing import NamedTuple

from readiness.job.instants import EARLIER, NEVER, shifted
from readiness.schedule.calendar import Calendar
from readiness.schedule.forward import (
    Forecast,
    calendar_at,
    gap_calendar_of,
    imposed,
    limits_on,
    table_at,
)
from readiness.schedule.network import FROM_FINISH, INTO_FINISH, Network
from readiness.schedule.state import Hold, State
from readiness.site.task import LinkKind


class Drivers(NamedTuple):
    """Everything that holds one task where it is."""

    links: tuple[int, ...]
    """Numbers of the links that drive it."""
    holds: tuple[Hold, ...]
    """What else drives it."""


class AllDrivers(NamedTuple):
    """The drivers of all tasks, parallel to them."""

    links: list[tuple[int, ...]]
    holds: list[tuple[Hold, ...]]


class Step(NamedTuple):
    """One task of a told chain."""

    task: int
    link: int | None
    """The link that drives it, from the task of the next step; None at the end of the chain."""
    imposed: int | None
    """The instant that link imposes, its gap included."""
    holds: tuple[Hold, ...]
    """What else drives the task; at the end of the chain this is the cause."""


def drivers_of(
    task: int,
    network: Network,
    calendars: Sequence[Calendar],
    forecast: Forecast,
    state: State,
) -> Drivers:
    """Return everything that holds one task where it is.

    A link, as_of, a booking or a notice drives if moving its instant to the task's calendar gives
    the task's own date; a keep-out drives if the task would start earlier without it.
    """
    if task in state.finished:
        return Drivers((), (Hold.SEEN,))
    if task in state.never:
        return Drivers((), (Hold.UNDATED,))
    start_held, finish_held = _held_after(task, network, calendars, forecast, state)
    begun = task in state.begun
    links = []
    for number in network.numbered[network.rank[task]].numbers():
        link = network.links[number]
        if begun and link.kind is LinkKind.START_TO_START:
            continue
        held = finish_held if link.kind in INTO_FINISH else start_held
        if imposed(link, network, calendars, forecast) > held:
            links.append(number)
    if begun:
        return Drivers(tuple(links), _seen(task, network, calendars, forecast, state))
    holds = [hold for hold, instant in state.holds(task) if instant > start_held]
    if _kept_out(task, network, calendars, forecast, state):
        holds.append(Hold.KEEP_OUT)
    return Drivers(tuple(links), tuple(holds))


def chain(
    task: int,
    network: Network,
    calendars: Sequence[Calendar],
    forecast: Forecast,
    state: State,
) -> tuple[Step, ...]:
    """Return the told chain from a task back to one that no link drives.

    At each step it follows the driver with the latest imposed instant, then the smallest id. It
    also ends where it reaches the start of a task that has begun, for that start was seen.
    """
    steps: list[Step] = []
    leaves_from_start = False
    while True:
        if leaves_from_start and task in state.begun:
            return (*steps, Step(task, None, None, (Hold.SEEN,)))
        found = drivers_of(task, network, calendars, forecast, state)
        if not found.links:
            return (*steps, Step(task, None, None, found.holds))
        instants = {
            number: imposed(network.links[number], network, calendars, forecast)
            for number in found.links
        }
        told = min(found.links, key=lambda number: _telling(number, instants[number], network))
        link = network.links[told]
        steps.append(Step(task, told, instants[told], found.holds))
        leaves_from_start = link.kind not in FROM_FINISH
        task = link.source


def all_drivers(  # noqa: C901 - one loop; a call per task would cost more
    network: Network, calendars: Sequence[Calendar], forecast: Forecast, state: State
) -> AllDrivers:
    """Return the drivers of all tasks.

    Plain work within the known stretch of its calendar is looked at in place, for speed; the rest
    one by one.
    """
    count = len(network.ids)
    driving: list[tuple[int, ...]] = [()] * count
    holding: list[tuple[Hold, ...]] = [()] * count
    nodes = forecast.nodes
    apart = state.begun.keys() | state.finished.keys() | state.never
    not_before = state.not_before(count)
    gap_finish = gap_calendar_of(network, calendars).finish
    tables = [table_at(calendars, index) for index in range(len(calendars))]
    calendar, base_calendar = network.calendar, network.base_calendar
    lengths = network.minutes
    for row, numbers in zip(network.incoming, network.numbered, strict=True):
        task, starts, finishes, gaps = row
        index = calendar[task]
        start, last = nodes[2 * task], nodes[2 * task + 1] - 1
        if (
            index is None
            or (table := tables[index]) is None
            or not lengths[task]
            or index != base_calendar[task]
            or task in apart
            or not (table[2][1] < start <= last < table[1])
        ):
            found = drivers_of(task, network, calendars, forecast, state)
            driving[task], holding[task] = found
            continue
        _, _, opens, shuts, _, _ = table
        span = bisect_right(shuts, start)
        start_held = start - 1 if start > opens[span] else shuts[span - 1] - 1
        links = [
            numbers.starts[place] for place, node in enumerate(starts) if nodes[node] > start_held
        ]
        if finishes or gaps:
            span = bisect_right(shuts, last)
            finish_held = last if last > opens[span] else shuts[span - 1]
            for place, node in enumerate(finishes):
                if nodes[node] > finish_held:
                    links.append(numbers.finishes[place])
            for place, (here, node, minutes, elapsed) in enumerate(gaps):
                instant = (shifted if elapsed else gap_finish)(nodes[node], minutes)
                if instant > (finish_held if here else start_held):
                    links.append(numbers.gaps[place])
        if len(links) > 1:
            links.sort()
        if links:
            driving[task] = tuple(links)
        if not_before[task] > start_held:
            holding[task] = tuple(
                hold for hold, instant in state.holds(task) if instant > start_held
            )
    return AllDrivers(driving, holding)


def _held_after(
    task: int,
    network: Network,
    calendars: Sequence[Calendar],
    forecast: Forecast,
    state: State,
) -> tuple[int, int]:
    """Return the instants past which a start or a finish limit holds the task where it is.

    They are the latest limits with which the task would lie earlier: the adjoint of a minute less.
    """
    start, finish = forecast.start[task], forecast.finish[task]
    if finish == NEVER:
        return NEVER - 1, NEVER - 1
    if finish == EARLIER:
        return EARLIER, EARLIER
    calendar = calendar_at(calendars, network.calendar[task])
    if task in state.begun:
        return calendar.latest_resumption(finish - 1, state.begun[task].remaining_minutes)
    minutes = network.minutes[task]
    start_held, _ = calendar.latest(start - 1, NEVER, minutes)
    _, finish_held = calendar.latest(NEVER, finish - 1, minutes)
    return start_held, finish_held


def _seen(
    task: int,
    network: Network,
    calendars: Sequence[Calendar],
    forecast: Forecast,
    state: State,
) -> tuple[Hold, ...]:
    """Return whether what was seen of a task under way is enough to explain its finish."""
    begun = state.begun[task]
    calendar = calendar_at(calendars, network.calendar[task])
    alone = calendar.resumed(EARLIER, begun.resume_from, EARLIER, begun.remaining_minutes)
    return (Hold.SEEN,) if alone == forecast.finish[task] else ()


def _kept_out(
    task: int,
    network: Network,
    calendars: Sequence[Calendar],
    forecast: Forecast,
    state: State,
) -> bool:
    """Say whether the task would start earlier on its calendar before anything was closed."""
    base = network.base_calendar[task]
    if network.calendar[task] == base:
        return False
    not_before = max((instant for _, instant in state.holds(task)), default=EARLIER)
    limits = limits_on(
        network.incoming[network.rank[task]],
        forecast.nodes,
        gap_calendar_of(network, calendars),
        not_before,
    )
    start, _ = calendar_at(calendars, base).earliest(*limits, network.minutes[task])
    return start < forecast.start[task]


def _telling(number: int, instant: int, network: Network) -> tuple[int, str, str, int, bool]:
    """Return the key by which the told driver is the smallest: latest instant, then id."""
    link = network.links[number]
    return (
        -instant,
        network.ids[link.source],
        link.kind.value,
        link.gap_minutes,
        link.gap_elapsed,
    )
