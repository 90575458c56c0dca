"""What may go otherwise on this job: its own ranges and chances, else the usual ones.

Invariant: a figure is the job's own or one of the table; each that is used is told with its source.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil, comb
from typing import TYPE_CHECKING

from readiness.facts.chance_rows import ChanceOf
from readiness.facts.vocabulary import Where
from readiness.job.durations import Duration
from readiness.job.quantities import Share
from readiness.planning.trials_drawn import Delay, Repeat, Shape, Spread, Stretch, Uncertain
from readiness.planning.trials_pass import MOST_FAILURES, Office
from readiness.schedule.forward import calendar_at
from readiness.schedule.notice import asking_of, correction_minutes
from readiness.site.parts import shared
from readiness.site.task import TaskKind

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from collections.abc import Set as AbstractSet

    from readiness.facts.chance_rows import ChanceKind
    from readiness.schedule.outlook import Outlook
    from readiness.site.stays import Stay

MOST_LOST_DAYS = 6
"""More days of one stay than this are not lost to the weather."""

NO_SHOW, MATERIAL, WEATHER, LOOK = "no-show:", "material:", "weather:", "look:"
"""What the ids of delays and of looks that may fail begin with; the rest is a stay or a look."""


@dataclass(frozen=True, slots=True)
class Assumed:
    """One figure that was reckoned with."""

    about: ChanceOf
    whom: str
    """Id of the work, trade or approval it is for; empty if it is for all others."""
    told: str
    own: bool
    """Written in the job file."""
    source: str
    status: str


class Assuming:
    """Reads the figures of one job and remembers which of them were used."""

    def __init__(
        self, outlook: Outlook, usual: Mapping[ChanceOf, ChanceKind], *, only_own: bool
    ) -> None:
        """Begin with nothing used."""
        self.outlook = outlook
        self.site = outlook.site
        self.written = outlook.site.job.chances
        self.usual = usual
        self.only_own = only_own
        self.used: dict[tuple[ChanceOf, str], Assumed] = {}

    def uncertain(self, relevant: AbstractSet[int], shape: Shape) -> Uncertain:
        """Return what is drawn for the tasks that matter."""
        return Uncertain(
            spreads=tuple(self._spreads(relevant)),
            delays=tuple(self._delays(relevant)),
            repeats=tuple(self._repeats(relevant)),
            shape=shape,
        )

    def spray_weather(self) -> float:
        """Return the chance that the weather keeps the crew from spraying on a day."""
        return self._chance(ChanceOf.SPRAY_WEATHER, "", self.written.spray_weather)

    def _spreads(self, relevant: AbstractSet[int]) -> Iterable[Spread]:
        site = self.site
        for name, stay in site.stays.items():
            found = self._of_stay(stay, relevant)
            if found:
                yield Spread(name, tuple(found))
        for trip in site.trips.values():
            steps = (trip.set_up, *trip.sprays.values(), trip.clean_up)
            found = [
                stretch
                for task in steps
                if task in relevant
                for stretch in self._usual(ChanceOf.TRIP_LENGTH, task)
            ]
            if found:
                yield Spread(f"trip:{trip.id}", tuple(found))
        for task in site.tasks:
            if task.index in relevant and task.kind in (TaskKind.CORRECTION, TaskKind.PULL):
                found = list(self._usual(ChanceOf.WORK_LENGTH, task.index))
                if found:
                    yield Spread(task.id, tuple(found))

    def _of_stay(self, stay: Stay, relevant: AbstractSet[int]) -> list[Stretch]:
        """Return the ranges of the open parts of a stay: its own, else the usual one."""
        parts = self.site.stay_tasks[stay.id].parts
        wanted = [part for part in parts if part in relevant and self._likely(part)]
        row = stay.row
        if not wanted:
            return []
        if row is None or (row.takes_at_least is None and row.takes_at_most is None):
            return [found for part in wanted for found in self._usual(ChanceOf.WORK_LENGTH, part)]
        planned = [self.site.tasks[part].minutes for part in parts]
        day = self.site.calendars[self.site.trade_calendar[stay.trade]].day_minutes
        weights = [Fraction(minutes) for minutes in planned]
        whole = sum(planned)
        least = row.takes_at_least.minutes(day) if row.takes_at_least else whole
        most = row.takes_at_most.minutes(day) if row.takes_at_most else whole
        told = f"{row.takes_at_least or row.takes} to {row.takes_at_most or row.takes}"
        self._use(Assumed(ChanceOf.WORK_LENGTH, stay.id, told, True, "the job file", ""))  # noqa: FBT003
        both = zip(shared(least, weights), shared(most, weights), strict=True)
        ranges = dict(zip(parts, both, strict=True))
        return [self._stretch(part, ranges[part], self.site.tasks[part].minutes) for part in wanted]

    def _stretch(self, task: int, ends: tuple[int, int], planned: int) -> Stretch:
        """Return the range of a task, shortened with what is left of it."""
        likely = self._likely(task)
        left = Fraction(likely, max(planned, 1))
        least, most = (ceil(end * left) for end in ends)
        return Stretch(task, min(least, likely), likely, max(most, likely))

    def _likely(self, task: int) -> int:
        """Return the minutes that the forecast reckons with; 0 for what is finished or asleep."""
        state = self.outlook.known.state
        if task in state.finished or task in state.never:
            return 0
        if task in state.begun:
            return state.begun[task].remaining_minutes
        return self.outlook.network.minutes[task]

    def _usual(self, about: ChanceOf, task: int) -> Iterable[Stretch]:
        """Yield the usual range of a task, unless it is nothing."""
        likely = self._likely(task)
        written = self.written
        less, more = (
            (written.quick_by, written.slow_by) if about is ChanceOf.WORK_LENGTH else (None, None)
        )
        if not likely or (self.only_own and less is None and more is None):
            return
        row = self.usual[about]
        least = less or (None if self.only_own else Share.parse(row.less))
        most = more or (None if self.only_own else Share.parse(row.more))
        late = self.site.late_minutes.get(task)
        told = f"{least or '0 %'} less to {most or '0 %'} more"
        source = "the job file" if less or more else row.source
        own = bool(less or more)
        self._use(Assumed(about, "", told, own, source, "" if own else row.status.value))
        shortest = ceil(likely * (1 - (least.fraction if least else 0)))
        longest = ceil(likely * (1 + (most.fraction if most else 0)))
        if about is ChanceOf.TRIP_LENGTH and late is not None and late > likely:
            longest = late
        yield Stretch(task, shortest, likely, longest)

    def _delays(self, relevant: AbstractSet[int]) -> Iterable[Delay]:
        for name, stay in self.site.stays.items():
            heads = self._heads(name, relevant)
            if not heads:
                continue
            calendar = self.site.calendars[self.site.trade_calendar[stay.trade]]
            day = calendar.day_minutes
            written = self.written
            chance = self._chance(
                ChanceOf.NO_SHOW, stay.trade, written.no_shows.get(stay.trade), written.no_show
            )
            if chance:
                yield Delay(
                    NO_SHOW + name,
                    dict.fromkeys(heads, self._takes(ChanceOf.NO_SHOW, day)),
                    (chance,),
                )
            chance = self._chance(
                ChanceOf.MATERIAL_LATE, name, written.materials.get(name), written.material_late
            )
            if chance:
                wait = written.material_takes
                minutes = wait.minutes(day) if wait else self._takes(ChanceOf.MATERIAL_LATE, day)
                yield Delay(MATERIAL + name, dict.fromkeys(heads, minutes), (chance,))
            if stay.where is Where.OUTSIDE:
                yield from self._lost_days(name, heads, day)

    def _lost_days(self, name: str, heads: tuple[int, ...], day: int) -> Iterable[Delay]:
        chance = self._chance(ChanceOf.OUTSIDE_WEATHER, "", self.written.outside_weather)
        parts = self.site.stay_tasks[name].chains[0]
        days = ceil(sum(self._likely(part) for part in parts) / day)
        if chance and days:
            minutes = dict.fromkeys(heads, self._takes(ChanceOf.OUTSIDE_WEATHER, day))
            yield Delay(WEATHER + name, minutes, lost_days(days, chance))

    def _heads(self, name: str, relevant: AbstractSet[int]) -> tuple[int, ...]:
        """Return the first part of each crew's chain, if nobody of the stay has come yet."""
        state = self.outlook.known.state
        stay = self.site.stay_tasks[name]
        if any(part in state.begun or part in state.finished for part in stay.parts):
            return ()
        return tuple(
            chain[0]
            for chain in stay.chains
            if chain and self._likely(chain[0]) and not relevant.isdisjoint(chain)
        )

    def _repeats(self, relevant: AbstractSet[int]) -> Iterable[Repeat]:
        for approval in self.site.approvals:
            looks = tuple(
                look for look in approval.looks.values() if look in relevant and self._likely(look)
            )
            written = self.written
            if not looks:
                continue
            chance = self._chance(
                ChanceOf.LOOK_FAILS, approval.id, written.looks.get(approval.id), written.look_fails
            )
            if chance:
                tails = tuple(chance**times for times in range(1, MOST_FAILURES + 1))
                before = "before" if approval.before_foam else "after"
                before += f":part {approval.part}" if approval.part else ""
                yield Repeat(f"{LOOK}{approval.id}:{approval.trip}:{before}", looks, tails)

    def offices(self, repeats: Iterable[Repeat]) -> dict[int, Office]:
        """Return by look what it needs after it has failed."""
        site, outlook = self.site, self.outlook
        failing = {look for repeat in repeats for look in repeat.looks}
        found = {}
        for approval in site.approvals:
            asking = asking_of(site, approval.id)
            for surface, look in approval.looks.items():
                if look not in failing:
                    continue
                correction = approval.corrections[surface]
                index = outlook.network.calendar[correction]
                found[look] = Office(
                    asking=asking,
                    corrects=calendar_at(outlook.calendars, index),
                    correction_minutes=correction_minutes(site, approval.id, correction),
                )
        return found

    def _chance(
        self, about: ChanceOf, whom: str, single: Share | None, others: Share | None = None
    ) -> float:
        """Return a chance: for this one, for all others, else the usual one."""
        written = single if single is not None else others
        if written is not None:
            named = whom if single is not None and others is not single else ""
            self._use(Assumed(about, named, str(written), True, "the job file", ""))  # noqa: FBT003
            return float(written.fraction)
        if self.only_own:
            return 0.0
        row = self.usual[about]
        self._use(Assumed(about, "", row.chance, False, row.source, row.status.value))  # noqa: FBT003
        return float(Share.parse(row.chance).fraction)

    def _takes(self, about: ChanceOf, day: int) -> int:
        return Duration.parse(self.usual[about].takes).minutes(day)

    def _use(self, assumed: Assumed) -> None:
        self.used.setdefault((assumed.about, assumed.whom), assumed)

    def told(self) -> tuple[Assumed, ...]:
        """Return the figures that were used, in the order of the table, those for all last."""
        order = list(ChanceOf)
        return tuple(
            sorted(
                self.used.values(),
                key=lambda one: (order.index(one.about), not one.whom, one.whom),
            )
        )


def lost_days(days: int, chance: float) -> tuple[float, ...]:
    """Return the chance that at least one, two ... of so many days are lost, each by itself."""
    exactly = [
        comb(days, lost) * chance**lost * (1 - chance) ** (days - lost) for lost in range(days + 1)
    ]
    most = min(days, MOST_LOST_DAYS)
    return tuple(max(0.0, 1 - sum(exactly[:lost])) for lost in range(1, most + 1))
