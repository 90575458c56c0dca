"""What was seen, as limits on the tasks of the site.

Invariant: a task is finished, begun or open; the site itself never changes with what was seen.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.job.instants import NEVER, is_dated
from readiness.schedule.knowing import PASSED, RANK, Commitment, Known, Reader, Shown
from readiness.schedule.known_checks import read_checks
from readiness.schedule.known_looks import read_approval, read_covered, read_left_out
from readiness.schedule.known_stays import read_stay, unreported
from readiness.schedule.known_trips import read_pull, read_trip
from readiness.schedule.state import State
from readiness.site.task import TaskKind

if TYPE_CHECKING:
    from readiness.diary.seen import Seen
    from readiness.site.site import Site


def known_of(site: Site, seen: Seen) -> Known:
    """Return what was seen as limits on the tasks of the site."""
    reader = Reader(site, seen)
    for approval in site.approvals:
        read_approval(reader, approval)
    read_left_out(reader)
    read_covered(reader)
    for name in site.stays:
        read_stay(reader, name)
    for name, thing in site.things.items():
        if thing.pull is not None:
            read_pull(reader, name, thing.pull)
    for trip in site.trips.values():
        read_trip(reader, trip)
    read_checks(reader)
    held = frozenset(
        task.index
        for task in site.tasks
        if task.kind not in (TaskKind.MILESTONE, TaskKind.ARRIVAL, TaskKind.KEEP_OUT)
        and task.kind is not TaskKind.RELEASE
        and (task.kind is not TaskKind.CORRECTION or task.index in reader.minutes)
        and task.index not in reader.slots
        and task.index not in reader.finished
        and task.index not in reader.begun
    )
    return Known(
        state=State(
            as_of=seen.as_of,
            held_by_as_of=held,
            bookings=reader.bookings,
            notices=reader.notices,
            begun=reader.begun,
            finished=reader.finished,
            never=frozenset(reader.never),
        ),
        minutes=reader.minutes,
        commitments=reader.commitments,
        arrivals=reader.arrivals,
        arrived=frozenset(reader.arrived),
        looks=reader.looks,
        shown=reader.shown,
        shown_on=reader.shown_on,
        slots=reader.slots,
        contested=reader.contested,
        depths=reader.depths,
        unreported=tuple(unreported(reader)),
    )


def is_finished(known: Known, task: int, by: int = NEVER) -> bool:
    """Say whether a task was seen finished, by an instant."""
    finished = known.state.finished.get(task)
    return finished is not None and (not is_dated(finished.finish) or finished.finish <= by)


__all__ = ["PASSED", "RANK", "Commitment", "Known", "Shown", "is_finished", "known_of"]
