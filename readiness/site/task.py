"""Tasks and links, the items of the laid-out network.

Invariant: a task knows what it is, where it is and which row or line it came from; nothing here
depends on what was seen.
"""

from __future__ import annotations

from enum import StrEnum
from typing import NamedTuple

from readiness.job.origin import Origin


class LinkKind(StrEnum):
    """Which end of the earlier item limits which end of the later one."""

    END_TO_START = "end to start"
    START_TO_START = "start to start"
    END_TO_END = "end to end"
    START_TO_END = "start to end"


class TaskKind(StrEnum):
    """What a task is, which decides how it is timed and who may move it."""

    WORK = "work"
    CORRECTION = "correction"
    APPROVAL = "approval"
    ARRIVAL = "arrival"
    SPRAY = "spray"
    CLEAN_UP = "clean-up"
    KEEP_OUT = "keep-out"
    RELEASE = "release"
    PULL = "pull"
    MILESTONE = "milestone"
    CHECK = "check"


class Task(NamedTuple):
    """One item of the network: a part of a stay, an approval of one surface, a step of a trip."""

    index: int  # type: ignore[assignment]  # nobody looks for a value inside a task
    """Position in `site.tasks`; every result array is parallel to it."""
    id: str
    """Stable name, unique in the site, e.g. `rough-electrical@bath-1`."""
    kind: TaskKind
    title: str
    """Words for people, without the place."""
    stay: str
    """Id of the work, approval or trip that this task is a part of."""
    trade: str | None
    """Who does it; None for waits and milestones."""
    place: str
    """Id of the place it is told at."""
    calendar: int | None
    """Index into `site.calendars`; None is the clock: a wait if it lasts, else a milestone."""
    minutes: int
    """Working minutes on its calendar, or clock minutes without one; 0 is a milestone."""
    origin: Origin
    surfaces: frozenset[str] = frozenset()
    """The surfaces it touches; links to the foam are made over these."""


class Link(NamedTuple):
    """The later task waits for the earlier one; several links between one pair all count."""

    source: int
    target: int
    kind: LinkKind
    gap_minutes: int
    """Never negative; working minutes of the job's calendar unless `gap_elapsed`."""
    gap_elapsed: bool
    reason: str
    """Why the trade waits, as a sentence fragment for screens."""
    origin: Origin
