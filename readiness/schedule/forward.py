"""The forward pass: when every task starts and finishes, if nothing else happens.

Invariant: every step is a monotone map of instants, so a later limit or a longer task never gives
an earlier date; `NEVER` in gives `NEVER` out.
"""

# ruff: noqa: PLR1730 - `max` and `min` cost a call; the loops below run over every link

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from typing import NamedTuple

from readiness.job.instants import EARLIER, NEVER, shifted
from readiness.schedule.calendar import CLOCK, Calendar, Clock
from readiness.schedule.network import Gap, Network, Row, source_node
from readiness.schedule.state import State
from readiness.schedule.worktime import Table, Worktime
from readiness.site.task import Link


class Forecast(NamedTuple):
    """The early dates, parallel to the tasks."""

    nodes: list[int]
    """Start and finish of every task in turn: the start of task i is `nodes[2 * i]`."""
    start: list[int]
    finish: list[int]


def calendar_at(calendars: Sequence[Calendar], index: int | None) -> Calendar:
    """Return the calendar of an index; without one it is the clock."""
    return CLOCK if index is None else calendars[index]


def table_at(calendars: Sequence[Calendar], index: int | None) -> Table | None:
    """Return the columns of a calendar of spans; None where only the calendar itself can time."""
    calendar = calendar_at(calendars, index)
    return calendar.table if isinstance(calendar, Worktime) else None


def gap_calendar_of(network: Network, calendars: Sequence[Calendar]) -> Worktime | Clock:
    """Return the calendar on which working gaps count.

    Raises:
        TypeError: The job's calendar is one of slots, on which no gap can be counted.
    """
    calendar = calendar_at(calendars, network.gap_calendar)
    if not isinstance(calendar, Worktime | Clock):
        message = "working gaps need a calendar of working time or the clock"
        raise TypeError(message)
    return calendar


def gap_end(calendar: Worktime | Clock, instant: int, gap: Gap) -> int:
    """Return the instant after a gap; a working gap counts on the calendar given."""
    return (shifted if gap.elapsed else calendar.finish)(instant, gap.minutes)


def imposed(link: Link, network: Network, calendars: Sequence[Calendar], forecast: Forecast) -> int:
    """Return the instant a link imposes on its later task, its gap included."""
    instant = forecast.nodes[source_node(link)]
    if link.gap_elapsed:
        return shifted(instant, link.gap_minutes)
    return gap_calendar_of(network, calendars).finish(instant, link.gap_minutes)


def limits_on(
    row: Row, nodes: Sequence[int], gap_calendar: Worktime | Clock, not_before: int
) -> tuple[int, int]:
    """Return the largest start limit and the largest finish limit on the task of a row."""
    start_limit = max((nodes[node] for node in row.starts), default=EARLIER)
    finish_limit = max((nodes[node] for node in row.finishes), default=EARLIER)
    for gap in row.gaps:
        instant = gap_end(gap_calendar, nodes[gap.there], gap)
        if gap.here:
            finish_limit = max(finish_limit, instant)
        else:
            start_limit = max(start_limit, instant)
    return max(start_limit, not_before), finish_limit


def forward(  # noqa: C901, PLR0912, PLR0915 - one loop; a call per task would cost more
    network: Network, calendars: Sequence[Calendar], state: State
) -> Forecast:
    """Return the early dates of all tasks.

    Work that lies within the known stretch of its calendar is timed in place, since nearly all
    does and a call would cost more than the work; everything else goes through its calendar.
    """
    count = len(network.ids)
    nodes = [EARLIER] * (2 * count)
    not_before = state.not_before(count)
    noted = state.begun.keys() | state.finished.keys() | state.never
    calendar, lengths = network.calendar, network.minutes
    gap_finish = gap_calendar_of(network, calendars).finish
    tables = [table_at(calendars, index) for index in range(len(calendars))]
    for row in network.incoming:
        task, starts, finishes, gaps = row
        start_limit = not_before[task]
        finish_limit = EARLIER
        for node in starts:
            instant = nodes[node]
            if instant > start_limit:
                start_limit = instant
        for node in finishes:
            instant = nodes[node]
            if instant > finish_limit:
                finish_limit = instant
        for here, node, gap_minutes, elapsed in gaps:
            instant = (shifted if elapsed else gap_finish)(nodes[node], gap_minutes)
            if here:
                if instant > finish_limit:
                    finish_limit = instant
            elif instant > start_limit:
                start_limit = instant
        if noted and task in noted:
            nodes[2 * task], nodes[2 * task + 1] = _noted(row, nodes, network, calendars, state)
            continue
        minutes = lengths[task]
        index = calendar[task]
        table = None if index is None else tables[index]
        if table is not None and minutes:
            low, high, opens, shuts, bases, afters = table
            span = bisect_right(shuts, start_limit)
            start = opens[span]
            if start_limit > start:
                start = start_limit
            finish = start + minutes
            if finish > shuts[span]:
                finish -= bases[span]
                finish += bases[bisect_left(afters, finish)]
            if finish < finish_limit:
                span = bisect_right(shuts, finish_limit - 1)
                finish = opens[span] + 1
                if finish_limit > finish:
                    finish = finish_limit
                start = finish - minutes
                if start < opens[span]:
                    start -= bases[span]
                    start += bases[bisect_right(afters, start)]
            if low <= start and finish <= high:
                nodes[2 * task] = start
                nodes[2 * task + 1] = finish
                continue
        calendar_of_task = calendar_at(calendars, index)
        start, finish = calendar_of_task.earliest(start_limit, finish_limit, minutes)
        nodes[2 * task] = start
        nodes[2 * task + 1] = finish
        if index is not None:
            tables[index] = table_at(calendars, index)
    return Forecast(nodes, nodes[0::2], nodes[1::2])


def _noted(
    row: Row,
    nodes: Sequence[int],
    network: Network,
    calendars: Sequence[Calendar],
    state: State,
) -> tuple[int, int]:
    """Return start and finish of a task of which something was seen, or that has no date."""
    task = row.task
    if task in state.finished:
        return state.finished[task].start, state.finished[task].finish
    if task in state.never:
        return NEVER, NEVER
    begun = state.begun[task]
    gap_calendar = gap_calendar_of(network, calendars)
    binding = without_starts_of_starts(row)
    start_limit, finish_limit = limits_on(binding, nodes, gap_calendar, EARLIER)
    calendar = calendar_at(calendars, network.calendar[task])
    finish = calendar.resumed(start_limit, begun.resume_from, finish_limit, begun.remaining_minutes)
    return begun.start, finish


def without_starts_of_starts(row: Row) -> Row:
    """Return an incoming row without its start-to-start links, which bind nothing once begun."""
    return row._replace(
        starts=tuple(node for node in row.starts if node & 1),
        gaps=tuple(gap for gap in row.gaps if gap.here or gap.there & 1),
    )
