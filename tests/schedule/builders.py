"""Small networks and calendars for the tests of the schedule.

Invariant: the same arguments give the same network, whatever machine and day.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence

from readiness.job.origin import Origin
from readiness.schedule.worktime import Worktime
from readiness.site.task import Link, LinkKind, Task, TaskKind

DAY = 24 * 60
NOWHERE = Origin("test")

MONDAY = 2_922 * 10 * DAY - 4 * DAY
"""A midnight that these tests call a Monday; weeks are counted from it."""


def weekly(
    hours: Sequence[tuple[int, int]], days: Sequence[int], *, weeks: int = 8, shift: int = 0
) -> Worktime:
    """Return a calendar that works the hours, in minutes of the day, on days 0 (Monday) to 6."""

    def spans(low: int, high: int) -> list[tuple[int, int]]:
        first = (low - MONDAY) // DAY - 1
        last = (high - MONDAY) // DAY + 1
        return [
            (MONDAY + day * DAY + opened + shift, MONDAY + day * DAY + shut + shift)
            for day in range(first, last)
            if day % 7 in days
            for opened, shut in hours
        ]

    return Worktime(spans, MONDAY - 7 * DAY, MONDAY + weeks * 7 * DAY)


def nine_calendars(weeks: int = 8) -> list[Worktime]:
    """Return nine calendars of trades as they stand beside each other on a site."""
    weekdays = (0, 1, 2, 3, 4)
    day_shift = ((7 * 60, 12 * 60), (12 * 60 + 30, 15 * 60 + 30))
    return [
        weekly(day_shift, weekdays, weeks=weeks),
        weekly(((8 * 60, 12 * 60), (13 * 60, 17 * 60)), weekdays, weeks=weeks),
        weekly(((6 * 60, 16 * 60),), (0, 1, 2, 3), weeks=weeks),
        weekly(((7 * 60, 15 * 60),), (0, 1, 2, 3, 4, 5), weeks=weeks),
        weekly(((18 * 60, 24 * 60),), weekdays, weeks=weeks),
        weekly(((0, 24 * 60),), (0, 1, 2, 3, 4, 5, 6), weeks=weeks),
        weekly(((9 * 60, 13 * 60),), (0, 2, 4), weeks=weeks),
        weekly(((22 * 60, 30 * 60),), (0, 1, 2, 3, 6), weeks=weeks),
        weekly(day_shift, (5, 6), weeks=weeks),
    ]


def task(index: int, minutes: int, calendar: int | None = None, name: str | None = None) -> Task:
    """Return a task of which only length and calendar matter."""
    return Task(
        index=index,
        id=name if name is not None else f"t{index:06d}",
        kind=TaskKind.WORK,
        title="work",
        stay="stay",
        trade=None,
        place="house",
        calendar=calendar,
        minutes=minutes,
        origin=NOWHERE,
    )


def link(
    source: int,
    target: int,
    kind: LinkKind = LinkKind.END_TO_START,
    gap: int = 0,
    *,
    elapsed: bool = False,
) -> Link:
    """Return a link without a reason of its own."""
    return Link(source, target, kind, gap, elapsed, "test", NOWHERE)


def random_links(
    count: int, per_task: int, chooser: random.Random, *, gaps: float = 0.1, mixed: bool = True
) -> list[Link]:
    """Return about so many links per task, all four kinds in turn, some with working gaps."""
    shuffled = list(range(count))
    chooser.shuffle(shuffled)
    kinds: list[LinkKind] = list(LinkKind) if mixed else [LinkKind.END_TO_START]
    links = []
    for number in range(count * per_task):
        first, second = sorted((chooser.randrange(count), chooser.randrange(count)))
        if first == second:
            continue
        gap = chooser.randrange(1, 600) if chooser.random() < gaps else 0
        links.append(link(shuffled[first], shuffled[second], kinds[number % len(kinds)], gap))
    return links


def random_tasks(
    count: int, calendars: int, chooser: random.Random, minutes: Callable[[], int] | None = None
) -> list[Task]:
    """Return tasks spread over the calendars."""
    lengths = minutes if minutes is not None else (lambda: chooser.randrange(30, 960))
    return [task(index, lengths(), chooser.randrange(calendars)) for index in range(count)]
