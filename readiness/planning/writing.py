"""What a set of changes writes into the diary, as lines and as entries.

Invariant: the same set gives the same lines in the same order, and nothing but the diary changes.
"""

from __future__ import annotations

from datetime import UTC
from typing import TYPE_CHECKING, Any

from readiness.diary.entries import ENTRY
from readiness.diary.history import Noted
from readiness.job.fields import ALL
from readiness.job.instants import moment_of
from readiness.job.origin import Origin
from readiness.planning.change import ChangeKind
from readiness.site.calendars import zone_days

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from readiness.job.job import Job
    from readiness.planning.change import Change, Offer

WRITER = "ways"
"""Whose entries they are while nobody has taken them."""

Line = dict[str, Any]


def lines_of(job: Job, offer: Offer, trip: str, changes: Iterable[Change]) -> list[Line]:
    """Return what is to be written for a set of changes, structure first.

    Args:
        job: The job as its diary leaves it.
        offer: The list that the changes are of.
        trip: The asked trip, which surfaces are taken out of.
        changes: The set.
    """
    chosen = sorted(changes, key=lambda change: change.id)
    arrives = any(change.kind is ChangeKind.ARRIVE for change in chosen)
    lines = [
        dict(fields)
        for fields in offer.fields
        if not (arrives and fields["kind"] == "dated" and fields["what"] == trip)
    ]
    lines += _left(job, trip, [c for c in chosen if c.kind is ChangeKind.LEAVE])
    for change in chosen:
        if change.kind is not ChangeKind.LEAVE:
            lines += (dict(fields) for fields in change.fields)
    return lines


def _left(job: Job, trip: str, leaving: list[Change]) -> Iterable[Line]:
    """Yield one line for each trip that surfaces are left to."""
    for other in dict.fromkeys(change.trip for change in leaving):
        mine = [s for change in leaving if change.trip == other for s in change.surfaces]
        row = job.trips.get(other)
        if row is not None and row.surfaces == (ALL,):
            # Whatever the asked trip no longer names falls to it by itself
            asked = job.place_names.surfaces(job.trips[trip].surfaces)
            kept = [surface for surface in asked if surface not in mine]
            yield {"kind": "trip", "trip": trip, "surfaces": kept}
            continue
        has = job.place_names.surfaces(row.surfaces) if row is not None else ()
        yield {"kind": "trip", "trip": other, "surfaces": [*has, *mine]}


def entries_of(lines: Iterable[Mapping[str, Any]], as_of: int, zone: str) -> tuple[Noted, ...]:
    """Return the lines as entries of the moment of the question, in their order."""
    now = moment_of(as_of, zone_days(zone).zone)
    common = {
        "writer": WRITER,
        "seen": now.replace(tzinfo=None).isoformat(),
        "written": now.astimezone(UTC).isoformat(),
        "by": WRITER,
    }
    return tuple(
        Noted(
            ENTRY.validate_python({**common, "number": number, **line}),
            Origin("ways", row=str(number)),
            f"{WRITER}#{number}",
        )
        for number, line in enumerate(lines, 1)
    )
