"""The site while it is being laid out: tasks and links are only ever added.

Invariant: a task keeps the index it was given, and ids are unique.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from readiness.site.task import Link, LinkKind, Task, TaskKind

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from readiness.facts.rows import Facts
    from readiness.facts.vocabulary import Order
    from readiness.job.job import Job
    from readiness.job.origin import Origin
    from readiness.site.calendars import Calendar
    from readiness.site.places import Places
    from readiness.site.stays import Dropped, Stay


@dataclass(slots=True)
class Drawing:
    """What the steps of laying out share and add to."""

    job: Job
    facts: Facts
    places: Places
    origin_of: Callable[..., Origin]
    calendars: list[Calendar]
    calendar_index: dict[str, int]
    stays: Mapping[str, Stay]
    tasks: list[Task] = field(default_factory=list)
    links: list[Link] = field(default_factory=list)
    orders: dict[int, Mapping[str, Order]] = field(default_factory=dict)
    dropped: dict[Dropped, None] = field(default_factory=dict)
    """Usual links that the foam has no room for, each once."""

    def calendar(self, name: str) -> int:
        """Return the index of the calendar with that id."""
        return self.calendar_index[name]

    def day_minutes(self, calendar: str) -> int:
        """Return the length of a working day on a calendar."""
        return self.calendars[self.calendar_index[calendar]].day_minutes

    def task(  # noqa: PLR0913  a task is nothing but its fields
        self,
        name: str,
        kind: TaskKind,
        title: str,
        *,
        stay: str,
        place: str,
        origin: Origin,
        trade: str | None = None,
        calendar: int | None = None,
        minutes: int = 0,
        surfaces: frozenset[str] = frozenset(),
    ) -> int:
        """Add a task and return its index."""
        index = len(self.tasks)
        self.tasks.append(
            Task(
                index=index,
                id=name,
                kind=kind,
                title=title,
                stay=stay,
                trade=trade,
                place=place,
                calendar=calendar,
                minutes=minutes,
                origin=origin,
                surfaces=surfaces,
            )
        )
        return index

    def link(  # noqa: PLR0913  a link is nothing but its fields
        self,
        source: int,
        target: int,
        reason: str,
        origin: Origin,
        *,
        kind: LinkKind = LinkKind.END_TO_START,
        gap_minutes: int = 0,
        gap_elapsed: bool = False,
    ) -> None:
        """Add a link."""
        self.links.append(Link(source, target, kind, gap_minutes, gap_elapsed, reason, origin))
