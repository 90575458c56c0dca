"""What makes one plan better than another, level by level, and the best plan under them.

Invariant: a later level never gives away what an earlier one has reached; a level that the solver
has not proven says so, with the value that no plan can beat.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING

from readiness.planning.greedy import Greedy, latest, pairs_of, shortened, without_settled
from readiness.planning.model import WORK_LIMIT, Model
from readiness.planning.phases import fewest_trips, phases_of
from readiness.planning.watching import unwatched
from readiness.site.task import TaskKind

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readiness.planning.greedy import Pairs
    from readiness.planning.model import Expression
    from readiness.planning.plan_legs import Leg
    from readiness.planning.plan_problem import Planned
    from readiness.planning.watching import Watch

THOUSANDTHS = 1000
"""Trade-days are counted in so many parts."""

TIDY_LIMIT = 0.2
"""How much work putting everything else early may take."""


class Level(StrEnum):
    """A level, in the order in which they count."""

    AGREED = "agreed dates moved"
    TRIPS = "trips"
    BOARD = "start of board"
    DISPLACED = "trade-days kept out"
    TOLD = "people told something new"
    MOVED = "working time moved"


@dataclass(frozen=True, slots=True)
class Standing:
    """What one level has come to, in its own unit."""

    level: Level
    value: int
    """Dates, trips, parties; the instant of the start of board; thousandths of days; minutes."""
    bound: int
    is_proven: bool


@dataclass(frozen=True, slots=True)
class Solved:
    """The choices of the best plan."""

    planned: Planned
    standings: tuple[Standing, ...]
    chosen: tuple[int, ...]
    """The candidate of every leg, then that of the start of board."""

    def start(self, leg: int, part: int = 0) -> int:
        """Return the solver's start of a part."""
        return self.planned.legs[leg].activity.modes[0].parts[part].starts[self.chosen[leg]]

    def end(self, leg: int, part: int = -1) -> int:
        """Return the solver's end of a part."""
        return self.planned.legs[leg].activity.modes[0].parts[part].ends[self.chosen[leg]]


def solved(
    planned: Planned, *, relaxed: bool, work_limit: float = WORK_LIMIT, watch: Watch = unwatched
) -> Solved | None:
    """Return the best plan; None if nothing keeps all that must be kept, or none was found."""
    if any(not leg.activity.candidates for leg in planned.legs):
        return None
    pairs = pairs_of(planned.problem)
    first = Greedy(planned.problem, pairs).plan()
    if first is not None and not relaxed and planned.board is not None:
        planned = _within(planned, pairs, first[planned.board]) or planned
    levels = Levels(planned, Model(without_settled(planned.problem), work_limit, None, watch))
    if first is not None:
        levels.model.begin_with(first)
    standings = []
    for level, expression in levels.all(relaxed=relaxed):
        if level is Level.TRIPS:
            fewest = levels.fewest_trips()
            standings.append(Standing(level, expression, fewest, is_proven=expression == fewest))
            continue
        if isinstance(expression, int):
            standings.append(Standing(level, expression, expression, is_proven=True))
            continue
        if levels.is_nothing(level):
            # No level after the start of board can be below nothing, so there is nothing to prove
            levels.model.model.add(expression <= 0)
            standings.append(Standing(level, 0, 0, is_proven=True))
            continue
        reached = levels.model.least(expression, level.value)
        if reached.value is None:
            return None
        standings.append(
            Standing(
                level,
                levels.told(level, reached.value),
                levels.told(level, min(reached.bound, reached.value)),
                reached.is_proven,
            )
        )
    levels.tidy()
    return Solved(planned, tuple(standings), tuple(levels.model.chosen))


def _within(planned: Planned, pairs: Pairs, board: int) -> Planned | None:
    """Return the problem without what only plans with a later start of board would use.

    What the board does not wait for keeps its whole list.
    """
    assert planned.board is not None  # noqa: S101  asked only where there is one
    last = latest(planned.problem, pairs, {planned.board: board})
    return None if last is None else replace(planned, problem=shortened(planned.problem, last))


class Levels:
    """The levels of one plan as expressions of its model."""

    def __init__(self, planned: Planned, model: Model) -> None:
        """Remember both."""
        self.planned = planned
        self.model = model

    @property
    def trips(self) -> tuple[str, ...]:
        """Return the trips that are still to come, as they are written."""
        return tuple(leg.about for leg in self.planned.legs if leg.kind is TaskKind.ARRIVAL)

    def fewest_trips(self) -> int:
        """Return how many trips no plan can do without."""
        frame = self.planned.ground.outlook.frame
        return fewest_trips(phases_of(frame, self.trips), self.trips)

    def all(self, *, relaxed: bool) -> Iterator[tuple[Level, Expression]]:
        """Yield the levels in order; each expression is made when it is its turn."""
        if relaxed:
            agreed = [n for n, leg in enumerate(self.planned.legs) if leg.agreed]
            yield Level.AGREED, sum(self._moved(number) for number in agreed)
        yield Level.TRIPS, len(self.trips)
        if self.planned.board is not None:
            places = self.planned.problem.activities[self.planned.board].candidates
            yield Level.BOARD, self.model.value(self.planned.board, range(places))
        yield Level.DISPLACED, sum(self._displaced())
        yield Level.TOLD, sum(self._told())
        yield Level.MOVED, sum(self._working_time_moved())

    def is_nothing(self, level: Level) -> bool:
        """Say whether the last answer displaces, or moves, nothing at all."""
        chosen, legs = self.model.chosen, self.planned.legs
        if not chosen or level not in (Level.DISPLACED, Level.TOLD, Level.MOVED):
            return False
        if level is not Level.DISPLACED:
            return all(
                leg.booked_at is None or leg.booked == chosen[number]
                for number, leg in enumerate(legs)
            )
        befores = {before.id: before for before in self.model.problem.befores}
        return all(
            name not in befores
            or self.model.goes_first(befores[name])
            or self._lost(legs[number], legs[trip])[chosen[trip]] == 0
            for name, number, trip in self.planned.kept_out
        )

    def told(self, level: Level, value: int) -> int:
        """Return a value of a level in the unit people know; the place of board is its instant."""
        if level is Level.BOARD and self.planned.board is not None:
            board = self.planned.problem.activities[self.planned.board]
            return board.modes[0].parts[0].starts[value]
        return value

    def tidy(self) -> None:
        """Put everything else as early as it goes; no level counts that, so no proof is wanted."""
        self.model.work_limit = TIDY_LIMIT
        counts = [activity.candidates for activity in self.planned.problem.activities]
        total = sum(
            self.model.value(number, range(counts[number]))
            for number in range(len(self.planned.legs))
            if counts[number] > 1
        )
        if not isinstance(total, int):
            self.model.least(total, "everything else as early as it goes")

    def _moved(self, number: int) -> Expression:
        """Return one if a leg does not stay where it is booked."""
        leg = self.planned.legs[number]
        if leg.booked_at is None:
            return 0
        if leg.booked is None:
            return 1
        values = [int(candidate != leg.booked) for candidate in range(leg.activity.candidates)]
        return self.model.value(number, values)

    def _displaced(self) -> Iterator[Expression]:
        """Yield the trade-days that each keep-out takes from work that could stand there."""
        for name, number, trip in self.planned.kept_out:
            lost = self._lost(self.planned.legs[number], self.planned.legs[trip])
            if max(lost, default=0) == 0 or name not in self.model.firsts:
                continue
            most = max(lost)
            paid = self.model.model.new_int_var(0, most, f"{name}:lost")
            first = self.model.firsts[name]
            self.model.model.add(paid >= self.model.value(trip, lost) - most * first)
            yield paid

    def _lost(self, leg: Leg, trip: Leg) -> list[int]:
        """Return what a leg that is not over before a trip loses, for each arrival."""
        ground = self.planned.ground
        calendar = ground.site.calendars[ground.network.base_calendar[leg.tasks[0]] or 0]
        timer = ground.outlook.frame.calendars[ground.network.base_calendar[leg.tasks[0]] or 0]
        could = ground.lower.start[leg.tasks[0]]
        whole = sum(ground.network.minutes[task] for task in leg.tasks)
        parts = trip.activity.modes[0].parts
        return [
            min(whole, max(0, timer.minutes_between(max(arrival, could), max(late, could))))
            * THOUSANDTHS
            // calendar.day_minutes
            for arrival, late in zip(parts[0].starts, parts[-1].ends, strict=True)
        ]

    def _told(self) -> Iterator[Expression]:
        """Yield one for each party that has a date which moves."""
        by_party: dict[str, list[int]] = {}
        for number, leg in enumerate(self.planned.legs):
            if leg.booked_at is not None:
                by_party.setdefault(leg.trade, []).append(number)
        for party, numbers in sorted(by_party.items()):
            moves = [self._moved(number) for number in numbers]
            if any(isinstance(move, int) and move for move in moves):
                yield 1
                continue
            told = self.model.model.new_bool_var(f"told:{party}")
            for move in moves:
                self.model.model.add(told >= move)
            yield told

    def _working_time_moved(self) -> Iterator[Expression]:
        """Yield the working minutes by which each booked date moves, either way."""
        for number, leg in enumerate(self.planned.legs):
            if leg.booked_at is not None:
                starts = leg.activity.modes[0].parts[0].starts
                moved = [minutes_moved(self.planned, leg, start) for start in starts]
                yield self.model.value(number, moved)


def minutes_moved(planned: Planned, leg: Leg, start: int) -> int:
    """Return the working minutes between the booked date of a leg and a start, either way."""
    assert leg.booked_at is not None  # noqa: S101  asked only of what is booked
    calendar = planned.ground.network.base_calendar[leg.tasks[0]]
    if leg.kind is TaskKind.ARRIVAL:
        calendar = planned.ground.site.spray_calendar
    timer = planned.ground.outlook.frame.calendars[calendar or 0]
    return abs(timer.minutes_between(leg.booked_at, start))
