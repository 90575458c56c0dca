"""The names that a line for the diary of a job may use, for whoever completes what is typed.

Invariant: names come from the job as its diary leaves it, and no forecast is made for them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from readiness.desk.desk import open_desk
from readiness.desk.past import amended_by

if TYPE_CHECKING:
    from pathlib import Path

    from readiness.desk.desk import Desk


@dataclass(frozen=True, slots=True)
class Names:
    """The ids of one job."""

    works: tuple[str, ...]
    approvals: tuple[str, ...]
    """Without the ending that all of them share."""
    requirements: tuple[str, ...]
    trips: tuple[str, ...]
    things: tuple[str, ...]
    places: tuple[str, ...]
    trades: tuple[str, ...]
    kinds: tuple[str, ...]
    """Kinds of thing that may stand in the way."""


def names_in(path: Path) -> Names:
    """Return the names of the job in a file or folder.

    Raises:
        JobFileError: The job can't be used.
    """
    return names_of(open_desk(path))


def names_of(desk: Desk) -> Names:
    """Return the names of an open job."""
    site = desk.frame.site
    job = amended_by(site.job, desk.diary.notes(desk.clock(), desk.zone))
    return Names(
        works=tuple(site.stays),
        approvals=tuple(name.removesuffix("-approval") for name in site.approval_kinds),
        requirements=tuple(dict.fromkeys(r.code for r in site.requirements if r.task is None)),
        trips=tuple(job.trips) or tuple(site.trips),
        things=tuple(job.obstructions),
        places=tuple(sorted(job.place_names.known)),
        trades=tuple(job.trades),
        kinds=tuple(site.facts.obstructions),
    )
