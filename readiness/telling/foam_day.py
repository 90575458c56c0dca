"""Board feet, drum sets and hours of a trip, as lines of an answer.

Invariant: a pass or a wait is told only from a product sheet; without it the published figure
stands beside as a caution and is not computed with.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from readiness.facts.foam_rows import Figure
from readiness.facts.vocabulary import FoamClass, RoomKind, SurfaceKind
from readiness.foam.day import Sprayed, known_minutes, steps_of, waits_minutes
from readiness.foam.product import company
from readiness.foam.quantity import Need, allowances_of, drums_for, need_of, row_of
from readiness.foam.said import Mark, mark_of
from readiness.job.durations import Duration
from readiness.job.instants import is_dated
from readiness.schedule.worktime import Worktime
from readiness.site.parts import floor_square_feet
from readiness.site.stays import REFERENCE_FLOOR_SQUARE_FEET
from readiness.telling.foam_lines import FoamTeller, MarkLine
from readiness.telling.weather_days import HoursSpan

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.foam.foam_spot import FoamSpot

LEAST_MASKING_MINUTES = 30
NO_SHEET = "not computed, product sheet needed"


@dataclass(frozen=True, slots=True)
class NeedLine:
    """The foam of one surface on this trip."""

    surface: str
    name: str
    depth_inches: float
    """Sprayed on this trip."""
    left_inches: float
    """Left for another trip."""
    plain_board_feet: float
    """Area times depth."""
    sprayed_board_feet: float
    """Without wood, with trimmed overfill and waste."""
    share_done: float
    """From the diary; 1 is all of it."""
    passes: int | None
    """By the product sheet; null without one."""
    hours: float
    """At the gun."""


@dataclass(frozen=True, slots=True)
class DrumLine:
    """The drum sets of one class."""

    foam: str
    """Class of the foam."""
    board_feet: float
    """Sprayed, waste included, and not yet done."""
    per_set: float
    """Board feet out of one drum set."""
    sets: float
    """Needed, before the reserve."""
    to_load: int
    """Whole drum sets with the reserve."""
    rests_on: tuple[MarkLine, ...]
    """Where its figures come from."""


@dataclass(frozen=True, slots=True)
class ClockStep:
    """One step of the trip on the clock of the crew."""

    name: str
    minutes: int | None
    """Null if it was not computed."""
    until: datetime | None
    """Its end on the spray crew's calendar; null if it was not computed."""
    spans: tuple[HoursSpan, ...]
    """The crew's hours that it takes, night and break left out; none if its end is not known."""
    says: str
    """Why it was not computed, or what else to know."""


@dataclass(frozen=True, slots=True)
class SprayDay:
    """The hours of the trip and whether they fit."""

    steps: tuple[ClockStep, ...]
    """From arrival to leaving."""
    hours: float
    """Of all that was computed."""
    planned_hours: float
    """Working hours of the trip as it is planned."""
    most_hours: float
    """The pessimistic ones."""
    planned_until: datetime | None
    """When the rig leaves, as the trip is planned."""
    fits: bool | None
    """Null if something was not computed and what was computed would fit."""
    says: str
    rests_on: tuple[MarkLine, ...]
    """Where its figures come from."""


class FoamDay:
    """Works the foam and the hours of one trip out."""

    def __init__(self, teller: FoamTeller, trip: str, arrival: int) -> None:
        """Look up what the trip sprays, and how much of it is done."""
        self.teller = teller
        self.case = teller.case
        self.job = teller.case.site.job
        self.tasks = teller.case.site.trips[trip]
        self.arrival = arrival
        self.rates = self.job.rates
        self.allow = allowances_of(teller.tables, self.rates)
        self.row = self.job.trips.get(trip)
        news = self.case.outlook.seen.trips.get(trip)
        self.shares = dict(news.shares) if news is not None else {}
        finished = self.case.outlook.known.state.finished
        self.done = {s for s, task in self.tasks.sprays.items() if task in finished}
        self.spots = [
            spot
            for surface in self.tasks.surfaces
            if (spot := teller.spots[surface]).foam is not None and spot.depth_inches is not None
        ]

    @property
    def unwritten(self) -> tuple[str, ...]:
        """Return the surfaces of the trip whose class or depth is not written."""
        told = {spot.surface for spot in self.spots}
        return tuple(surface for surface in self.tasks.surfaces if surface not in told)

    def inches(self, spot: FoamSpot) -> float:
        """Return the depth that this trip sprays on a surface."""
        planned = [
            float(depth.inches)
            for place, depth in (self.row.depths.items() if self.row else ())
            if spot.surface in self.job.place_names.surfaces((place,))
        ]
        return planned[-1] if planned else spot.depth_inches or 0

    def need(self, spot: FoamSpot) -> Need:
        """Return the foam of a surface."""
        framing = self.job.surfaces[spot.surface].framing
        return need_of(spot, self.inches(spot), self.allow, framing)

    def share_done(self, spot: FoamSpot) -> float:
        """Return the share of a surface that is sprayed, from the diary."""
        return 1.0 if spot.surface in self.done else self.shares.get(spot.surface, 0.0)

    def needs(self) -> tuple[NeedLine, ...]:
        """Return the foam of every surface whose class and depth are written."""
        lines = []
        for spot in self.spots:
            need, sprayed = self.need(spot), self.sprayed(spot)
            lines.append(
                NeedLine(
                    surface=spot.surface,
                    name=self.case.teller.place(spot.surface),
                    depth_inches=round(self.inches(spot), 2),
                    left_inches=round((spot.depth_inches or 0) - self.inches(spot), 2),
                    plain_board_feet=round(need.plain, 1),
                    sprayed_board_feet=round(need.sprayed, 1),
                    share_done=self.share_done(spot),
                    passes=sprayed.passes,
                    hours=round(sprayed.minutes / 60, 2),
                )
            )
        return tuple(lines)

    def sprayed(self, spot: FoamSpot) -> Sprayed:
        """Return what is sprayed on a surface as the day sees it."""
        assert spot.foam is not None  # noqa: S101  only such spots are kept
        product = spot.foam.product
        wait = product.wait if product is not None else None
        return Sprayed(
            surface=spot.surface,
            board_feet=self.need(spot).sprayed * (1 - self.share_done(spot)),
            per_hour=spot.foam.rate(self.rates.spray.get(spot.foam.class_)).value,
            access=self.access(spot)[0],
            inches=self.inches(spot),
            lift_inches=float(product.lift.inches) if product and product.lift else None,
            wait_minutes=wait.minutes(1440) if wait is not None else None,
        )

    def access(self, spot: FoamSpot) -> tuple[float, Mark]:
        """Return how many times as long a surface takes as an open wall."""
        own = self.rates.access
        rooms = self.job.place_names.rooms_through(spot.surface)
        for name in (spot.surface, *rooms, spot.kind.value):
            if name in own:
                return own[name], company(f"access, {name}")
        kind = SurfaceKind.CRAWL_WALL if RoomKind.CRAWL_SPACE in spot.rooms else spot.kind
        rows = self.teller.tables.figures.values()
        row = next(row for row in rows if row.of is Figure.ACCESS and kind in row.on)
        return float(row.used), mark_of(row)

    def drums(self) -> tuple[DrumLine, ...]:
        """Return the drum sets by class."""
        lines = []
        for class_ in FoamClass:
            spots = [spot for spot in self.spots if spot.foam and spot.foam.class_ is class_]
            left = sum(self.sprayed(spot).board_feet for spot in spots)
            if not left:
                continue
            foam = spots[0].foam
            assert foam is not None  # noqa: S101  only such spots are kept
            per_set = foam.drum_set(self.rates.drum_set.get(class_))
            found = drums_for(left, per_set.value, self.allow.reserve.value)
            marks = [per_set.mark, self.allow.waste.mark, self.allow.reserve.mark]
            if any(self.need(spot).is_trimmed for spot in spots):
                marks.append(self.allow.overfill.mark)
            if any(spot.framed and spot.cavity_inches is not None for spot in spots):
                marks.append(self.allow.framing.mark)
            lines.append(
                DrumLine(
                    foam=class_.value,
                    board_feet=round(left, 1),
                    per_set=per_set.value,
                    sets=found.sets,
                    to_load=found.to_load,
                    rests_on=_lines(marks),
                )
            )
        return tuple(lines)

    def day(self) -> SprayDay:
        """Return the hours of the trip, step by step, and whether they fit."""
        sprayed = [one for spot in self.spots if (one := self.sprayed(spot)).board_feet]
        waits = None if self.unwritten else waits_minutes(sprayed)
        trimmed = sum(spot.square_feet for spot in self.spots if self.need(spot).is_trimmed)
        marks: list[Mark] = []
        parts = (
            ("set-up", self._minutes("set_up", Figure.SET_UP, marks, 1)),
            ("masking", self._masking(marks)),
            ("spray", self._spray(sprayed)),
            ("waits between passes", waits),
            ("trim", self._minutes("trim", Figure.TRIM, marks, trimmed / 1000)),
            ("clean-up", self._minutes("clean_up", Figure.CLEAN_UP, marks, 1)),
        )
        steps = steps_of(parts)
        for spot in self.spots:
            assert spot.foam is not None  # noqa: S101  only such spots are kept
            marks.append(spot.foam.rate(self.rates.spray.get(spot.foam.class_)).mark)
            marks.append(self.access(spot)[1])
        minutes = known_minutes(steps)
        fits = self._fits(minutes, is_whole=waits is not None and not self.unwritten)
        return SprayDay(
            steps=tuple(self._clock(steps, sprayed)),
            hours=round(minutes / 60, 2),
            planned_hours=round(self.tasks.minutes / 60, 2),
            most_hours=round(self.tasks.late_minutes / 60, 2),
            planned_until=self.case.teller.moment(
                self._calendar.finish(self.arrival, self.tasks.minutes)
            ),
            fits=fits,
            says=self._says(minutes, fits=fits),
            rests_on=_lines(marks),
        )

    def _spray(self, sprayed: Iterable[Sprayed]) -> float:
        """Return the minutes of all guns together: the rigs of a trip share them evenly."""
        row = self.job.trips.get(self.tasks.id)
        return sum(one.minutes for one in sprayed) / (row.rigs if row is not None else 1)

    def _minutes(self, key: str, figure: Figure, marks: list[Mark], times: float) -> float:
        """Return the company's own minutes of a step, else the usual ones, so many times."""
        if not times:
            return 0
        own: Duration | None = getattr(self.rates, key)
        if own is not None:
            marks.append(company(figure.value))
            return own.minutes(self._day_minutes())
        row = row_of(self.teller.tables, figure)
        marks.append(mark_of(row))
        return Duration.parse(row.used).minutes(self._day_minutes()) * times

    def _masking(self, marks: list[Mark]) -> float:
        floor = floor_square_feet(self.tasks.surfaces, self.job, self.case.site.places)
        share = float(floor) / REFERENCE_FLOOR_SQUARE_FEET
        minutes = self._minutes("masking", Figure.MASKING, marks, share)
        return minutes if self.rates.masking is not None else max(LEAST_MASKING_MINUTES, minutes)

    def _day_minutes(self) -> int:
        return self.case.site.calendars[self.case.site.spray_calendar].day_minutes

    def _clock(self, steps: Iterable[object], sprayed: list[Sprayed]) -> Iterable[ClockStep]:
        """Yield the steps with their ends on the spray crew's calendar."""
        from readiness.foam.day import Step

        is_open, worked = True, 0
        for step in steps:
            assert isinstance(step, Step)  # noqa: S101  made above
            if step.minutes is None:
                is_open = False
                yield ClockStep(step.name, None, None, (), self._no_waits(sprayed))
                continue
            start = self._calendar.next_minute(self._calendar.finish(self.arrival, worked))
            worked += step.minutes
            end = self._calendar.finish(self.arrival, worked)
            is_told = is_open and step.minutes > 0
            until = self.case.teller.moment(end) if is_told else None
            spans = self._spans(start, end) if is_told else ()
            yield ClockStep(step.name, step.minutes, until, spans, "")

    @property
    def _calendar(self) -> Worktime:
        calendar = self.case.outlook.frame.calendars[self.case.site.spray_calendar]
        assert isinstance(calendar, Worktime)  # noqa: S101  a trade's calendar
        return calendar

    def _spans(self, start: int, end: int) -> tuple[HoursSpan, ...]:
        """Return the crew's hours from a working minute to the end of a step."""
        if not (is_dated(start) and is_dated(end)):
            return ()
        moment = self.case.teller.moment
        told = [(moment(first), moment(until)) for first, until in self._calendar.spans(start, end)]
        return tuple(HoursSpan(a, b) for a, b in told if a is not None and b is not None)

    def _no_waits(self, sprayed: list[Sprayed]) -> str:
        """Return why waits are not computed, with the published figures as a caution."""
        if self.unwritten:
            count = len(self.unwritten)
            return f"not computed, class or depth is not written for {count} of the surfaces"
        told = {one.surface for one in sprayed if not one.is_told}
        lacking = {spot.foam.class_ for spot in self.spots if spot.surface in told and spot.foam}
        rows = [
            row
            for row in self.teller.tables.figures.values()
            if row.of in (Figure.LIFT, Figure.WAIT) and row.foam in lacking
        ]
        figures = "; ".join(
            f"{row.title}: {row.low} to {row.high} [{row.status.value}]" for row in rows
        )
        return f"{NO_SHEET}; published for ordinary grades, not for this product: {figures}"

    def lift_cautions(self) -> tuple[str, ...]:
        """Return the cautions about passes for the classes that are sprayed."""
        classes = {spot.foam.class_ for spot in self.spots if spot.foam}
        rows = self.teller.tables.figures.values()
        lifts = [row for row in rows if row.of is Figure.LIFT and row.foam in classes]
        return tuple(dict.fromkeys(row.caution for row in lifts))

    def _fits(self, minutes: int, *, is_whole: bool) -> bool | None:
        if minutes > self.tasks.late_minutes:
            return False
        return True if is_whole else None

    def _says(self, minutes: int, *, fits: bool | None) -> str:
        """Return in a sentence whether the trip is long enough."""
        hours, planned = f"{minutes / 60:.1f} h", f"{self.tasks.minutes / 60:.1f} h"
        most = f"{self.tasks.late_minutes / 60:.1f} h"
        if fits is None:
            return f"{hours} without what was not computed, of {planned} planned: can't be told"
        if not fits:
            return f"{hours} don't fit into the {planned} planned, {most} at most"
        if minutes > self.tasks.minutes:
            return f"{hours} are more than the {planned} planned and fit into {most} at most"
        return f"{hours} fit into the {planned} planned"


def _lines(marks: Iterable[Mark]) -> tuple[MarkLine, ...]:
    return tuple(MarkLine(mark.what, mark.status, mark.source) for mark in dict.fromkeys(marks))
