"""Readings against the limits: within, close or outside, group by group, and what to read next.

Invariant: at most six readings are asked for, the coldest and the wettest spots only; a reading
that rain, a power cut or heat off has voided speaks no longer.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from readiness.facts.limit_rows import Bound, Material, Measure
from readiness.facts.vocabulary import ReadingKind
from readiness.foam.air import OutOfRangeError, condensation_point_c
from readiness.foam.conditions import Limit, State, figure_of, judged
from readiness.foam.group_hours import fahrenheit
from readiness.foam.groups import Group
from readiness.job.durations import Duration
from readiness.job.places import surfaces_of
from readiness.job.written import MisreadError
from readiness.telling.quantity_words import margin_told, value_told
from readiness.telling.teller import Who

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from readiness.diary.seen import Reading
    from readiness.telling.case import Case

MOST_READINGS = 6
DAY_MINUTES = 1440
AIR = "air in the work area"
COLDEST_SUBSTRATE_F = -40.0
HOTTEST_SUBSTRATE_F = 180.0
"""Beyond these no site is at work; the instrument or its unit is wrong."""

MEASURE_OF = {
    ReadingKind.WOOD_MOISTURE: Measure.WOOD_MOISTURE,
    ReadingKind.SUBSTRATE_TEMPERATURE: Measure.SUBSTRATE_TEMPERATURE,
    ReadingKind.AIR_TEMPERATURE: Measure.AIR_TEMPERATURE,
    ReadingKind.RELATIVE_HUMIDITY: Measure.RELATIVE_HUMIDITY,
}
REQUIREMENT_OF = {
    Measure.WOOD_MOISTURE: "wood-moisture",
    Measure.SUBSTRATE_TEMPERATURE: "substrate-temperature",
    Measure.SPREAD: "above-dew-point",
    Measure.AIR_TEMPERATURE: "above-dew-point",
    Measure.RELATIVE_HUMIDITY: "air-humidity",
}


@dataclass(frozen=True, slots=True)
class MeasuredLine:
    """One reading, or what follows from several, against its limit."""

    where: str
    """The group it speaks for, or the air in the work area."""
    measures: str
    """What was measured."""
    value: str
    """In the units of the job."""
    at: datetime | None
    """When."""
    by: str
    """Who read it."""
    limit: str
    """With its side: below, at most, at least."""
    state: str
    """within, close, outside, or not known."""
    margin: str
    """How far from the limit, on the good side unless the state is outside; empty if unknown."""
    void: str
    """Why it speaks no longer; empty if it does."""


@dataclass(frozen=True, slots=True)
class NextReading:
    """A reading to take."""

    measures: str
    """What to measure."""
    where: str
    """The spot: the coldest or the wettest of its group, or the air."""
    why: str
    """None yet, void, close, outside or too old."""
    not_before: datetime | None
    """Taken earlier it is too old at the arrival; None if it never is."""
    who: Who


@dataclass(frozen=True, slots=True)
class Taken:
    """The reading that counts for a group, in the unit of its limits."""

    value: float
    at: int
    by: str
    void: str
    usable: bool = True


class Measured:
    """The readings of one case, looked up by group."""

    def __init__(self, case: Case, groups: Sequence[Group], limits: Sequence[Limit]) -> None:
        """Resolve what each reading speaks for once."""
        self.case = case
        self.groups = groups
        self.limits = limits
        self.units = case.site.job.units
        self._surfaces = {
            id(reading): frozenset(surfaces_of(reading.places, case.site.job))
            for reading in case.outlook.seen.readings
        }

    def taken(self, measure: Measure, group: Group | None) -> Taken | None:
        """Return the reading that counts: the latest of each surface, and of those the worst."""
        wanted = group.surfaces if group is not None else tuple(self.case.site.job.surfaces)
        latest: dict[str, Taken] = {}
        for reading in sorted(self.case.outlook.seen.readings, key=lambda one: one.at):
            if MEASURE_OF.get(reading.kind) is measure:
                for surface in self._surfaces[id(reading)].intersection(wanted):
                    latest[surface] = self._one(reading, measure, surface)
        spoken = [one for one in latest.values() if one.usable and not one.void]
        if not spoken:
            return max(latest.values(), key=lambda one: one.at, default=None)
        if group is None:
            return max(spoken, key=lambda one: one.at)
        return min(spoken, key=lambda one: (self._margin(measure, one.value), one.at))

    def _margin(self, measure: Measure, value: float) -> float:
        margins = [judged(limit, value).margin for limit in self._of(measure)]
        return min((margin for margin in margins if margin is not None), default=0.0)

    def _one(self, reading: Reading, measure: Measure, surface: str) -> Taken:
        void = ""
        for names, when, cause in self.case.outlook.seen.reading_voids:
            if surface in names and reading.at <= when:
                void = f"{cause}, {self.case.teller.told(when)}"
        value, usable = _figure(reading, measure)
        return Taken(value, reading.at, reading.by, void, usable)

    def _of(self, measure: Measure) -> list[Limit]:
        return [limit for limit in self.limits if limit.measures is measure]

    def read_substrate_c(self, group: Group) -> float | None:
        """Return what a group's substrate read, if that still speaks."""
        taken = self.taken(Measure.SUBSTRATE_TEMPERATURE, group)
        if taken is None or taken.void or not taken.usable:
            return None
        return (taken.value - 32) / 1.8

    def spread(self, group: Group) -> Taken | None:
        """Return how far a group's substrate reads above the dew point of the air, in F.

        None unless substrate, air and humidity were read within the time one reading stays fresh.
        """
        parts = [
            self.taken(Measure.SUBSTRATE_TEMPERATURE, group),
            self.taken(Measure.AIR_TEMPERATURE, None),
            self.taken(Measure.RELATIVE_HUMIDITY, None),
        ]
        found = [one for one in parts if one is not None and one.usable and not one.void]
        if len(found) < len(parts):
            return None
        substrate, air, humidity = found
        times = [one.at for one in found]
        fresh = self.fresh_minutes(Measure.SPREAD)
        if fresh is not None and max(times) - min(times) > fresh:
            return None
        try:
            dew = condensation_point_c((air.value - 32) / 1.8, humidity.value)
        except OutOfRangeError:
            return None
        return Taken(substrate.value - fahrenheit(dew), min(times), substrate.by, "")

    def fresh_minutes(self, measure: Measure) -> int | None:
        """Return how long a reading stays fresh by the usual row of its requirement."""
        row = self.case.site.facts.requirements.get(REQUIREMENT_OF[measure])
        if row is None or not row.fresh_for:
            return None
        return Duration.parse(row.fresh_for).minutes(DAY_MINUTES)

    def lines(self) -> Iterable[MeasuredLine]:
        """Yield every reading that counts, group by group, then the air."""
        for group in self.groups:
            for measure in (Measure.WOOD_MOISTURE, Measure.SUBSTRATE_TEMPERATURE):
                if measure is Measure.WOOD_MOISTURE and group.material is not Material.WOOD:
                    continue
                yield from self._lines(measure, group, self.taken(measure, group))
            yield from self._lines(Measure.SPREAD, group, self.spread(group))
        for measure in (Measure.AIR_TEMPERATURE, Measure.RELATIVE_HUMIDITY):
            yield from self._lines(measure, None, self.taken(measure, None))

    def _lines(
        self, measure: Measure, group: Group | None, taken: Taken | None
    ) -> Iterable[MeasuredLine]:
        if taken is None:
            return
        limit, state, margin = self.stands(measure, taken)
        yield MeasuredLine(
            where=group.name if group is not None else AIR,
            measures=measure.value,
            value=value_told(taken.value, measure, self.units)
            + ("" if taken.usable else " (no such thing on a site)"),
            at=self.case.teller.moment(taken.at),
            by=taken.by,
            limit=limit.says if limit is not None else "",
            state=state.value,
            margin="" if margin is None else margin_told(abs(margin), measure, self.units),
            void=taken.void,
        )

    def stands(
        self, measure: Measure, taken: Taken | None
    ) -> tuple[Limit | None, State, float | None]:
        """Return how a reading stands to the nearest of its limits."""
        limits = self._of(measure)
        if taken is None or taken.void or not taken.usable or not limits:
            return (limits[0] if limits else None), State.UNKNOWN, None
        found = [(judged(limit, taken.value), limit) for limit in limits]
        one, limit = min(found, key=lambda pair: (pair[0].margin or 0.0, pair[1].code))
        return limit, one.state, one.margin

    def next_readings(self, arrival: int) -> tuple[NextReading, ...]:
        """Return the readings to take, the one that decides most first."""
        asked: list[NextReading] = []
        for measure, group in self._spots():
            taken = self.taken(measure, group)
            fresh = self.fresh_minutes(measure)
            why = self._why(measure, taken, None if fresh is None else arrival - fresh)
            if not why:
                continue
            asked.append(
                NextReading(
                    measures=measure.value,
                    where=self._spot(measure, group),
                    why=why,
                    not_before=None if fresh is None else self.case.teller.moment(arrival - fresh),
                    who=self._who(measure),
                )
            )
        return tuple(asked[:MOST_READINGS])

    def _spots(self) -> list[tuple[Measure, Group | None]]:
        """Return the coldest, the wettest, the air, then one more of each elsewhere."""
        cold = sorted(self.groups, key=lambda group: (group.cold_rank, group.id))
        wood = [group for group in self.groups if group.material is Material.WOOD]
        wet = sorted(wood, key=lambda group: (group.wet_rank, group.id))
        more_cold = [group for group in cold[1:] if group.exposure is not cold[0].exposure]
        return [
            *((Measure.SUBSTRATE_TEMPERATURE, group) for group in cold[:1]),
            *((Measure.WOOD_MOISTURE, group) for group in wet[:1]),
            (Measure.AIR_TEMPERATURE, None),
            (Measure.RELATIVE_HUMIDITY, None),
            *((Measure.SUBSTRATE_TEMPERATURE, group) for group in more_cold[:1]),
            *((Measure.WOOD_MOISTURE, group) for group in wet[1:2]),
        ]

    def _why(self, measure: Measure, taken: Taken | None, not_before: int | None) -> str:
        """Return why a reading is to be taken; empty if the one there is still speaks."""
        if taken is None:
            return "none yet"
        if taken.void:
            return f"void since {taken.void}"
        if not taken.usable:
            return "the one there is can't be right"
        _, state, margin = self.stands(measure, taken)
        if state in (State.CLOSE, State.OUTSIDE) and margin is not None:
            told = margin_told(abs(margin), measure, self.units)
            return f"{told} {'outside' if state is State.OUTSIDE else 'from the limit'}"
        if not_before is not None and taken.at < not_before:
            return "too old at the arrival"
        return ""

    def _spot(self, measure: Measure, group: Group | None) -> str:
        if group is None:
            return AIR
        if measure is Measure.WOOD_MOISTURE:
            return f"the wettest of {group.name}: {self.case.teller.place(group.wettest)}"
        return f"the coldest of {group.name}: {self.case.teller.place(group.coldest)}"

    def _who(self, measure: Measure) -> Who:
        row = self.case.site.facts.requirements.get(REQUIREMENT_OF[measure])
        return self.case.teller.who(row.clears if row is not None else "crew lead")


def _figure(reading: Reading, measure: Measure) -> tuple[float, bool]:
    """Return a reading in the unit of its limits, and whether a site can have it."""
    try:
        value = figure_of(reading.value, measure)
    except MisreadError:
        return 0.0, False
    if measure in (Measure.SUBSTRATE_TEMPERATURE, Measure.AIR_TEMPERATURE):
        return value, COLDEST_SUBSTRATE_F <= value <= HOTTEST_SUBSTRATE_F
    if measure is Measure.RELATIVE_HUMIDITY:
        return value, 0 < value <= 100  # noqa: PLR2004  percent
    return value, True


def lowest_substrate(limits: Iterable[Limit]) -> Limit | None:
    """Return the lowest substrate temperature in force."""
    return next(
        (
            limit
            for limit in limits
            if limit.measures is Measure.SUBSTRATE_TEMPERATURE and limit.bound is Bound.AT_LEAST
        ),
        None,
    )
