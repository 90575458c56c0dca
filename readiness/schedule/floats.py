"""How far each task may slip: up to the late dates, and without moving what waits for it.

Invariant: a float is counted in working minutes of the task's own calendar (clock minutes without
one, slot minutes in an office); `total_float` is the smaller of start and finish float.
"""

# ruff: noqa: FURB136, PLR1730 - `max` and `min` cost a call; the loops below run over every link

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from typing import NamedTuple

from readiness.job.instants import NEVER, shifted
from readiness.schedule.backward import Late, released_by, still_binding
from readiness.schedule.calendar import CLOCK, Calendar
from readiness.schedule.forward import Forecast, calendar_at, gap_calendar_of, table_at
from readiness.schedule.network import Network
from readiness.schedule.state import State
from readiness.schedule.worktime import Table


class Floats(NamedTuple):
    """Minutes parallel to the tasks; `NEVER` where nothing limits, negative where it is late.

    A task under way has only a finish float, and a finished one none at all: `NEVER`.
    """

    start_float: list[int]
    finish_float: list[int]
    total_float: list[int]
    free_float: list[int]


def floats(  # noqa: C901, PLR0912 - one loop over all tasks; calls would cost more than the work
    network: Network,
    calendars: Sequence[Calendar],
    forecast: Forecast,
    late: Late,
    state: State,
) -> Floats:
    """Return the floats of all tasks."""
    count = len(network.ids)
    start_floats, finish_floats = [NEVER] * count, [NEVER] * count
    total_floats, free_floats = [NEVER] * count, [NEVER] * count
    begun, finished = state.begun, state.finished
    early = _dates_to_keep(network, calendars, forecast, state)
    released = released_by(network, begun)
    calendar, lengths, nodes = network.calendar, network.minutes, forecast.nodes
    start_lates, finish_lates = late.start_limit, late.finish_limit
    gap_latest = gap_calendar_of(network, calendars).latest_start
    tables = [table_at(calendars, index) for index in range(len(calendars))]
    for row in network.outgoing:
        task, starts, finishes, gaps = row
        if task in finished:
            continue
        if task in released:
            starts, gaps = still_binding(row, begun)
        start_limit = finish_limit = NEVER
        for node in starts:
            instant = early[node]
            if instant < start_limit:
                start_limit = instant
        for node in finishes:
            instant = early[node]
            if instant < finish_limit:
                finish_limit = instant
        for here, node, gap_minutes, elapsed in gaps:
            instant = (
                shifted(early[node], -gap_minutes)
                if elapsed
                else gap_latest(early[node], gap_minutes)
            )
            if here:
                if instant < finish_limit:
                    finish_limit = instant
            elif instant < start_limit:
                start_limit = instant
        minutes = lengths[task]
        index = calendar[task]
        start, finish = nodes[2 * task], nodes[2 * task + 1]
        own = CLOCK if index is None else calendars[index]
        if task in begun:
            start_float = NEVER
            finish_float = own.minutes_between(finish, late.finish_limit[task])
            free = own.minutes_between(finish, finish_limit)
        else:
            item = (tables[index] if minutes and index is not None else None, own, start, minutes)
            start_float, finish_float = _slips(item, start_lates[task], finish_lates[task])
            if start_limit == start or finish_limit == finish:
                free = 0
            else:
                start_slip, finish_slip = _slips(item, start_limit, finish_limit)
                free = finish_slip if finish_slip < start_slip else start_slip
        total = finish_float if finish_float < start_float else start_float
        start_floats[task] = start_float
        finish_floats[task] = finish_float
        total_floats[task] = total
        free_floats[task] = total if start_limit == NEVER == finish_limit else free
    return Floats(start_floats, finish_floats, total_floats, free_floats)


def _slips(
    item: tuple[Table | None, Calendar, int, int], start_limit: int, finish_limit: int
) -> tuple[int, int]:
    """Return how far a task may slip to keep a limit of its start, and one of its finish."""
    table, calendar, start, minutes = item
    start_slip = finish_slip = NEVER
    if table is None:
        return _slips_beyond(calendar, start, minutes, start_limit, finish_limit)
    low, high, opens, shuts, bases, _ = table
    if not low <= start < high:
        return _slips_beyond(calendar, start, minutes, start_limit, finish_limit)
    worked = start - bases[bisect_right(shuts, start)]
    if finish_limit < NEVER:
        if not low < finish_limit <= high:
            return _slips_beyond(calendar, start, minutes, start_limit, finish_limit)
        span = bisect_left(shuts, finish_limit)
        opened = opens[span]
        if finish_limit > opened:
            opened = finish_limit
        finish_slip = opened - bases[span] - minutes - worked
    if start_limit < NEVER:
        if not low < start_limit < high:
            return _slips_beyond(calendar, start, minutes, start_limit, finish_limit)
        span = bisect_right(opens, start_limit) - 1
        last = shuts[span] - 1
        if start_limit < last:
            last = start_limit
        start_slip = last - bases[span] - worked
    return start_slip, finish_slip


def _slips_beyond(
    calendar: Calendar, start: int, minutes: int, start_limit: int, finish_limit: int
) -> tuple[int, int]:
    """Return the slips through the calendar itself, for dates its table does not hold."""
    start_slip = finish_slip = NEVER
    if start_limit < NEVER:
        last, _ = calendar.latest(start_limit, NEVER, minutes)
        start_slip = calendar.minutes_between(start, last)
    if finish_limit < NEVER:
        last, _ = calendar.latest(NEVER, finish_limit, minutes)
        finish_slip = calendar.minutes_between(start, last)
    return start_slip, finish_slip


def _dates_to_keep(
    network: Network, calendars: Sequence[Calendar], forecast: Forecast, state: State
) -> list[int]:
    """Return the early dates as limits for what goes before them.

    What is finished cannot be moved any more; of what is under way only the rest can.
    """
    if not state.finished and not state.begun:
        return forecast.nodes
    early = list(forecast.nodes)
    for task in state.finished:
        early[2 * task] = early[2 * task + 1] = NEVER
    for task, under_way in state.begun.items():
        early[2 * task], _ = calendar_at(calendars, network.calendar[task]).latest_resumption(
            forecast.finish[task], under_way.remaining_minutes
        )
    return early
