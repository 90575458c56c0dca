"""Ten thousand futures of one trip: when it opens and until when it may arrive in each.

Trials go in blocks, so that memory stays small; what is compared with one another is drawn once.

Invariant: the same subject, seed and number of trials give the same outcome; without spread every
trial is the forecast, to the minute.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import numpy.typing as npt

from readiness.job.instants import EARLIER, NEVER, is_dated
from readiness.planning.trials_chains import Chains
from readiness.planning.trials_drawn import Drawn, Shares, Uncertain, drawn, steps
from readiness.planning.trials_pass import Chances, Passing, again_of, calendars_used
from readiness.planning.trials_steps import BEFORE, Value
from readiness.planning.trials_tables import BEYOND, SlotTable, Tables, tables_of
from readiness.schedule.forward import calendar_at, forward

if TYPE_CHECKING:
    from readiness.planning.trials_latest import Closing
    from readiness.planning.trials_pass import Office
    from readiness.schedule.calendar import Calendar
    from readiness.schedule.network import Network
    from readiness.schedule.state import State

BLOCK = 2_500
"""Trials that are worked out together."""

DAY = 1440
MARGIN_DAYS = 21
MOST_DOUBLINGS = 5

Instants = npt.NDArray[np.int64]
"""For each trial an instant; `NEVER` and `EARLIER` as everywhere."""


class Wait(NamedTuple):
    """One thing that the spray waits for."""

    source: int
    node: int
    minutes: int
    elapsed: bool
    fixed: int | None
    """The instant, where something else than the node tells it."""


@dataclass(frozen=True, slots=True)
class Subject:
    """What is tried: a network, what its trip waits for, what closes it, and what is uncertain."""

    network: Network
    calendars: tuple[Calendar, ...]
    state: State
    within: frozenset[int]
    """The tasks that matter before the trip or for what closes it."""
    waits: tuple[Wait, ...]
    """In the order of the ids of their sources."""
    uncertain: Uncertain
    group: Mapping[int, int]
    groups: int
    offices: Mapping[int, Office]
    """By look that may fail."""
    closing: Closing | None = None
    """None if nothing booked closes the trip; its tables are made with the others."""


@dataclass(frozen=True, slots=True)
class Change:
    """Something done about it: things that no longer happen, notices that run from elsewhere."""

    never_happens: frozenset[str] = frozenset()
    """Ids of delays and of looks that may fail."""
    notices: Mapping[int, int] | None = None
    """Other starts that an office's notice allows, by task."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """All trials of one subject."""

    opens: Instants
    last_start: Instants
    weather: Shares
    """A number from 0 to 1 for the weather of the day of the arrival, whichever it is."""
    last: Mapping[int, int]
    """By task: in how many trials it opens the trip last."""
    chain: npt.NDArray[np.int64]
    """By group: in how many trials it lies on the driving chain."""

    @property
    def trials(self) -> int:
        """Return how many trials there were."""
        return len(self.opens)


def unwatched(share: float) -> None:
    """Tell nobody how far the trials are."""


def tried(
    subject: Subject,
    trials: int,
    seed: int,
    changes: Iterable[Change] = (),
    watch: Callable[[float], object] = unwatched,
) -> tuple[Outcome, ...]:
    """Return the outcome as things stand, then one for each change, all of the same draws.

    Args:
        subject: What is tried.
        trials: How many.
        seed: Of the draws.
        changes: Tried beside it.
        watch: Is told after each block which share is done; what it raises ends the trials.
    """
    asked = (Change(), *changes)
    stretch = _stretch(subject)
    size = (trials, seed)
    for _ in range(MOST_DOUBLINGS):
        outcomes = _tried_in(subject, stretch, size, asked, watch)
        if outcomes is not None:
            return outcomes
        low, high = stretch
        stretch = (low - (high - low) // 2, high + (high - low))
    last = _tried_in(subject, stretch, size, asked, watch, at_last=True)
    assert last is not None  # noqa: S101  the last one is taken as it is
    return last


def _stretch(subject: Subject) -> tuple[int, int]:
    """Return the stretch of instants that the trials probably need."""
    longest: dict[int, int] = {
        stretch.task: stretch.most
        for spread in subject.uncertain.spreads
        for stretch in spread.stretches
        if stretch.task not in subject.state.begun
    }
    for delay in subject.uncertain.delays:
        for task, minutes in delay.minutes.items():
            length = longest.get(task, subject.network.minutes[task])
            longest[task] = length + len(delay.tails) * minutes
    late = forward(subject.network.with_minutes(longest), subject.calendars, subject.state)
    soon = forward(subject.network, subject.calendars, subject.state)
    within = subject.within
    known = [
        instant
        for nodes in (late.nodes, soon.nodes)
        for task in within
        for instant in (nodes[2 * task], nodes[2 * task + 1])
        if is_dated(instant) and task not in subject.state.finished
    ]
    if subject.closing is not None:
        known += [instant for instant in subject.closing.booked.values() if is_dated(instant)]
        if is_dated(subject.closing.fixed):
            known.append(subject.closing.fixed)
    known.append(subject.state.as_of if is_dated(subject.state.as_of) else 0)
    return min(known) - MARGIN_DAYS * DAY, max(known) + MARGIN_DAYS * DAY


def _tables(subject: Subject, stretch: tuple[int, int]) -> tuple[Tables, Closing | None]:
    """Return the tables of the forward pass, and the closing with its own."""
    gap_calendar = calendar_at(subject.calendars, subject.network.gap_calendar)
    used = calendars_used(subject.network, subject.within)
    tables = tables_of(subject.calendars, used, gap_calendar, stretch)
    if subject.closing is None:
        return tables, None
    passing = subject.closing.passing
    behind_it = (*subject.closing.downstream, *subject.closing.committed)
    wanted = calendars_used(passing.network, behind_it)
    behind = tables_of(tuple(passing.calendars), wanted, gap_calendar, stretch)
    return tables, replace(subject.closing, passing=replace(passing, tables=behind))


@dataclass
class _Block:
    """The tallies of one change over all blocks."""

    opens: list[Instants]
    last_start: list[Instants]
    last: dict[int, int]
    chain: npt.NDArray[np.int64]


def _tried_in(  # noqa: PLR0913  what is tried, and who is told how far it is
    subject: Subject,
    stretch: tuple[int, int],
    size: tuple[int, int],
    changes: tuple[Change, ...],
    watch: Callable[[float], object] = unwatched,
    *,
    at_last: bool = False,
) -> tuple[Outcome, ...] | None:
    """Return the outcomes, or None if a trial ran out of the stretch of the tables."""
    trials, seed = size
    tables, closing = _tables(subject, stretch)
    again = {
        task: again_of(office, table, tables.low)
        for task, office in subject.offices.items()
        for table in (_slots_of(task, subject, tables, closing),)
        if table is not None
    }
    passings = [
        Passing(
            subject.network,
            subject.calendars,
            _noticed(subject.state, change),
            tables,
            subject.within,
            again,
        )
        for change in changes
    ]
    if closing is not None:
        closing = replace(closing, passing=replace(closing.passing, again=again))
    tracer = Chains(passings[0], subject.group, subject.groups)
    tallies = [_Block([], [], {}, np.zeros(subject.groups, dtype=np.int64)) for _ in changes]
    luck = []
    for block, size_of_block in enumerate(_blocks(trials)):
        draws = drawn(subject.uncertain, seed, block, size_of_block)
        luck.append(draws.weather)
        for number, change in enumerate(changes):
            chances = _chances(subject.uncertain, draws, change)
            nodes = passings[number].forward(chances)
            if not at_last and _ran_out(nodes, subject):
                return None
            opens, last = _opened(subject.waits, passings[number], nodes, size_of_block)
            tally = tallies[number]
            tally.opens.append(_outside(opens, size_of_block, tables.low))
            latest: Value = BEYOND if closing is None else closing.latest(nodes, chances)
            tally.last_start.append(_outside(latest, size_of_block, tables.low))
            for task, found in last.items():
                tally.last[task] = tally.last.get(task, 0) + len(found)
            if number == 0:
                tally.chain += tracer.shares(nodes, chances, last, size_of_block)
        watch(min(1.0, (block + 1) * BLOCK / trials))
    weather = np.concatenate(luck)
    return tuple(
        Outcome(
            np.concatenate(tally.opens),
            np.concatenate(tally.last_start),
            weather,
            tally.last,
            tally.chain,
        )
        for tally in tallies
    )


def _blocks(trials: int) -> list[int]:
    """Return the sizes of the blocks."""
    whole, rest = divmod(trials, BLOCK)
    return [BLOCK] * whole + ([rest] if rest else [])


def _slots_of(
    task: int, subject: Subject, tables: Tables, closing: Closing | None
) -> SlotTable | None:
    """Return the slots in which a look takes place, before or behind the trip."""
    index = subject.network.calendar[task]
    table = tables.of[index] if index is not None and index < len(tables.of) else None
    if not isinstance(table, SlotTable) and closing is not None:
        index = closing.passing.network.calendar[task]
        table = closing.passing.tables.of[index] if index is not None else None
    return table if isinstance(table, SlotTable) else None


def _noticed(state: State, change: Change) -> State:
    if change.notices is None:
        return state
    return replace(state, notices={**state.notices, **change.notices})


def _chances(uncertain: Uncertain, draws: Drawn, change: Change) -> Chances:
    """Return the draws by task, without what a change keeps from happening."""
    delays: dict[int, Value] = {}
    for delay in uncertain.delays:
        if delay.id in change.never_happens:
            continue
        count = steps(draws.delays[delay.id], delay.tails)
        if count.any():
            for task, minutes in delay.minutes.items():
                delays[task] = delays.get(task, 0) + count * np.int32(minutes)
    failures = {}
    for repeat in uncertain.repeats:
        if repeat.id in change.never_happens:
            continue
        count = steps(draws.repeats[repeat.id], repeat.tails)
        if count.any():
            failures.update(dict.fromkeys(repeat.looks, count))
    return Chances(draws.minutes, delays, failures)


def _opened(
    waits: tuple[Wait, ...], passing: Passing, nodes: list[Value], trials: int
) -> tuple[Value, dict[int, npt.NDArray[np.intp]]]:
    """Return when the trip opens, and by task the trials in which it opens it last."""
    opens = np.full(trials, BEFORE, dtype=np.int64)
    by = np.full(trials, -1, dtype=np.int64)
    for number, wait in enumerate(waits):
        value = (
            passing.after_gap(nodes[wait.node], wait.minutes, elapsed=wait.elapsed)
            if wait.fixed is None
            else passing.inside(wait.fixed)
        )
        better = opens < value
        if np.any(better):
            np.copyto(opens, value, where=better)
            by[better] = number
    last: dict[int, list[npt.NDArray[np.intp]]] = {}
    for number in np.unique(by).tolist():
        if number >= 0:
            last.setdefault(waits[number].source, []).append(np.flatnonzero(by == number))
    return opens.astype(np.int32), {task: np.concatenate(found) for task, found in last.items()}


def _ran_out(nodes: list[Value], subject: Subject) -> bool:
    """Say whether a trial left the tables: before their first minute or past their last."""
    for task in subject.within:
        start, finish = nodes[2 * task], nodes[2 * task + 1]
        if not isinstance(start, int) and int(start.min()) < 0:
            return True
        if not isinstance(finish, int) and int(finish.max()) >= BEYOND:
            return True
    return False


def _outside(value: Value, trials: int, low: int) -> Instants:
    """Return values as instants."""
    found = np.broadcast_to(np.asarray(value, dtype=np.int64), (trials,))
    return np.where(found >= BEYOND, NEVER, np.where(found <= BEFORE, EARLIER, found + low))
