"""What must be true before somebody comes, and who waits for it, in words without dates.

Dates of others belong into their own calendars: repeated here they would grow stale.

Invariant: no forecast date is told; what is finished is not told.
"""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from readiness.site.task import TaskKind

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.telling.case import Case

MOST_TOLD = 6
"""More than this nobody reads on a phone; the rest is counted."""

_PASSED_THROUGH = frozenset(
    {TaskKind.MILESTONE, TaskKind.CORRECTION, TaskKind.ARRIVAL, TaskKind.KEEP_OUT}
)
"""Steps that nobody does: whoever stands behind them is told instead."""


class Neighbours:
    """Looks up what tasks wait for, and what waits for them."""

    def __init__(self, case: Case) -> None:
        """Index the links once."""
        self.case = case
        self._before: dict[int, list[int]] = defaultdict(list)
        self._after: dict[int, list[int]] = defaultdict(list)
        for link in case.site.links:
            self._before[link.target].append(link.source)
            self._after[link.source].append(link.target)

    def before(self, tasks: Iterable[int]) -> tuple[str, ...]:
        """Return what must be true before the tasks, each once, in the order of the site."""
        return self._told(tasks, self._before)

    def after(self, tasks: Iterable[int], trade: str = "") -> tuple[str, ...]:
        """Return what waits for the tasks, each once, in the order of the site.

        Args:
            tasks: What is waited for.
            trade: Tell only what this trade does.
        """
        return self._told(tasks, self._after, trade)

    def trades_after(self, tasks: Iterable[int]) -> frozenset[str]:
        """Return the trades that wait for the tasks."""
        finished = self.case.outlook.known.state.finished
        rows = [
            self.case.site.tasks[t] for t in self._near(tasks, self._after) if t not in finished
        ]
        return frozenset(row.trade for row in rows if row.trade is not None)

    def _told(
        self, tasks: Iterable[int], links: dict[int, list[int]], trade: str = ""
    ) -> tuple[str, ...]:
        asked = set(tasks)
        own = {self.case.site.tasks[task].stay for task in asked}
        found = self._near(asked, links)
        finished = self.case.outlook.known.state.finished
        names = dict.fromkeys(
            self._named(task)
            for task in sorted(found)
            if task not in finished
            and self.case.site.tasks[task].stay not in own
            and (not trade or self.case.site.tasks[task].trade == trade)
        )
        return shortened(tuple(names))

    def _near(self, tasks: Iterable[int], links: dict[int, list[int]]) -> set[int]:
        """Return the next tasks that somebody does."""
        found: set[int] = set()
        passed: set[int] = set()
        waiting = [near for task in tasks for near in links[task]]
        while waiting:
            task = waiting.pop()
            if self.case.site.tasks[task].kind not in _PASSED_THROUGH:
                found.add(task)
            elif task not in passed:
                passed.add(task)
                waiting.extend(links[task])
        return found

    def _named(self, task: int) -> str:
        site, teller = self.case.site, self.case.teller
        row = site.tasks[task]
        if row.kind is TaskKind.WORK and row.stay in site.stays:
            return f"{site.stays[row.stay].title} ({teller.who(row.trade or '').trade})"
        if row.kind is TaskKind.APPROVAL:
            approval = row.stay.removeprefix("approval:")
            return f"{row.title} ({teller.who(site.office_of[approval]).name})"
        if row.kind is TaskKind.PULL:
            thing = site.things[row.stay.removeprefix("pull:")]
            return f"pull: {thing.title} ({teller.who(row.trade or '').trade})"
        trip = row.stay.removeprefix("trip:")
        if row.kind is TaskKind.RELEASE and trip in site.trips:
            return f"the release after the foam, {trip_words(self.case, trip)}"
        if trip in site.trips:
            return f"the foam, {trip_words(self.case, trip)}"
        return teller.task(task)


def trip_words(case: Case, trip: str) -> str:
    """Return what people call a trip: `first trip`, or its written name."""
    name = case.site.trips[trip].name
    written = case.site.job.trips[trip].name if trip in case.site.job.trips else name
    return name if written or name.endswith("trip") else f"{name} trip"


def shortened(names: tuple[str, ...]) -> tuple[str, ...]:
    """Return the first few names and how many are left out."""
    if len(names) <= MOST_TOLD:
        return names
    return (*names[: MOST_TOLD - 1], f"and {len(names) - MOST_TOLD + 1} more")
