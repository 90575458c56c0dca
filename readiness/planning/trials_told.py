"""The outcome of trials as lines for people: days, what holds, what a call is worth, figures used.

Invariant: a share or a mean never stands without its standard error.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from itertools import pairwise
from typing import TYPE_CHECKING

from readiness.job.instants import NEVER
from readiness.planning.trials_changes import Doing
from readiness.planning.trials_days import break_even, mean, quantile
from readiness.telling.teller import Who

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from readiness.facts.chance_rows import ChanceKind, ChanceOf
    from readiness.gates.proposals import Arrivals
    from readiness.planning.trials import Outcome
    from readiness.planning.trials_assumed import Assumed
    from readiness.planning.trials_changes import Trial
    from readiness.planning.trials_days import DayOutcome, Figure, Prices
    from readiness.telling.case import Case

SHARES = (0.5, 0.8, 0.9)
SELDOM = 0.01
"""What lies on the chain in fewer of the trials is not told."""
MOST_HOLDS = 8


@dataclass(frozen=True, slots=True)
class QuantileLine:
    """By when the trip is open with some chance."""

    chance: float
    opens: datetime | None
    """None if nobody can say."""
    opens_low: datetime | None
    """One standard error earlier."""
    opens_high: datetime | None
    """One standard error later."""
    first_arrival: datetime | None
    """The first arrival from then on that the crew may have."""


@dataclass(frozen=True, slots=True)
class DayLine:
    """One arrival."""

    arrival: datetime
    booked: bool
    offered: bool
    """The spray company has offered it; without offers every shift of the crew counts."""
    chance: float
    chance_error: float
    too_early: float
    """Share of the trials in which it opens later."""
    too_early_error: float
    too_late: float
    """Share of the trials in which something committed would be late."""
    too_late_error: float
    weather: float
    """Share of the trials in which the weather keeps the crew from spraying."""
    weather_error: float
    waiting_days: float
    """Working days from opening to this arrival, on average."""
    waiting_days_error: float
    cost: float | None
    """What booking it costs on average, in the job's currency; None without own prices."""
    cost_error: float | None


@dataclass(frozen=True, slots=True)
class HoldLine:
    """What the trip waits for, and how often."""

    id: str
    title: str
    who: Who
    last: float
    """Share of the trials in which it is the last to open the trip."""
    last_error: float
    on_chain: float
    """Share of the trials in which it lies on the driving chain."""
    on_chain_error: float
    origin: str


@dataclass(frozen=True, slots=True)
class WorthLine:
    """What one call or request would be worth for the arrival asked about."""

    says: str
    who: Who
    gains: float
    """By how much the chance of the day grows, or does not fall."""
    gains_error: float


@dataclass(frozen=True, slots=True)
class BreakEvenLine:
    """From which price of a wasted trip on the later of two days pays."""

    earlier: datetime
    later: datetime
    lost_days: float | None
    """A wasted trip, with the wait for the next one, in lost days; None if it never pays."""
    lost_days_error: float | None


@dataclass(frozen=True, slots=True)
class AssumedLine:
    """One figure that was reckoned with."""

    about: str
    whom: str
    """For which work, trade or approval; empty for all others."""
    told: str
    own: bool
    """Written in the job file."""
    source: str
    status: str


@dataclass(frozen=True, slots=True)
class Telling:
    """Turns the outcome for one trip into lines."""

    case: Case
    trip: str
    arrivals: Arrivals
    booked: int | None

    def quantiles(self, outcome: Outcome) -> Iterable[QuantileLine]:
        """Yield by when the trip is open with some chance."""
        for share in SHARES:
            found = quantile(outcome.opens, share)
            first = self.arrivals.first(found.at, NEVER) if found.at < NEVER else None
            yield QuantileLine(
                chance=share,
                opens=self.case.teller.moment(found.at),
                opens_low=self.case.teller.moment(found.low),
                opens_high=self.case.teller.moment(found.high),
                first_arrival=self.case.teller.moment(first) if first is not None else None,
            )

    def day(self, day: DayOutcome, prices: Prices | None) -> DayLine:
        """Return one arrival."""
        arrival = self.case.teller.moment(day.arrival)
        assert arrival is not None  # noqa: S101  arrivals are real instants
        works, waiting = mean(day.works), mean(day.waiting_days)
        early, late, weather = mean(day.early), mean(day.late), mean(day.weather)
        cost = day.cost(prices) if prices is not None else None
        return DayLine(
            arrival=arrival,
            booked=day.arrival == self.booked,
            offered=not self.arrivals.offered or day.arrival in self.arrivals.offered,
            chance=round(works.value, 4),
            chance_error=round(works.error, 4),
            too_early=round(early.value, 4),
            too_early_error=round(early.error, 4),
            too_late=round(late.value, 4),
            too_late_error=round(late.error, 4),
            weather=round(weather.value, 4),
            weather_error=round(weather.error, 4),
            waiting_days=round(waiting.value, 3),
            waiting_days_error=round(waiting.error, 3),
            cost=round(cost.value, 2) if cost is not None else None,
            cost_error=round(cost.error, 2) if cost is not None else None,
        )

    def break_evens(self, days: Sequence[DayOutcome]) -> Iterable[BreakEvenLine]:
        """Yield, for each day and the next, what a wasted trip would have to cost."""
        for earlier, later in pairwise(days):
            one, other = (
                self.case.teller.moment(earlier.arrival),
                self.case.teller.moment(later.arrival),
            )
            assert one is not None  # noqa: S101  arrivals are real instants
            assert other is not None  # noqa: S101
            lost = break_even(earlier, later)
            if lost is None:
                yield BreakEvenLine(one, other, None, None)
            else:
                yield BreakEvenLine(one, other, round(lost.value, 2), round(lost.error, 2))

    def holds(self, outcome: Outcome, groups: Sequence[str]) -> Iterable[HoldLine]:
        """Yield what the trip waits for, what opens it last most often first."""
        last = [0] * len(groups)
        by_name = {name: number for number, name in enumerate(groups)}
        for task, count in outcome.last.items():
            number = by_name.get(self.case.site.tasks[task].stay)
            if number is not None and task not in self.case.outlook.known.state.finished:
                last[number] += count
        order = sorted(
            range(len(groups)), key=lambda n: (-last[n], -int(outcome.chain[n]), groups[n])
        )
        for number in order[:MOST_HOLDS]:
            share, on_chain = last[number] / outcome.trials, outcome.chain[number] / outcome.trials
            if on_chain < SELDOM:
                continue
            title, who, origin = self._group(groups[number])
            yield HoldLine(
                id=groups[number],
                title=title,
                who=who,
                last=round(share, 4),
                last_error=_error(share, outcome.trials),
                on_chain=round(float(on_chain), 4),
                on_chain_error=_error(float(on_chain), outcome.trials),
                origin=origin,
            )

    def _group(self, name: str) -> tuple[str, Who, str]:
        """Return what people call a group, who does it, and where it comes from."""
        site = self.case.site
        task = next(task for task in site.tasks if task.stay == name)
        kind, _, rest = name.partition(":")
        if name in site.stays:
            stay = site.stays[name]
            return stay.title, self.case.teller.who(stay.trade), stay.origin.told()
        if kind == "approval":
            office = self.case.teller.who(site.office_of[rest])
            return site.approval_kinds[rest].title, office, task.origin.told()
        if kind == "pull":
            who = self.case.teller.who(task.trade or "contractor")
            return f"pull the {site.things[rest].title}", who, task.origin.told()
        return (
            f"the {site.trips[rest].name} trip",
            self.case.teller.who("spray"),
            task.origin.told(),
        )

    def worth(self, trial: Trial, gain: Figure, tomorrow: date) -> WorthLine:
        """Return what one thing that could be done is worth."""
        site = self.case.site
        if trial.doing is Doing.CALL:
            who = self.case.teller.who(site.stays[trial.about].trade)
            says = f"to be sure that they come, with everything: {site.stays[trial.about].title}"
        else:
            kind = site.approval_kinds[trial.about]
            if trial.doing is Doing.ASK_NOW:
                who = self.case.teller.who(site.office_of[trial.about])
                says = f"to ask today and not on {tomorrow:%a} {tomorrow.day}: {kind.title}"
            else:
                who = self.case.teller.who(kind.correction_trade)
                says = f"to go through the work before the office does: {kind.title}"
        return WorthLine(says, who, round(gain.value, 4), round(gain.error, 4))


def assumed_line(one: Assumed, usual: Mapping[ChanceOf, ChanceKind]) -> AssumedLine:
    """Return one figure that was reckoned with."""
    title = usual[one.about].title
    return AssumedLine(title, one.whom, one.told, one.own, one.source, one.status)


def _error(share: float, trials: int) -> float:
    """Return the standard error of a share of the trials."""
    return round(float((share * (1 - share) / trials) ** 0.5), 4)
