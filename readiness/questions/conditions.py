"""The weather and the readings against the limits: which hours lie within, and what to read next.

Invariant: nothing here meets a requirement or says go; an hour with heat is an estimate apart, and
an hour that the forecast lacks is told as not known.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from readiness.facts.limit_rows import Exposure, Material, Measure
from readiness.facts.loader import load_limits
from readiness.foam.conditions import State
from readiness.foam.groups import Group, groups_of
from readiness.foam.hours import HOUR_MINUTES, Forecast, known_span
from readiness.foam.in_force import limits_beside, limits_in_force
from readiness.gates.asked import asked_gate, asked_instant, asked_trip, local_date
from readiness.telling.case import Case, Instants, On
from readiness.telling.measured import Measured, MeasuredLine, NextReading
from readiness.telling.quantity_words import limit_told
from readiness.telling.weather import DryingLine, drying_line
from readiness.telling.weather_days import WeatherDay, WeatherDays
from readiness.telling.weather_hours import NOT_READ, HourLine, hour_lines

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.foam.conditions import Limit

CREW_LEAD = "The crew lead decides on the spot; nothing here is a go, and nothing is an approval."
HEAT_CAUTION = (
    "Heat indirectly or with electric heaters only; no flame and no glowing element while foam is "
    "sprayed and until the release. An unvented burner also adds water to the air."
)
HEAT_NOTE = (
    "Hours with heat are an estimate for a bare inner face with the house at about 70 F, and meet "
    "no requirement: read the substrate."
)
SKY = "the air outdoors, an estimate; under a clear night sky it turns colder than the air"


@dataclass(frozen=True, slots=True)
class LimitLine:
    """One limit with its side and its source."""

    code: str
    title: str
    says: str
    """With its side: below, at most or at least."""
    measures: str
    """What it is about."""
    in_force: bool
    """Applied here; else another published figure, only told."""
    status: str
    """How far its source was seen, or that a product sheet set it."""
    source: str
    """Document and section by name, or the product sheet."""


@dataclass(frozen=True, slots=True)
class GroupLine:
    """Surfaces that one reading speaks for."""

    name: str
    surfaces: tuple[str, ...]
    names: tuple[str, ...]
    substrate_from: str
    """Where the substrate of the hours comes from."""


@dataclass(frozen=True, slots=True)
class ForecastLine:
    """What the file covers."""

    file: str
    """Name of the file."""
    from_: datetime
    """Start of its first hour."""
    until: datetime
    """End of its last hour."""
    known_from: datetime | None
    """Now, or the first hour after it that is known; None if it says nothing of now or later."""
    known_until: datetime | None
    """From there up to the next gap, or to the end; None if it says nothing of now or later."""
    gaps: tuple[str, ...]
    """What it leaves out from now on, in words."""


@dataclass(frozen=True, slots=True)
class ConditionsAnswer:
    """The answer to "which hours work?"."""

    job: str
    units: str
    """`US` or `metric`: how texts tell quantities."""
    instants: Instants
    trip: str
    trip_name: str
    is_yes: bool
    """No reading is outside a limit that stops a surface, and the trip's first day has hours within
    for every group; without a forecast, no reading is wanting."""
    sentence: str
    """What the first lines say."""
    decides: str
    """Who decides, in a sentence."""
    limits: tuple[LimitLine, ...]
    """Limits in force, then other published figures."""
    groups: tuple[GroupLine, ...]
    """Which surfaces one reading speaks for, the coldest first."""
    readings: tuple[MeasuredLine, ...]
    """Readings that count, against their limits."""
    next_readings: tuple[NextReading, ...]
    """What to read next, at most six."""
    forecast: ForecastLine | None
    """What the file covers; null without a file."""
    days: tuple[WeatherDay, ...]
    """Days of the forecast from today on, and those of the trip."""
    hours: tuple[HourLine, ...]
    """The day asked about hour by hour; none if the forecast has no hour of it."""
    drying: DryingLine | None
    """Where wood tends to; null without wood or hours."""
    heat_note: str
    """Empty if heat is not spoken of."""
    cautions: tuple[str, ...]
    """Where somebody can be hurt."""


def conditions(
    case: Case, forecast: Forecast | None = None, on: On = None, trip: str = ""
) -> ConditionsAnswer:
    """Return which hours lie within the limits, and what the readings say.

    Args:
        case: The job at one moment.
        forecast: Hours of the air outdoors; None leaves the readings alone.
        on: A day or moment at the site; None means the booked arrival.
        trip: Id of the trip; empty means the one the day names.
    """
    asking = _Asking(case, forecast, on, trip)
    days = asking.days()
    readings = tuple(asking.measured.lines(asking.arrival))
    following = asking.measured.next_readings(asking.arrival)
    outside = [line for line in readings if line.state == State.OUTSIDE.value and line.stops]
    first = next((day for day in days if day.on_trip), None)
    is_yes = not outside and (first.hours_all_groups > 0 if first else not following)
    heat = any(group.with_heat for day in days for group in day.groups)
    warn = any(day.night is not None and day.night.warns for day in days)
    return ConditionsAnswer(
        job=case.site.job.name,
        units=case.site.job.units,
        instants=asking.instants(),
        trip=asking.trip,
        trip_name=case.site.trips[asking.trip].name,
        is_yes=is_yes,
        sentence=_sentence(outside, first, forecast),
        decides=CREW_LEAD,
        limits=tuple(asking.limit_lines()),
        groups=tuple(asking.group_lines()),
        readings=readings,
        next_readings=following,
        forecast=asking.forecast_line(),
        days=days,
        hours=asking.hours(),
        drying=asking.drying(),
        heat_note=HEAT_NOTE if heat else "",
        cautions=((HEAT_CAUTION,) if heat or warn else ()) + asking.cautions(),
    )


def _sentence(
    outside: list[MeasuredLine], first: WeatherDay | None, forecast: Forecast | None
) -> str:
    if outside:
        line = outside[0]
        return f"outside: {line.measures} {line.value}, wanted {line.limit}, {line.where}"
    if forecast is None:
        return "no forecast was given; the readings alone speak"
    if first is None:
        return "the trip has no day, so no hours can be named for it"
    day = f"{first.day:%a} {first.day.day} {first.day:%b}"
    if first.says:
        return f"nothing is known of {day}: {first.says}"
    spans = ", ".join(f"{span.from_:%H:%M}-{span.until:%H:%M}" for span in first.within_all_groups)
    told = f"{first.hours_all_groups} of {first.hours} crew hours on {day} lie within the limits"
    told += f" for every group: {spans}" if spans else ""
    if first.hours_not_known:
        told += f"; {first.hours_not_known} h not known"
    return told


class _Asking:
    """One question while it is answered."""

    def __init__(self, case: Case, forecast: Forecast | None, on: On, trip: str) -> None:
        outlook = case.outlook
        self.case = case
        self.trip = trip or asked_trip(outlook, on)
        self.arrival = asked_instant(outlook, on, self.trip)
        self.gate = asked_gate(outlook, self.arrival, self.trip)
        self.as_of = outlook.seen.as_of
        self.forecast = forecast
        self.tables = load_limits()
        job = case.site.job
        self.groups = groups_of(job, case.site.trips[self.trip].surfaces, self.tables.exposures)
        self.limits = tuple(
            limit for limit in limits_in_force(job, self.tables) if self._concerns(limit)
        )
        self.measured = Measured(case, self.groups, self.limits)
        self._judged: WeatherDays | None = None

    def _concerns(self, limit: Limit) -> bool:
        """Say whether a trip has something that a limit is about."""
        if limit.measures is not Measure.WOOD_MOISTURE:
            return True
        return any(group.material is Material.WOOD for group in self.groups)

    def instants(self) -> Instants:
        """Return both instants of the question."""
        as_of = self.case.teller.moment(self.as_of)
        on = self.case.teller.moment(self.arrival)
        assert as_of is not None  # noqa: S101  as_of is a real instant
        assert on is not None  # noqa: S101  an asked arrival too
        return Instants(as_of, on, self.case.site.zone, self.gate.value)

    def limit_lines(self) -> Iterable[LimitLine]:
        """Yield the limits in force, then the other published figures."""
        beside = [
            limit
            for limit in limits_beside(self.case.site.job, self.tables)
            if self._concerns(limit)
        ]
        for limits, in_force in ((self.limits, True), (beside, False)):
            for limit in limits:
                yield LimitLine(
                    code=limit.code,
                    title=limit.title,
                    says=limit_told(limit, self.case.site.job.units),
                    measures=limit.measures.value,
                    in_force=in_force,
                    status=limit.status,
                    source=limit.source,
                )

    def group_lines(self) -> Iterable[GroupLine]:
        """Yield the groups, the coldest first."""
        for group in self.groups:
            yield GroupLine(
                name=group.name,
                surfaces=group.surfaces,
                names=self.case.teller.surfaces(group.surfaces),
                substrate_from=self._substrate_from(group),
            )

    def _substrate_from(self, group: Group) -> str:
        if group.follows_the_air:
            return SKY if group.exposure is Exposure.OPEN_SKY else "the air outdoors, an estimate"
        read = self.measured.taken(Measure.SUBSTRATE_TEMPERATURE, group)
        if self.measured.read_substrate_c(group) is None or read is None:
            return NOT_READ
        return f"as read {self.case.teller.told(read.at)}"

    def forecast_line(self) -> ForecastLine | None:
        """Return what the file covers."""
        forecast, moment = self.forecast, self.case.teller.moment
        if forecast is None:
            return None
        first, last = moment(forecast.hours[0].at), moment(forecast.ends)
        assert first is not None  # noqa: S101  an hour is a real instant
        assert last is not None  # noqa: S101  so is its end
        known = known_span(forecast, self.as_of)
        return ForecastLine(
            file=forecast.name,
            from_=first,
            until=last,
            known_from=None if known is None else moment(known[0]),
            known_until=None if known is None else moment(known[1]),
            gaps=tuple(
                f"{self.case.teller.told(gap.first)} to {self.case.teller.told(gap.until)}: "
                f"{gap.why}"
                for gap in forecast.gaps
                if gap.until > self.as_of
            ),
        )

    def drying(self) -> DryingLine | None:
        """Return what wood tends to in the air from now to the arrival, or for a day."""
        if self.forecast is None or all(one.material is not Material.WOOD for one in self.groups):
            return None
        until = max(self.arrival, self.as_of + 24 * HOUR_MINUTES)
        hours = self.forecast.within(self.as_of - HOUR_MINUTES, until)
        return drying_line(hours, self.limits, self.case, until)

    def cautions(self) -> tuple[str, ...]:
        """Return the cautions of the limits in force."""
        if self.forecast is None:
            return ()
        return tuple(dict.fromkeys(limit.caution for limit in self.limits if limit.caution))

    def days(self) -> tuple[WeatherDay, ...]:
        """Return the days of the forecast from today on, and those of the trip."""
        if self.forecast is None:
            return ()
        return tuple(self._weather(self.forecast).days(self.trip, self.arrival))

    def hours(self) -> tuple[HourLine, ...]:
        """Return the hours of the day asked about."""
        if self.forecast is None:
            return ()
        return hour_lines(self._weather(self.forecast), local_date(self.case.outlook, self.arrival))

    def _weather(self, forecast: Forecast) -> WeatherDays:
        if self._judged is None:
            self._judged = WeatherDays(self.case, forecast, self.measured)
        return self._judged
