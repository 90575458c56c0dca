"""The backward pass: the latest dates that still keep the limits of some targets.

Invariant: every step is the adjoint of the forward step over the same link or task, so a task that
starts by its late start crosses no limit, and one that starts a minute later does.
"""

# ruff: noqa: PLR1730 - `max` and `min` cost a call; the loops below run over every link

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Collection, Container, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from readiness.job.instants import NEVER, shifted
from readiness.schedule.calendar import Calendar, Clock
from readiness.schedule.forward import calendar_at, gap_calendar_of, table_at
from readiness.schedule.network import Gap, Network, Row
from readiness.schedule.state import Begun, State
from readiness.schedule.worktime import Worktime


@dataclass(frozen=True, slots=True)
class Targets:
    """Upper limits to work back from, keyed by task index."""

    start: Mapping[int, int] = field(default_factory=dict)
    finish: Mapping[int, int] = field(default_factory=dict)


class Late(NamedTuple):
    """The late dates, parallel to the tasks; `NEVER` where no target is reached.

    A task under way has the latest instants at which what is left may go on and end; one that is
    finished or without a date has `NEVER`, for nothing can move it.
    """

    nodes: list[int]
    """Late start and late finish of every task in turn."""
    start: list[int]
    finish: list[int]
    start_limit: list[int]
    """The latest start allowed over what leaves from the start of each task, and by targets."""
    finish_limit: list[int]
    """The latest finish allowed over what leaves from the finish of each task, and by targets."""


def gap_start(calendar: Worktime | Clock, instant: int, gap: Gap) -> int:
    """Return the latest instant from which a gap is over by the given one."""
    return (
        shifted(instant, -gap.minutes)
        if gap.elapsed
        else calendar.latest_start(instant, gap.minutes)
    )


def backward(  # noqa: C901, PLR0912, PLR0913, PLR0915 - one loop; a call per task would cost more
    network: Network,
    calendars: Sequence[Calendar],
    targets: Targets,
    *,
    state: State | None = None,
    within: Collection[int] | None = None,
    otherwise: int = NEVER,
) -> Late:
    """Return the late dates that the targets allow.

    Args:
        network: The tasks and links.
        calendars: The calendars its indexes mean.
        targets: Latest starts and finishes of some tasks.
        state: What was seen; None works on the plan as if nothing had begun.
        within: The only tasks to work back through; None means all.
        otherwise: Limit of the finish of each task without a path to a target; it is passed on
            among those, and never to a task that has a path.
    """
    count = len(network.ids)
    nodes = [NEVER] * (2 * count)
    start_limits = [NEVER] * count
    finish_limits = [NEVER] * count
    for task, instant in targets.start.items():
        start_limits[task] = instant
    for task, instant in targets.finish.items():
        finish_limits[task] = instant
    begun = {} if state is None else state.begun
    finished = {} if state is None else state.finished
    released = released_by(network, begun)
    calendar, lengths = network.calendar, network.minutes
    gap_latest = gap_calendar_of(network, calendars).latest_start
    tables = [table_at(calendars, index) for index in range(len(calendars))]
    loose: list[Row] = []
    for row in _rows_back(network, within):
        task, starts, finishes, gaps = row
        if task in finished:
            continue
        if task in released:
            starts, gaps = still_binding(row, begun)
        start_limit = start_limits[task]
        finish_limit = finish_limits[task]
        for node in starts:
            instant = nodes[node]
            if instant < start_limit:
                start_limit = instant
        for node in finishes:
            instant = nodes[node]
            if instant < finish_limit:
                finish_limit = instant
        for here, node, gap_minutes, elapsed in gaps:
            instant = (
                shifted(nodes[node], -gap_minutes)
                if elapsed
                else gap_latest(nodes[node], gap_minutes)
            )
            if here:
                if instant < finish_limit:
                    finish_limit = instant
            elif instant < start_limit:
                start_limit = instant
        start_limits[task] = start_limit
        finish_limits[task] = finish_limit
        if start_limit == NEVER == finish_limit:
            loose.append(row)
            continue
        minutes = lengths[task]
        index = calendar[task]
        table = None if index is None or task in begun else tables[index]
        if table is not None and minutes:
            low, high, opens, shuts, bases, afters = table
            start = finish = NEVER
            if finish_limit <= high:
                span = bisect_left(shuts, finish_limit)
                start = opens[span]
                if finish_limit > start:
                    finish = finish_limit
                    if finish - minutes >= start:
                        start = finish - minutes
                    else:
                        start = finish - bases[span] - minutes
                        start += bases[bisect_right(afters, start)]
                else:
                    finish = shuts[span - 1]
                    start -= bases[span] + minutes
                    start += bases[bisect_right(afters, start)]
            if start_limit < start:
                span = bisect_right(opens, start_limit) - 1
                last = shuts[span] - 1
                if start_limit < last:
                    last = start_limit
                if last < start:
                    start = last
                    finish = start + minutes
                    if finish > shuts[span]:
                        finish -= bases[span]
                        finish += bases[bisect_left(afters, finish)]
            if low <= start and finish <= high and (start_limit < high or start_limit == NEVER):
                nodes[2 * task] = start
                nodes[2 * task + 1] = finish
                continue
        nodes[2 * task], nodes[2 * task + 1] = _latest(
            task, minutes, (start_limit, finish_limit), calendar_at(calendars, index), begun
        )
        if index is not None:
            tables[index] = table_at(calendars, index)
    late = Late(nodes, [], [], start_limits, finish_limits)
    if otherwise < NEVER:
        _limit_loose(loose, otherwise, late, network, calendars, begun)
    late.start[:] = nodes[0::2]
    late.finish[:] = nodes[1::2]
    return late


def limits_back(
    row: Row, nodes: Sequence[int], gap_calendar: Worktime | Clock, begun: Container[int] = ()
) -> tuple[int, int]:
    """Return the least start limit and the least finish limit that leave a task of a row."""
    starts, gaps = still_binding(row, begun)
    start_limit = min((nodes[node] for node in starts), default=NEVER)
    finish_limit = min((nodes[node] for node in row.finishes), default=NEVER)
    for gap in gaps:
        instant = gap_start(gap_calendar, nodes[gap.there], gap)
        if gap.here:
            finish_limit = min(finish_limit, instant)
        else:
            start_limit = min(start_limit, instant)
    return start_limit, finish_limit


def _rows_back(network: Network, within: Collection[int] | None) -> Iterable[Row]:
    """Give the outgoing rows from the last task to the first."""
    if within is None:
        return reversed(network.outgoing)
    ranks = sorted((network.rank[task] for task in within), reverse=True)
    return (network.outgoing[rank] for rank in ranks)


def released_by(network: Network, begun: Collection[int]) -> frozenset[int]:
    """Return the tasks with a start-to-start link into one that has begun."""
    rows = (network.incoming[network.rank[task]] for task in begun)
    return frozenset(
        node >> 1
        for row in rows
        for node in (*row.starts, *(gap.there for gap in row.gaps if not gap.here))
        if not node & 1
    )


def still_binding(row: Row, begun: Container[int]) -> tuple[tuple[int, ...], tuple[Gap, ...]]:
    """Return the links from a start that still bind: not those to the start of one begun."""
    starts = tuple(node for node in row.starts if node & 1 or node >> 1 not in begun)
    gaps = tuple(
        gap for gap in row.gaps if gap.here or gap.there & 1 or gap.there >> 1 not in begun
    )
    return starts, gaps


def _latest(
    task: int,
    minutes: int,
    limits: tuple[int, int],
    calendar: Calendar,
    begun: Mapping[int, Begun],
) -> tuple[int, int]:
    """Return the late dates of one task through its calendar."""
    if task in begun:
        return calendar.latest_resumption(limits[1], begun[task].remaining_minutes)
    return calendar.latest(*limits, minutes)


def _limit_loose(  # noqa: PLR0913, PLR0917 - the second half of `backward`
    loose: Sequence[Row],
    otherwise: int,
    late: Late,
    network: Network,
    calendars: Sequence[Calendar],
    begun: Mapping[int, Begun],
) -> None:
    """Give late dates to the tasks without a path to a target, the last one first."""
    gap_calendar = gap_calendar_of(network, calendars)
    for row in loose:
        start_limit, finish_limit = limits_back(row, late.nodes, gap_calendar, begun)
        finish_limit = min(finish_limit, otherwise)
        late.start_limit[row.task] = start_limit
        late.finish_limit[row.task] = finish_limit
        late.nodes[2 * row.task], late.nodes[2 * row.task + 1] = _latest(
            row.task,
            network.minutes[row.task],
            (start_limit, finish_limit),
            calendar_at(calendars, network.calendar[row.task]),
            begun,
        )
