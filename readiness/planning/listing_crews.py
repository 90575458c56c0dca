"""Lists what brings work before the foam to an end sooner: crews, shifts, the fast way, heat.

Invariant: the list is made before any search, and offers nothing for work that has begun, that the
foam does not wait for, or that one crew does in one go.
"""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from readiness.facts.loader import load_shifts
from readiness.gates.asked import local_date
from readiness.job.instants import moment_of
from readiness.job.quantities import Duration
from readiness.planning.change import Change, ChangeKind, Charge
from readiness.site.calendars import MINUTES_A_DAY, zone_days
from readiness.site.trip_tasks import SPRAY_TRADE

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readiness.planning.prices import Prices
    from readiness.schedule.outlook import Outlook
    from readiness.telling.teller import Teller

SATURDAY = 5
MOST_EXTRA_DAYS = 2
"""So many Saturdays are offered for one trade: the last ones before the arrival."""

MOST_EVENINGS = 2
"""So many evenings are offered for one trade: the last ones before the arrival."""

HEAT = "heat-on"
"""The requirement whose caution goes with heat."""

DRIED = "with heat or a dehumidifier"
"""What stands in the diary as the reason of a shorter drying."""


class CrewsListing:
    """Makes that part of the list."""

    def __init__(self, outlook: Outlook, trip: str, on: int, prices: Prices) -> None:
        """Remember the forecast with the trip booked to the asked arrival."""
        self.outlook, self.on, self.prices = outlook, on, prices
        self.site = outlook.site
        before = outlook.network.upstream(self.site.trips[trip].sprays.values())
        known = outlook.known.state
        self.open = [
            task
            for task in sorted(before)
            if task not in known.finished and self.site.tasks[task].stay in self.site.stays
        ]

    def crews(self, teller: Teller) -> Iterator[Change]:
        """Yield one more crew for each work in several places that has not begun."""
        begun = self.outlook.known.state.begun | self.outlook.known.state.finished.keys()
        for name in dict.fromkeys(self.site.tasks[task].stay for task in self.open):
            stay, parts = self.site.stays[name], self.site.stay_tasks[name].parts
            crews = stay.crews + 1
            clocked = self.site.tasks[parts[0]].calendar is None
            if clocked or len(parts) < crews or not begun.isdisjoint(parts):
                continue
            who = teller.who(stay.trade)
            yield Change(
                id=f"crew:{name}",
                kind=ChangeKind.CREW,
                group=f"crew:{name}",
                about=name,
                at=self.on,
                fields=({"kind": "crews", "work": name, "crews": crews},),
                says=f'let {who.name} come with {crews} crews for "{stay.title}"',
                tells=frozenset({stay.trade}),
                charges=(
                    self.prices.charge("crew", f"crew:{name}", f"one more crew of {who.trade}"),
                ),
            )

    def extra_days(self, teller: Teller) -> Iterator[Change]:
        """Yield the last Saturdays before the arrival for each trade that the foam waits for."""
        today, asked = (
            local_date(self.outlook, self.outlook.seen.as_of),
            local_date(self.outlook, self.on),
        )
        days = [today + timedelta(days=step) for step in range(1, (asked - today).days)]
        saturdays = [day for day in days if day.weekday() == SATURDAY][-MOST_EXTRA_DAYS:]
        for trade in self._trades():
            calendar = self.site.calendars[self.site.trade_calendar[trade]]
            row = self.site.job.trades.get(trade)
            for day in saturdays:
                told_off = row is not None and any(off.covers(day, day) for off in row.off)
                if told_off or calendar.hours.spans_on(day):
                    continue
                who, told = teller.who(trade), f"{day:%a} {day.day} {day:%b}"
                yield Change(
                    id=f"extra:{trade}:{day}",
                    kind=ChangeKind.EXTRA,
                    group=f"extra:{trade}:{day}",
                    about=trade,
                    at=self.on,
                    fields=({"kind": "extra", "extra_trade": trade, "days": [day.isoformat()]},),
                    says=f"let {who.name} come on {told} too",
                    tells=frozenset({trade}),
                    charges=(
                        self.prices.charge(
                            "shift", f"extra:{trade}:{day}", f"one extra shift of {who.trade}"
                        ),
                    ),
                    brings=(f"somebody opens the site on {told}",),
                )

    def _trades(self) -> Iterator[str]:
        """Yield the trades whose working time the foam waits for, each once."""
        tasks = [self.site.tasks[task] for task in self.open]
        worked = dict.fromkeys(task.trade for task in tasks if task.calendar is not None)
        yield from (trade for trade in worked if trade is not None and trade != SPRAY_TRADE)

    def evenings(self, teller: Teller) -> Iterator[Change]:
        """Yield the last evenings before the arrival for each trade that the foam waits for."""
        zone = zone_days(self.site.zone).zone
        minutes = Duration.parse(load_shifts()["evening"].takes).minutes(MINUTES_A_DAY)
        for trade in self._trades():
            calendar = self.site.calendars[self.site.trade_calendar[trade]]
            spans = calendar.spans(self.outlook.seen.as_of + 1, self.on)
            last_of_day = {moment_of(opens, zone).date(): shut for opens, shut in spans}
            ends = [
                (day, moment_of(shut, zone), moment_of(shut + minutes, zone))
                for day, shut in last_of_day.items()
                if shut + minutes <= self.on
            ]
            # What runs into the next day is no evening any more
            possible = [(day, until) for day, _, until in ends if until.date() == day]
            for day, until in possible[-MOST_EVENINGS:]:
                who, told = teller.who(trade), f"{day:%a} {day.day} {day:%b}"
                yield Change(
                    id=f"evening:{trade}:{day}",
                    kind=ChangeKind.EVENING,
                    group=f"evening:{trade}:{day}",
                    about=trade,
                    at=self.on,
                    fields=(
                        {
                            "kind": "late",
                            "late_trade": trade,
                            "until": [until.replace(tzinfo=None).isoformat()],
                        },
                    ),
                    says=f"let {who.name} work on {told} until {until:%H:%M}",
                    tells=frozenset({trade}),
                    charges=(
                        self.prices.charge(
                            "shift", f"evening:{trade}:{day}", f"one evening shift of {who.trade}"
                        ),
                    ),
                    brings=(f"somebody keeps the site open on the evening of {told}",),
                )

    def shorter(self, teller: Teller) -> Iterator[Change]:
        """Yield the fast way of a work, and drying with heat, where its line has written them."""
        begun = self.outlook.known.state.begun | self.outlook.known.state.finished.keys()
        for name in dict.fromkeys(self.site.tasks[task].stay for task in self.open):
            stay, parts = self.site.stays[name], self.site.stay_tasks[name].parts
            if stay.row is None or not begun.isdisjoint(parts):
                continue
            if stay.row.fast_takes is not None:
                charge = self.prices.written(
                    stay.row.fast_costs,
                    f"fast:{name}",
                    f'doing "{stay.title}" the fast way',
                    f"work.{name}.fast_costs",
                )
                says = f'let {teller.who(stay.trade).name} do "{stay.title}" the fast way, '
                says += f"in {stay.row.fast_takes}"
                yield self._shorter(name, ChangeKind.FAST, stay.row.fast_takes, says, charge)
            if stay.row.dried_takes is not None:
                hours = self._hours(stay.row.dried_takes, parts)
                label = f"{hours:g} h of heat or a dehumidifier"
                charge = self.prices.times(hours, "heat_hour", f"dry:{name}", label)
                says = f'run heat or a dehumidifier for {hours:g} h, for "{stay.title}"'
                yield self._shorter(name, ChangeKind.DRY, stay.row.dried_takes, says, charge)

    def _hours(self, takes: Duration, parts: tuple[int, ...]) -> float:
        calendar = self.site.calendars[self.site.tasks[parts[0]].calendar or self.site.job_calendar]
        return round(takes.minutes(calendar.day_minutes) / 60, 1)

    def _shorter(
        self, name: str, kind: ChangeKind, takes: Duration, says: str, charge: Charge
    ) -> Change:
        is_dry = kind is ChangeKind.DRY
        reason = DRIED if is_dry else "the fast way"
        heat = self.site.facts.requirements.get(HEAT)
        return Change(
            id=f"{kind}:{name}",
            kind=kind,
            group=f"takes:{name}",
            about=name,
            at=self.on,
            fields=({"kind": "takes", "work": name, "takes": str(takes), "reason": reason},),
            says=says,
            tells=frozenset({self.site.stays[name].trade}),
            charges=(charge,),
            brings=("somebody minds it day and night, by name",) if is_dry else (),
            caution=heat.caution if is_dry and heat is not None else "",
        )
