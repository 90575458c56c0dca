"""The network of tasks and links, compiled once to index lists that the passes can run through.

The standard library puts the tasks in order; the groups of those that wait for each other are
found as a graph (see `graph`), once there is no order.

A pass sees two *nodes* per task, its start (twice its index) and its finish (one more), so that the
four kinds of link become two: those that limit a start and those that limit a finish.

Invariant: every row stands after the rows it waits for, and no order of the links given changes
anything a pass computes.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from graphlib import CycleError, TopologicalSorter
from typing import NamedTuple

from readiness.schedule.circles import Circle
from readiness.site.task import Link, LinkKind, Task

FROM_FINISH = frozenset({LinkKind.END_TO_START, LinkKind.END_TO_END})
"""Links that leave from the finish of the earlier task."""

INTO_FINISH = frozenset({LinkKind.END_TO_END, LinkKind.START_TO_END})
"""Links that limit the finish of the later task."""


class Gap(NamedTuple):
    """A link with a gap, seen from one of its ends."""

    here: int
    """0 if it touches the start of the task of this row, 1 if its finish."""
    there: int
    """The node at the other end."""
    minutes: int
    elapsed: bool
    """Whether the minutes are clock time, not working time of the job's calendar."""


class Row(NamedTuple):
    """One task with its links on one side: those that come in, or those that go out."""

    task: int
    starts: tuple[int, ...]
    """Nodes joined to its start without a gap."""
    finishes: tuple[int, ...]
    """Nodes joined to its finish without a gap."""
    gaps: tuple[Gap, ...]


class Numbered(NamedTuple):
    """The numbers of the links of a row, in its three columns."""

    starts: tuple[int, ...]
    finishes: tuple[int, ...]
    gaps: tuple[int, ...]

    def numbers(self) -> list[int]:
        """Return the numbers of all links, in ascending order."""
        return sorted((*self.starts, *self.finishes, *self.gaps))


class CircleError(ValueError):
    """Some tasks wait for each other, so that no order exists."""

    def __init__(self, circles: tuple[Circle, ...]) -> None:
        """Keep one shortest chain for each group of tasks that wait for each other."""
        self.circles = circles
        super().__init__(f"{len(circles)} groups of tasks wait for each other")


@dataclass(frozen=True, slots=True)
class Network:
    """Tasks and links in the form the passes use; index lists are parallel to the tasks given."""

    ids: tuple[str, ...]
    links: tuple[Link, ...]
    order: tuple[int, ...]
    """Task indexes, every one after those it waits for."""
    rank: tuple[int, ...]
    """Position of each task in `order`."""
    minutes: tuple[int, ...]
    calendar: tuple[int | None, ...]
    """Index of the calendar each task runs on; None is the clock."""
    base_calendar: tuple[int | None, ...]
    """Index of the calendar before anything was closed for the task."""
    gap_calendar: int | None
    """Index of the job's calendar, on which working gaps count; None is the clock."""
    incoming: tuple[Row, ...]
    """Rows in order, with the links each task waits for."""
    numbered: tuple[Numbered, ...]
    """Parallel to `incoming`: the link numbers of its rows, to say which link drives."""
    outgoing: tuple[Row, ...]
    """Rows in order, with the links that wait for each task."""

    def with_calendars(self, calendar: Sequence[int | None]) -> Network:
        """Return the same network with tasks moved to other calendars, order and links shared.

        What each task ran on at first stays its base calendar.

        Raises:
            ValueError: Not one calendar for each task.
        """
        if len(calendar) != len(self.ids):
            message = f"{len(self.ids)} tasks need as many calendars, got {len(calendar)}"
            raise ValueError(message)
        return replace(self, calendar=tuple(calendar))

    def with_minutes(self, minutes: Mapping[int, int]) -> Network:
        """Return the same network with some tasks of another length, order and links shared.

        Raises:
            ValueError: A task would last less than nothing.
        """
        if any(length < 0 for length in minutes.values()):
            message = "a task cannot last less than nothing"
            raise ValueError(message)
        if not minutes:
            return self
        lengths = list(self.minutes)
        for task, length in minutes.items():
            lengths[task] = length
        return replace(self, minutes=tuple(lengths))

    def upstream(self, tasks: Iterable[int]) -> frozenset[int]:
        """Return the tasks that the given ones wait for through any chain, without themselves."""
        return self._reached(tasks, self.incoming)

    def downstream(self, tasks: Iterable[int]) -> frozenset[int]:
        """Return the tasks that wait for the given ones through any chain, without themselves."""
        return self._reached(tasks, self.outgoing)

    def _reached(self, tasks: Iterable[int], rows: tuple[Row, ...]) -> frozenset[int]:
        """Return what the rows lead to from the tasks, the tasks themselves left out."""
        given = frozenset(tasks)
        seen: set[int] = set()
        waiting = sorted(given)
        while waiting:
            for other in neighbours(rows[self.rank[waiting.pop()]]):
                if other not in seen:
                    seen.add(other)
                    waiting.append(other)
        return frozenset(seen - given)


def neighbours(row: Row) -> list[int]:
    """Return the tasks at the other ends of a row's links, once for each link."""
    nodes = [*row.starts, *row.finishes, *(gap.there for gap in row.gaps)]
    return [node >> 1 for node in nodes]


def compiled(tasks: Sequence[Task], links: Sequence[Link], gap_calendar: int | None) -> Network:
    """Return the network for the passes; tasks must stand at their own index.

    Raises:
        CircleError: Tasks wait for each other.
        ValueError: A task stands elsewhere than its index says, or something lasts less than
            nothing.
    """
    _check(tasks, links)
    settled = _settled_order(links)
    order = _in_order(tasks, links, settled)
    rank = [0] * len(tasks)
    for position, task in enumerate(order):
        rank[task] = position
    numbered = _numbered(links, settled, order, target_node)
    outgoing = _numbered(links, settled, order, source_node)
    calendar = tuple(task.calendar for task in tasks)
    return Network(
        ids=tuple(task.id for task in tasks),
        links=tuple(links),
        order=order,
        rank=tuple(rank),
        minutes=tuple(task.minutes for task in tasks),
        calendar=calendar,
        base_calendar=calendar,
        gap_calendar=gap_calendar,
        incoming=tuple(
            _row(task, numbers, links, (target_node, source_node))
            for task, numbers in zip(order, numbered, strict=True)
        ),
        numbered=numbered,
        outgoing=tuple(
            _row(task, numbers, links, (source_node, target_node))
            for task, numbers in zip(order, outgoing, strict=True)
        ),
    )


def _in_order(
    tasks: Sequence[Task], links: Sequence[Link], settled: Sequence[int]
) -> tuple[int, ...]:
    """Return the task indexes, every one after those it waits for.

    Raises:
        CircleError: Tasks wait for each other.
    """
    waiting = TopologicalSorter({task.index: () for task in tasks})
    for number in settled:
        waiting.add(links[number].target, links[number].source)
    try:
        return tuple(waiting.static_order())
    except CycleError:
        from readiness.schedule.graph import circles

        raise CircleError(circles(len(tasks), links)) from None


def source_node(link: Link) -> int:
    """Return the node a link leaves from."""
    return 2 * link.source + (link.kind in FROM_FINISH)


def target_node(link: Link) -> int:
    """Return the node a link limits."""
    return 2 * link.target + (link.kind in INTO_FINISH)


def _check(tasks: Sequence[Task], links: Sequence[Link]) -> None:
    """Refuse what would make a pass wrong without a sign of it."""
    for position, task in enumerate(tasks):
        if task.index != position:
            message = f"task {task.id} stands at {position}, not at its index {task.index}"
            raise ValueError(message)
        if task.minutes < 0:
            message = f"task {task.id} lasts {task.minutes} minutes"
            raise ValueError(message)
    for link in links:
        if link.gap_minutes < 0:
            message = f"the gap from {link.source} to {link.target} is {link.gap_minutes} minutes"
            raise ValueError(message)


def _settled_order(links: Sequence[Link]) -> list[int]:
    """Return the link numbers in an order that does not depend on how they were given."""

    def place(number: int) -> tuple[int, int, str, int, bool, int]:
        link = links[number]
        return (
            link.source,
            link.target,
            link.kind.value,
            link.gap_minutes,
            link.gap_elapsed,
            number,
        )

    return sorted(range(len(links)), key=place)


def _numbered(
    links: Sequence[Link],
    settled: Sequence[int],
    order: Sequence[int],
    here_node: Callable[[Link], int],
) -> tuple[Numbered, ...]:
    """Return, for each task in order, the numbers of the links that touch it on one side."""
    columns: list[tuple[list[int], list[int], list[int]]] = [([], [], []) for _ in order]
    for number in settled:
        here = here_node(links[number])
        column = 2 if links[number].gap_minutes else here & 1
        columns[here >> 1][column].append(number)
    return tuple(Numbered(*map(tuple, columns[task])) for task in order)


def _row(
    task: int,
    numbers: Numbered,
    links: Sequence[Link],
    ends: tuple[Callable[[Link], int], Callable[[Link], int]],
) -> Row:
    """Return the row of a task, its links told by their nodes.

    Rows are made in the order in which the passes read them, so that they lie beside each other.
    """
    here_node, there_node = ends
    return Row(
        task,
        tuple(there_node(links[number]) for number in numbers.starts),
        tuple(there_node(links[number]) for number in numbers.finishes),
        tuple(
            Gap(here_node(link) & 1, there_node(link), link.gap_minutes, link.gap_elapsed)
            for link in (links[number] for number in numbers.gaps)
        ),
    )
