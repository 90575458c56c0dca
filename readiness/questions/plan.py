"""When does everything that is open get done, who works where each day, and what drives it?

Invariant: every date is one of the forward pass under the plan's choices; a level that is not
proven, and an agreed date that the plan moves, is said before any date.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from readiness.facts.vocabulary import Gate
from readiness.job.instants import NEVER, is_dated, moment_of
from readiness.planning.faster import MOST_IN_ALL_SETS, can_be_fast, faster
from readiness.planning.phases import phases_of
from readiness.planning.plan_levels import THOUSANDTHS, Level, minutes_moved
from readiness.planning.plan_told import CrewLine, DateLine, PlannedDay, PlanTold
from readiness.planning.plan_written import lines_of_plan
from readiness.planning.prices import told_cents
from readiness.planning.watching import unwatched
from readiness.planning.whole_plan import whole_plan
from readiness.schedule.forward import calendar_at
from readiness.schedule.readings_of_days import due_at
from readiness.site.calendars import zone_days
from readiness.site.task import TaskKind
from readiness.telling.case import Case, Instants
from readiness.telling.teller import Who

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readiness.planning.plan_levels import Standing
    from readiness.planning.plan_timed import Timed
    from readiness.planning.watching import Watch
    from readiness.planning.whole_plan import WholePlan


@dataclass(frozen=True, slots=True)
class LevelLine:
    """What one level has come to."""

    level: str
    says: str
    """The value in words."""
    value: float
    """Dates, trips, parties, trade-days or working hours; for the start of board, days from now."""
    is_proven: bool
    """No plan does better, under what the levels before it have reached."""
    at_best: str
    """What no plan can beat, in words, if it is not proven; else empty."""


@dataclass(frozen=True, slots=True)
class PlanAnswer:
    """The answer to "when does everything that is open get done?"."""

    job: str
    instants: Instants
    sentence: str
    board: datetime | None
    """When board may start under the plan."""
    levels: tuple[LevelLine, ...]
    dates: tuple[DateLine, ...]
    days: tuple[PlannedDay, ...]
    rooms: tuple[str, ...]
    """All rooms of the job, in its order."""
    crews: tuple[CrewLine, ...]
    """Of whom several crews come, or how many people, as far as the job says so."""
    chain: tuple[str, ...]
    """What sets the start of board, nearest first."""
    phases: tuple[str, ...]
    """Why one trip has to come before another: what stands in front of its surfaces by then."""
    broken: tuple[str, ...]
    """Agreed dates that nothing can hold together, and what stands against each."""
    undated: tuple[str, ...]
    """What gets no date, and why."""
    faster: tuple[str, ...]
    """What an earlier start of board costs, by the fast ways and prices of your own lines."""
    tell: tuple[Who, ...]
    """Who is told something new because a date moves."""
    notes: tuple[str, ...]
    lines: tuple[dict[str, Any], ...]
    """What the plan writes into the diary."""


def plan(case: Case, watch: Watch = unwatched) -> PlanAnswer:
    """Return the best whole plan.

    Args:
        case: The job.
        watch: Hears what is looked at.
    """
    found = whole_plan(case.outlook, watch=watch)
    moment = moment_of(case.outlook.seen.as_of, zone_days(case.site.zone).zone)
    nothing = PlanAnswer(
        job=case.site.job.name,
        instants=Instants(moment, moment, case.site.zone, Gate.BOARD.value),
        sentence="No plan was found that keeps everything that has to be kept.",
        board=None,
        levels=(),
        dates=(),
        days=(),
        rooms=(),
        crews=(),
        chain=(),
        phases=tuple(_phases(case)),
        broken=(),
        undated=tuple(_undated(case, found)),
        faster=(),
        tell=(),
        notes=(),
        lines=(),
    )
    return _Telling(case, found, found.timed, watch).over(nothing) if found.timed else nothing


def _phases(case: Case) -> Iterator[str]:
    """Yield which surfaces need the earlier of two trips, and why."""
    trips = [name for name in case.site.trips if name not in case.outlook.known.arrived]
    for phase in phases_of(case.outlook.frame, trips):
        places = ", ".join(case.teller.surfaces(phase.surfaces))
        yield (
            f"{places}: in the {case.site.trips[phase.early].name} trip, because "
            f'"{case.site.stays[phase.stay].title}" stands in front of it before the '
            f"{case.site.trips[phase.late].name} trip."
        )


def _undated(case: Case, found: WholePlan) -> Iterator[str]:
    """Yield what has no date at all, each thing once."""
    never = found.planned.ground.lower.finish
    for thing in case.site.things.values():
        if thing.pull is not None and never[thing.pull] == NEVER:
            who = case.teller.who(thing.kind.pull_trade)
            kind = case.site.facts.approvals.get(thing.kind.approval)
            look = f"{kind.title[:1].lower()}{kind.title[1:]}" if kind else "whoever approves it"
            yield (
                f"No date until {thing.title} is pulled; that takes {who.name} and {look}, and "
                "nobody has dated it."
            )
    yield from _missed_limits(case, found)


def _missed_limits(case: Case, found: WholePlan) -> Iterator[str]:
    """Yield each work that logic alone lets begin only after the limit its line writes."""
    for leg in found.planned.legs:
        limit = case.outlook.seen.not_after.get(leg.about)
        first = found.planned.ground.lower.start[leg.tasks[0]]
        if limit is None or leg.kind is not TaskKind.WORK or not is_dated(first):
            continue
        calendar = case.site.calendars[case.site.tasks[leg.tasks[0]].calendar or 0]
        until = due_at(limit, calendar)
        if first > until:
            yield (
                f'"{case.site.stays[leg.about].title}" may begin by {case.teller.told(until)} at '
                f"the latest (not_after) and can't begin before {case.teller.told(first)}."
            )


class _Telling:
    """Tells one plan."""

    def __init__(self, case: Case, found: WholePlan, timed: Timed, watch: Watch) -> None:
        self.found = found
        self.watch = watch
        self.site = case.site
        self.as_of = case.outlook.seen.as_of
        self.legs = found.planned.legs
        self.timed = timed
        self.told = PlanTold(case.outlook, timed)
        self.teller = self.told.teller
        self.board = self.told.board

    def over(self, nothing: PlanAnswer) -> PlanAnswer:
        """Return the answer, from one that knows of no plan."""
        dates = self.told.dates()
        return replace(
            nothing,
            sentence=self._sentence(self.board),
            board=self.teller.moment(self.board),
            levels=tuple(self._levels()),
            dates=dates,
            days=tuple(self.told.days(dates)),
            rooms=self.told.rooms(),
            crews=tuple(self.told.crews(dates)),
            chain=tuple(self.told.chain()),
            broken=tuple(self._broken()),
            faster=tuple(self._faster()),
            tell=tuple(self._tell()),
            notes=tuple(self._notes()),
            lines=tuple(lines_of_plan(self.told)),
        )

    def _sentence(self, board: int) -> str:
        if not is_dated(board):
            return "There is no date for the start of board; what can be dated is planned."
        trips = sum(leg.kind is TaskKind.ARRIVAL for leg in self.legs)
        with_trips = {0: "", 1: " with one trip"}.get(trips, f" with {trips} trips")
        told = len(self._tell())
        people = {0: "nobody has to be told a new date", 1: "one party is told a new date"}.get(
            told, f"{told} parties are told a new date"
        )
        return f"Board may start {self.teller.told(board)}{with_trips}; {people}."

    # Levels

    def _levels(self) -> Iterator[LevelLine]:
        for standing in self.timed.solved.standings:
            reached = self._reached(standing)
            value, says = self._level(standing, reached)
            is_proven = standing.is_proven and reached <= standing.value
            if standing.level is Level.BOARD:
                board = self.board
                says = f"board may start {self.teller.told(board)}"
                value = round((board - self.as_of) / 1440, 2)
            yield LevelLine(
                level=standing.level.value,
                says=says,
                value=value,
                is_proven=is_proven,
                at_best="" if is_proven else self._level(standing, standing.bound)[1],
            )

    def _reached(self, standing: Standing) -> int:
        """Return the value of a level by the dates of the forward pass.

        What the solver moves may come to stand where it is booked once it is timed to the minute.
        """
        moved = [leg for leg in self.legs if self.told.change(leg) == "moves"]
        match standing.level:
            case Level.AGREED:
                return sum(leg.agreed for leg in moved)
            case Level.TOLD:
                return len({leg.trade for leg in moved})
            case Level.MOVED:
                planned = self.timed.planned
                return sum(minutes_moved(planned, leg, self.told.span(leg)[0]) for leg in moved)
            case _:
                return standing.value

    def _level(self, standing: Standing, value: int) -> tuple[float, str]:
        match standing.level:
            case Level.AGREED:
                return value, f"{_counted(value, 'agreed date')} moved"
            case Level.TRIPS:
                return value, _counted(value, "trip")
            case Level.BOARD:
                days = round((value - self.as_of) / 1440, 2)
                return days, f"board may start {self.teller.told(value)}"
            case Level.DISPLACED:
                days = round(value / THOUSANDTHS, 2)
                return days, f"{days:g} trade-days kept out by the foam"
            case Level.TOLD:
                return value, f"{_counted(value, 'party', 'parties')} told something new"
            case _:
                hours = round(value / 60, 2)
                return hours, f"{hours:g} working hours moved"

    # What is not as it was

    def _tell(self) -> tuple[Who, ...]:
        moved = [
            leg.trade
            for leg in self.legs
            if leg.booked_at is not None and self.told.change(leg) == "moves"
        ]
        return tuple(self.teller.who(name) for name in sorted(set(moved)))

    def _broken(self) -> Iterator[str]:
        """Yield what is agreed and cannot stand, with what is against it."""
        if not self.found.moves_agreed:
            return
        for leg in self.legs:
            if not leg.agreed or leg.booked_at is None or self.told.change(leg) != "moves":
                continue
            what = (
                f"The {self.site.trips[leg.about].name} trip"
                if leg.kind is TaskKind.ARRIVAL
                else f'"{self.site.tasks[leg.tasks[0]].title}"'
            )
            starts = self.told.span(leg)[0]
            why = self.told.because(leg)
            if starts < leg.booked_at:
                why = "sooner, so that the other agreed dates can stand"
            yield (
                f"{what} is agreed for {self.teller.told(leg.booked_at)} and comes "
                f"{self.teller.told(starts)}: {why}."
            )
        names = [self.teller.who(trade).name for trade in self.found.would_do]
        if names:
            yield f"With more crews of {' and of '.join(names)} all agreed dates could stand."

    def _notes(self) -> Iterator[str]:
        if self.site.job.card:
            yield "A site card knows of no work: this is the trip, and what follows it."
        if any(before.id.startswith("room:") for before in self.found.planned.problem.befores):
            yield "One trade at a time works in a room (common practice, no source)."
        pauses = sorted(
            {
                f'"{self.site.stays[leg.about].title}"'
                for leg in self.legs
                if leg.about in self.site.stays and self._pauses(leg.about)
            }
        )
        if self.found.pauses and pauses:
            yield (
                "So that all agreed dates stand, its crew stops between two of its places: "
                f"{', '.join(pauses)}."
            )
        if self.found.moves_agreed:
            yield (
                "Reckoned with crews that go through their places without a break; no plan was "
                "found that holds all agreed dates with breaks either."
            )
        together = sorted({f'"{title}"' for title in self._shared_titles()})
        if together:
            yield (
                f"Agreed for the same hours with one crew or in one room, and left there: "
                f"{', '.join(together)}."
            )
        cautions = [
            self.site.things[leg.about].kind.caution
            for leg in self.legs
            if leg.kind is TaskKind.PULL
        ]
        yield from (f"Caution: {caution}" for caution in dict.fromkeys(cautions) if caution)

    def _pauses(self, stay: str) -> bool:
        """Say whether the crew of a stay works elsewhere, or waits, between two of its places."""
        forecast = self.timed.forecast
        for chain in self.site.stay_tasks[stay].chains:
            for earlier, later in pairwise(chain):
                timer = calendar_at(
                    self.told.outlook.frame.calendars, self.timed.network.base_calendar[later]
                )
                ends, starts = forecast.finish[earlier], forecast.start[later]
                if is_dated(starts) and timer.minutes_between(ends, starts) > 0:
                    return True
        return False

    def _shared_titles(self) -> Iterator[str]:
        """Yield the titles of agreed stays that lie in one room, or need one crew, at once."""
        forecast = self.timed.forecast
        for one, other in self.found.planned.shared:
            first, second = self.legs[one], self.legs[other]
            for a in first.tasks:
                for b in second.tasks:
                    same = first.crew == second.crew or (
                        self.site.tasks[a].place == self.site.tasks[b].place
                    )
                    latest = max(forecast.start[a], forecast.start[b])
                    if same and latest < min(forecast.finish[a], forecast.finish[b]):
                        yield self.site.tasks[a].title
                        yield self.site.tasks[b].title

    # Normal and fast

    def _faster(self) -> Iterator[str]:
        """Yield what an earlier start of board costs, the cheapest first."""
        outlook = self.told.outlook
        names = can_be_fast(outlook)
        if not names or not is_dated(self.board):
            return
        currency = self.site.job.costs.currency
        title = {name: f'"{self.site.stays[name].title}"' for name in names}
        for name in names:
            row = self.site.stays[name].row
            if row is not None and row.fast_costs is None:
                yield f"{title[name]} can be hurried, but its line has no fast_costs."
        found = faster(outlook, self.board, self.watch)
        for each in found:
            works = " and ".join(title[name] for name in each.stays)
            proven = "" if each.is_proven else ", not proven"
            yield (
                f"{self.teller.told(each.board)} for {told_cents(each.cents, currency)} more: "
                f"{works} in the fast time{proven}."
            )
        if not found:
            yield "No work that can be hurried brings the start of board forward."
        if len(names) > MOST_IN_ALL_SETS:
            yield "Looked at: each work alone, and all together; not every set of them."


def _counted(count: int, one: str, several: str = "") -> str:
    return f"{count} {one if count == 1 else several or one + 's'}"
