"""Readings against the limits: within, close or outside, group by group, and what to read next.

Invariant: at most six readings are asked for, the coldest and the wettest spots only, and they are
those that the gates ask for; a reading that rain, a power cut or heat off has voided speaks no
longer.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from readiness.facts.limit_rows import Material, Measure
from readiness.facts.vocabulary import Effect, ReadingKind
from readiness.foam.conditions import Limit, State, judged
from readiness.foam.groups import Group
from readiness.foam.spots import spots_of
from readiness.gates.readings import SPREAD_CODE, SUBSTRATE_CODE, Read, Readings
from readiness.telling.quantity_words import limit_told, margin_told, value_told
from readiness.telling.teller import Who

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from readiness.telling.case import Case

AIR = "air in the work area"

KIND_OF = {
    Measure.WOOD_MOISTURE: ReadingKind.WOOD_MOISTURE,
    Measure.SUBSTRATE_TEMPERATURE: ReadingKind.SUBSTRATE_TEMPERATURE,
    Measure.AIR_TEMPERATURE: ReadingKind.AIR_TEMPERATURE,
    Measure.RELATIVE_HUMIDITY: ReadingKind.RELATIVE_HUMIDITY,
}
REQUIREMENT_OF = {
    Measure.WOOD_MOISTURE: "wood-moisture",
    Measure.SUBSTRATE_TEMPERATURE: SUBSTRATE_CODE,
    Measure.SPREAD: SPREAD_CODE,
    Measure.AIR_TEMPERATURE: SPREAD_CODE,
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
    too_old: bool
    """It will be too old at the arrival asked about."""
    stops: bool
    """Outside its limit it stops a surface; else it is a note."""


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
    void: str = ""
    written: str = ""
    """As it was written, where no site can have it."""

    @property
    def speaks(self) -> bool:
        """Say whether it counts."""
        return not self.void and not self.written


class Measured:
    """The readings of one case, group by group."""

    def __init__(self, case: Case, groups: Sequence[Group], limits: Sequence[Limit]) -> None:
        """Keep what readings are told by; they are the ones that the gates go by."""
        self.case = case
        self.groups = groups
        self.limits = limits
        self.units = case.site.job.units
        self.readings = Readings(case.site, case.outlook.seen)

    def taken(self, measure: Measure, group: Group | None) -> Taken | None:
        """Return the reading that counts: the latest of each surface, and of those the worst.

        Without one that still speaks, the latest of those that don't.
        """
        kind = KIND_OF[measure]
        surfaces = group.surfaces if group is not None else tuple(self.case.site.job.surfaces)
        if group is None:
            air = self.readings.air(kind)
            spoken = [air] if air is not None else []
        else:
            found = (self.readings.latest(kind, surface) for surface in surfaces)
            spoken = [one for one in found if one is not None]
        if spoken:
            return self._taken(min(spoken, key=lambda one: (self._margin(measure, one), one.at)))
        silent = [one for surface in surfaces for one in self.readings.on(kind, surface)]
        latest = max(silent, key=lambda one: one.at, default=None)
        return None if latest is None else self._taken(latest)

    def _taken(self, read: Read) -> Taken:
        void = ""
        if read.void is not None:
            cause, when = read.void
            void = f"{cause}, {self.case.teller.told(when)}"
        unread = read.written if read.figure is None else ""
        return Taken(read.figure or 0.0, read.at, read.by, void, unread)

    def _margin(self, measure: Measure, read: Read) -> float:
        margins = [judged(limit, read.figure).margin for limit in self._of(measure)]
        return min((margin for margin in margins if margin is not None), default=0.0)

    def _of(self, measure: Measure) -> list[Limit]:
        return [limit for limit in self.limits if limit.measures is measure]

    def read_substrate_c(self, group: Group) -> float | None:
        """Return what a group's substrate read, if that still speaks."""
        taken = self.taken(Measure.SUBSTRATE_TEMPERATURE, group)
        if taken is None or not taken.speaks:
            return None
        return (taken.value - 32) / 1.8

    def spread(self, group: Group) -> Taken | None:
        """Return the least that a group's substrate reads above the dew point of the air, in F."""
        if self.read_substrate_c(group) is None:
            return None
        found = (self.readings.spread(surface) for surface in group.surfaces)
        least = min(
            (one for one in found if one is not None),
            key=lambda one: (one.fahrenheit, one.at),
            default=None,
        )
        if least is None:
            return None
        return Taken(least.fahrenheit, least.at, least.substrate.by)

    def fresh_minutes(self, measure: Measure) -> int | None:
        """Return how long a reading stays fresh by the usual row of its requirement."""
        return self.readings.fresh_minutes(REQUIREMENT_OF[measure])

    def lines(self, arrival: int) -> Iterable[MeasuredLine]:
        """Yield every reading that counts, group by group, then the air."""
        for group in self.groups:
            for measure in (Measure.WOOD_MOISTURE, Measure.SUBSTRATE_TEMPERATURE):
                if measure is Measure.WOOD_MOISTURE and group.material is not Material.WOOD:
                    continue
                yield from self._lines(measure, group, self.taken(measure, group), arrival)
            yield from self._lines(Measure.SPREAD, group, self.spread(group), arrival)
        for measure in (Measure.AIR_TEMPERATURE, Measure.RELATIVE_HUMIDITY):
            yield from self._lines(measure, None, self.taken(measure, None), arrival)

    def _lines(
        self, measure: Measure, group: Group | None, taken: Taken | None, arrival: int
    ) -> Iterable[MeasuredLine]:
        if taken is None:
            return
        limit, state, margin = self.stands(measure, taken)
        fresh = self.fresh_minutes(measure)
        yield MeasuredLine(
            where=group.name if group is not None else AIR,
            measures=measure.value,
            value=f"{taken.written} (no such thing on a site)"
            if taken.written
            else value_told(taken.value, measure, self.units),
            at=self.case.teller.moment(taken.at),
            by=taken.by,
            limit=limit_told(limit, self.units) if limit is not None else "",
            state=state.value,
            margin="" if margin is None else margin_told(abs(margin), measure, self.units),
            void=taken.void,
            too_old=fresh is not None and taken.at < arrival - fresh,
            stops=limit is not None and limit.decides is not Effect.NOTE,
        )

    def stands(
        self, measure: Measure, taken: Taken | None
    ) -> tuple[Limit | None, State, float | None]:
        """Return how a reading stands to the nearest of its limits."""
        limits = self._of(measure)
        if taken is None or not taken.speaks or not limits:
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
        return tuple(asked)

    def _spots(self) -> list[tuple[Measure, Group | None]]:
        """Return the spots that the gates ask for: coldest, wettest, air, coldest elsewhere."""
        cold, wet = (
            [spot.groups[0] for spot in spots_of(self.groups, kind)]
            for kind in (ReadingKind.SUBSTRATE_TEMPERATURE, ReadingKind.WOOD_MOISTURE)
        )
        return [
            *((Measure.SUBSTRATE_TEMPERATURE, group) for group in cold[:1]),
            *((Measure.WOOD_MOISTURE, group) for group in wet),
            (Measure.AIR_TEMPERATURE, None),
            (Measure.RELATIVE_HUMIDITY, None),
            *((Measure.SUBSTRATE_TEMPERATURE, group) for group in cold[1:]),
        ]

    def _why(self, measure: Measure, taken: Taken | None, not_before: int | None) -> str:
        """Return why a reading is to be taken; empty if the one there is still speaks."""
        if taken is None:
            return "none yet"
        if taken.void:
            return f"void since {taken.void}"
        if taken.written:
            return f"{taken.written} can't be right"
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
