"""How likely is each day, and which one is worth booking?

Invariant: every figure stands with its standard error, and no day is recommended from prices that
nobody has written.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

from readiness.facts.loader import load_chances
from readiness.facts.vocabulary import Gate
from readiness.gates.asked import asked_instant, asked_trip, local_date
from readiness.gates.proposals import Arrivals
from readiness.job.instants import NEVER, is_dated
from readiness.planning.trials import tried
from readiness.planning.trials_assumed import Assuming
from readiness.planning.trials_changes import Doing, changes_worth_trying
from readiness.planning.trials_days import (
    DayOutcome,
    Prices,
    Waiting,
    day_outcome,
    gained,
    quantile,
)
from readiness.planning.trials_drawn import Shape
from readiness.planning.trials_subject import open_surfaces, subject_of
from readiness.planning.trials_told import (
    SELDOM,
    AssumedLine,
    BreakEvenLine,
    DayLine,
    HoldLine,
    QuantileLine,
    Telling,
    WorthLine,
    assumed_line,
)
from readiness.schedule.worktime import Worktime
from readiness.telling.case import Case, Instants, On
from readiness.telling.days import nearest_shifts

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from readiness.planning.trials import Outcome, Subject

TRIALS = 10_000
MOST_DAYS = 10
NEARLY_ALWAYS = 0.995
DRAWING = "drawing futures"
WEIGHING = "weighing what a call is worth"
"""The parts of an answer that take long."""


class DayError(ValueError):
    """No rig can arrive on the day asked about."""


@dataclass(frozen=True, slots=True)
class ChanceAnswer:
    """The answer to "how likely is each day?"."""

    job: str
    instants: Instants
    trip: str
    trip_name: str
    asked: datetime | None
    """The arrival that calls and requests are weighed for."""
    trials: int
    seed: int
    shape: str
    opens: tuple[QuantileLine, ...]
    opens_planned: datetime | None
    """As the forecast has it, without chance."""
    days: tuple[DayLine, ...]
    holds: tuple[HoldLine, ...]
    worth: tuple[WorthLine, ...]
    best: datetime | None
    """The arrival with the least cost by the job's own prices; None without them."""
    currency: str
    missing_prices: tuple[str, ...]
    break_even: tuple[BreakEvenLine, ...]
    assumed: tuple[AssumedLine, ...]
    notes: tuple[str, ...]


def chance(  # noqa: PLR0913  one parameter per thing that can be asked
    case: Case,
    on: On = None,
    trip: str = "",
    *,
    trials: int = TRIALS,
    seed: int = 1,
    shape: Shape = Shape.TRIANGULAR,
    only_own: bool = False,
    watch: Callable[[str, float], object] | None = None,
) -> ChanceAnswer:
    """Return how likely each arrival is to work, what holds it, and what a call is worth.

    Args:
        case: The job at one moment.
        on: A day or moment at the site; None means the booked arrival.
        trip: Id of the trip; empty means the one the day names.
        trials: How many futures are drawn.
        seed: Of the draws.
        shape: How lengths spread.
        only_own: Leave out usual figures.
        watch: Is told what is worked out and which share of it is done; what it raises ends it.

    Raises:
        DayError: The asked day has passed, or the spray crew does not work then.
    """
    trip = trip or asked_trip(case.outlook, on)
    asked = _Asked(case, trip, on, trials, seed, shape, only_own=only_own)
    if watch is not None:
        asked.watch = watch
    return asked.answer()


class _Asked:
    """One question about the chances of a trip."""

    def __init__(  # noqa: PLR0913, PLR0917  what is asked
        self, case: Case, trip: str, on: On, trials: int, seed: int, shape: Shape, *, only_own: bool
    ) -> None:
        self.case, self.trip, self.on = case, trip, on
        self.trials, self.seed, self.shape = trials, seed, shape
        self.outlook, self.site, self.teller = case.outlook, case.site, case.teller
        self.usual = load_chances().chances
        self.assuming = Assuming(case.outlook, self.usual, only_own=only_own)
        self.arrivals = Arrivals(case.outlook, trip)
        self.booked = case.outlook.known.arrivals.get(trip)
        self.telling = Telling(case, trip, self.arrivals, self.booked)
        self.watch: Callable[[str, float], object] = lambda part, share: (part, share)
        if on is not None:
            _check_day(case, trip, on)

    def _watching(self, part: str) -> Callable[[float], object]:
        """Return what is told how far one part of the answer is."""
        return lambda share: self.watch(part, share)

    def answer(self) -> ChanceAnswer:
        """Return the answer; for a trip that has come there is nothing left to draw."""
        if self.trip in self.outlook.known.arrived or not open_surfaces(self.case.judge, self.trip):
            note = "The rig has come, or nothing is left to spray: there is nothing to draw."
            return self._with((), (), (), (), None, (note,))
        subject, groups = subject_of(self.case.judge, self.trip, self.assuming, self.shape)
        self.forbids = self.assuming.spray_weather()
        (outcome,) = tried(subject, self.trials, self.seed, (), self._watching(DRAWING))
        self.waiting = self._waiting(outcome)
        candidates = self._candidates(outcome)
        days = [self._outcome(outcome, arrival) for arrival in candidates]
        asked = self._asked_arrival(days)
        order = sorted(range(len(groups)), key=lambda n: (-int(outcome.chain[n]), groups[n]))
        ranked = [groups[number] for number in order if outcome.chain[number]]
        worth = self._worth(subject, ranked, asked) if asked is not None else ()
        return self._with(
            tuple(self.telling.quantiles(outcome)),
            days,
            tuple(self.telling.holds(outcome, groups)),
            worth,
            asked,
            tuple(self._notes(outcome, days)),
        )

    def _with(  # noqa: PLR0913, PLR0917  the parts of an answer
        self,
        opens: tuple[QuantileLine, ...],
        days: Sequence[DayOutcome],
        holds: tuple[HoldLine, ...],
        worth: tuple[WorthLine, ...],
        asked: int | None,
        notes: tuple[str, ...],
    ) -> ChanceAnswer:
        as_of = self.teller.moment(self.outlook.seen.as_of)
        assert as_of is not None  # noqa: S101  as_of is a real instant
        on = self.teller.moment(asked) if asked is not None else None
        prices, missing = self._prices()
        lines = tuple(self.telling.day(day, prices) for day in days)
        priced = [line for line in lines if line.cost is not None and line.chance]
        best = min(priced, key=lambda line: (line.cost or 0.0, line.arrival), default=None)
        return ChanceAnswer(
            job=self.site.job.name,
            instants=Instants(as_of, on or as_of, self.site.zone, Gate.PROMISE.value),
            trip=self.trip,
            trip_name=self.site.trips[self.trip].name,
            asked=on,
            trials=self.trials,
            seed=self.seed,
            shape=self.shape.value,
            opens=opens,
            opens_planned=self._planned(),
            days=lines,
            holds=holds,
            worth=worth,
            best=best.arrival if best is not None else None,
            currency=self.site.job.costs.currency,
            missing_prices=missing,
            break_even=tuple(self.telling.break_evens(days)) if missing else (),
            assumed=tuple(assumed_line(one, self.usual) for one in self.assuming.told()),
            notes=notes,
        )

    def _planned(self) -> datetime | None:
        windows = [self.case.judge.windows[s] for s in open_surfaces(self.case.judge, self.trip)]
        opens = max((window.opens for window in windows), default=NEVER)
        return self.teller.moment(opens)

    def _waiting(self, outcome: Outcome) -> Waiting:
        job = self.site.calendars[self.site.job_calendar]
        timer = self.outlook.frame.calendars[self.site.job_calendar]
        assert isinstance(timer, Worktime)  # noqa: S101  sites are open in spans
        return Waiting(outcome.opens, timer.before, job.day_minutes, self.outlook.seen.as_of)

    def _candidates(self, outcome: Outcome) -> list[int]:
        """Return the arrivals to tell: from the first that may work to the last that is needed."""
        opens = quantile(outcome.opens, SELDOM).at
        enough = quantile(outcome.opens, NEARLY_ALWAYS).at
        closes = int(outcome.last_start.max())
        found: list[int] = []
        at = self.arrivals.first(opens, NEVER) if opens < NEVER else None
        while at is not None and len(found) < MOST_DAYS and (at <= closes or not found):
            found.append(at)
            if at >= enough and (not is_dated(closes) or len(found) > 1):
                break
            at = self.arrivals.first(at + 1, NEVER)
        named = set()
        if self.booked is not None and self.booked >= self.outlook.seen.as_of:
            named.add(self.booked)
        if self.on is not None:
            named.add(asked_instant(self.outlook, self.on, self.trip))
        days = {local_date(self.outlook, arrival) for arrival in named}
        others = {arrival for arrival in found if local_date(self.outlook, arrival) not in days}
        return sorted(named | others)

    def _outcome(self, outcome: Outcome, arrival: int) -> DayOutcome:
        return day_outcome(outcome, arrival, self.forbids, self.waiting)

    def _asked_arrival(self, days: Sequence[DayOutcome]) -> int | None:
        """Return the arrival asked about, else the booked one, else the likeliest."""
        if self.on is not None:
            return asked_instant(self.outlook, self.on, self.trip)
        if self.booked is not None and any(day.arrival == self.booked for day in days):
            return self.booked
        likeliest = max(days, key=lambda day: (day.works.mean(), -day.arrival), default=None)
        return likeliest.arrival if likeliest is not None else None

    def _prices(self) -> tuple[Prices | None, tuple[str, ...]]:
        """Return the job's own prices, or which of them are missing."""
        costs = self.site.job.costs
        missing = tuple(key for key in ("trip", "day") if getattr(costs, key) is None)
        if costs.trip is None or costs.day is None:
            return None, missing
        day = self.site.calendars[self.site.job_calendar].day_minutes
        rebook = costs.rebook.minutes(day) / day if costs.rebook is not None else 0.0
        return Prices(costs.trip, costs.day, rebook), ()

    def _worth(
        self, subject: Subject, groups: Sequence[str], arrival: int
    ) -> tuple[WorthLine, ...]:
        tomorrow = local_date(self.outlook, self.outlook.seen.as_of) + timedelta(days=1)
        while self.site.calendars[self.site.job_calendar].shift_on(tomorrow) is None:
            tomorrow += timedelta(days=1)
        trying = changes_worth_trying(self.outlook, subject, groups, tomorrow)
        changes = [trial.change for trial in trying]
        watching = self._watching(WEIGHING)
        before, *others = tried(subject, self.trials, self.seed, changes, watching)
        as_is = self._outcome(before, arrival)
        lines = []
        for trial, outcome in zip(trying, others, strict=True):
            changed = self._outcome(outcome, arrival)
            if trial.doing is Doing.ASK_NOW:
                gain = gained(changed, as_is)
            else:
                gain = gained(as_is, changed)
            lines.append(self.telling.worth(trial, gain, tomorrow))
        lines.sort(key=lambda line: -line.gains)
        return tuple(lines)

    def _notes(self, outcome: Outcome, days: Sequence[DayOutcome]) -> Iterable[str]:
        yield (
            "Lengths are drawn independently of one another; the places of one stay are slow or "
            "quick together."
        )
        never = float((outcome.opens >= NEVER).mean())
        if never:
            yield f"In {_percent(never)} of the trials nobody can say when it opens."
        if days and not any(day.works.any() for day in days):
            yield "As things stand no day works; 'check' tells what holds it up."
        open_ones = self._without_evidence(days)
        if open_ones:
            yield (
                f"{open_ones} requirements have no evidence yet or stand open and take no time in "
                "the plan: they are taken to be met by then, and 'check' names them."
            )
        asking = self._asking(outcome, days)
        if asking:
            yield asking

    def _without_evidence(self, days: Sequence[DayOutcome]) -> int:
        """Return how many requirements without an item stand against the trip."""
        if not days:
            return 0
        standings = self.case.judge.ledger.standings(Gate.PROMISE, days[-1].arrival)
        surfaces = open_surfaces(self.case.judge, self.trip)
        asked = {index for s in surfaces for index in self.site.requirements_at[s]}
        return sum(
            standing.counts and not standing.passes
            for standing in standings
            if standing.requirement in asked
            and self.site.requirements[standing.requirement].task is None
        )

    def _asking(self, outcome: Outcome, days: Sequence[DayOutcome]) -> str:
        """Return what asking for a day that is not offered would gain; empty without offers."""
        if not self.arrivals.offered:
            return ""
        offered = max((float(day.works.mean()) for day in days), default=0.0)
        others = Arrivals(self.outlook, self.trip)
        others.offered = []
        low = quantile(outcome.opens, SELDOM).at
        found: list[DayOutcome] = []
        at = others.first(low, NEVER) if low < NEVER else None
        while at is not None and len(found) < MOST_DAYS:
            found.append(self._outcome(outcome, at))
            at = others.first(at + 1, NEVER)
        best = max(found, key=lambda day: (float(day.works.mean()), -day.arrival), default=None)
        if best is None or float(best.works.mean()) <= offered:
            return "Asking for a day that is not offered would gain nothing."
        gain = _percent(float(best.works.mean()) - offered)
        return (
            f"Asking for {self.teller.told(best.arrival)}, which is not offered, would gain {gain}."
        )


def _percent(share: float) -> str:
    return f"{share * 100:.0f} %"


def _check_day(case: Case, trip: str, on: date | datetime) -> None:
    """Refuse a day on which no rig can arrive.

    Raises:
        DayError: It has passed, or the spray crew does not work then.
    """
    outlook = case.outlook
    instant = asked_instant(outlook, on, trip)
    today = local_date(outlook, outlook.seen.as_of)
    day = local_date(outlook, instant)
    if instant < outlook.seen.as_of:
        message = (
            f"{case.teller.told(instant)} has passed; it is {case.teller.told(outlook.seen.as_of)}"
        )
        raise DayError(message)
    calendar = case.site.calendars[case.site.spray_calendar]
    if calendar.shift_on(day) is not None or outlook.known.arrivals.get(trip) == instant:
        return
    near = nearest_shifts(calendar, day, today)
    message = f"the spray crew does not work on {day:%a} {day.day} {day:%b}; {near}"
    raise DayError(message)
