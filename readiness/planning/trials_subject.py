"""One trip of a job as the subject of trials: what it waits for and what ends its time.

Invariant: links, waivers, commits and calendars are those of the trip's spray windows.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.facts.vocabulary import Order
from readiness.gates.commits import Commits
from readiness.gates.latest import LatestArrival
from readiness.gates.life import Life
from readiness.job.instants import NEVER
from readiness.planning.trials import Subject, Wait
from readiness.planning.trials_latest import Closing
from readiness.planning.trials_pass import Passing
from readiness.planning.trials_tables import Tables
from readiness.schedule.network import source_node
from readiness.schedule.outlook import closed_network
from readiness.site.task import TaskKind

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.gates.verdict import Judge
    from readiness.planning.trials_assumed import Assuming
    from readiness.planning.trials_drawn import Shape
    from readiness.schedule.outlook import Outlook
    from readiness.site.site import TripTasks

NO_TABLES = Tables(0, 0, (), None)
"""Until the trials know how far they reach."""

Groups = tuple[str, ...]
"""What is counted together on a chain: the stays of work, approvals, trips and pulls, by number."""


def open_surfaces(judge: Judge, trip: str) -> tuple[str, ...]:
    """Return the surfaces of a trip that are still to be sprayed."""
    return tuple(
        surface
        for surface in judge.outlook.site.trips[trip].surfaces
        if judge.lives.get(surface) in (None, Life.PART_SPRAYED)
    )


def subject_of(judge: Judge, trip: str, assuming: Assuming, shape: Shape) -> tuple[Subject, Groups]:
    """Return the subject, and the names of the groups that its chains count."""
    outlook = judge.outlook
    network, site = outlook.network, outlook.site
    tasks = site.trips[trip]
    surfaces = open_surfaces(judge, trip)
    waits = _waits(outlook, tasks, surfaces, judge.ledger.waived_pairs())
    closing = _closing(outlook, tasks, surfaces)
    downstream = outlook.frame.downstream[trip]
    sources = {wait.source for wait in waits}
    committed = closing.committed if closing is not None else ()
    reached = sources | network.upstream(sources) | network.upstream(committed)
    within = frozenset(reached - downstream)
    behind = downstream & (network.upstream(committed) | frozenset(committed))
    uncertain = assuming.uncertain(within | (behind - frozenset(tasks.tasks)), shape)
    group, names = _groups(outlook, within)
    subject = Subject(
        network=network,
        calendars=outlook.calendars,
        state=outlook.known.state,
        within=within,
        waits=waits,
        uncertain=uncertain,
        group=group,
        groups=len(names),
        offices=assuming.offices(uncertain.repeats),
        closing=closing,
    )
    return subject, names


def _waits(
    outlook: Outlook,
    tasks: TripTasks,
    surfaces: Iterable[str],
    waived: frozenset[tuple[int, str]],
) -> tuple[Wait, ...]:
    """Return what links from outside the trip impose on its sprays, each once."""
    network, own = outlook.network, set(tasks.tasks)
    found: dict[Wait, None] = {}
    for surface in surfaces:
        for number in network.numbered[network.rank[tasks.sprays[surface]]].numbers():
            link = network.links[number]
            source = link.source
            undated = source in outlook.known.state.never
            if source in own or undated or (source, surface) in waived:
                continue
            shown = outlook.known.shown_on.get(source, {}).get(surface)
            fixed = shown.at if shown is not None else None
            wait = Wait(source, source_node(link), link.gap_minutes, link.gap_elapsed, fixed)
            found[wait] = None
    return tuple(sorted(found, key=lambda wait: network.ids[wait.source]))


def _closing(outlook: Outlook, tasks: TripTasks, surfaces: tuple[str, ...]) -> Closing | None:
    """Return what closes the surfaces, or None if nothing booked does."""
    frame, site = outlook.frame, outlook.site
    network, calendars = closed_network(frame, outlook.closures, tasks.id)
    network = network.with_minutes({**outlook.known.minutes, **site.late_minutes})
    commits = Commits(outlook, network, calendars, tasks)
    downstream = frame.downstream[tasks.id]
    latest = LatestArrival(network, calendars, tasks, downstream, outlook)
    closers = frozenset(
        task
        for task in commits.starts
        if any(site.orders.get(task, {}).get(surface) is Order.AFTER for surface in surfaces)
    )
    things = [
        latest.before_release(commit)
        for name, commit, _ in commits.things
        if not set(surfaces).isdisjoint(site.things[name].blocks)
    ]
    if not closers and not things:
        return None
    state = outlook.known.state
    return Closing(
        passing=Passing(network, calendars, state, NO_TABLES),
        trip=tasks,
        downstream=downstream,
        committed=tuple(sorted(commits.starts, key=network.rank.__getitem__)),
        booked={task: commits.booked(task) for task in commits.starts},
        finishes={
            task: outlook.forecast.finish[task] for task in commits.starts if task in state.begun
        },
        closers=closers,
        fixed=min(things, default=NEVER),
    )


def _groups(outlook: Outlook, within: Iterable[int]) -> tuple[dict[int, int], Groups]:
    """Return the number of the group of each task, and the groups; milestones are in none."""
    group: dict[int, int] = {}
    names: dict[str, int] = {}
    for index in sorted(within):
        task = outlook.site.tasks[index]
        if task.kind is not TaskKind.MILESTONE:
            group[index] = names.setdefault(task.stay, len(names))
    return group, tuple(names)
