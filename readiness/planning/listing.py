"""Lists what could be changed for one asked day: exact, priced, with whom it touches.

Invariant: the list is finite and made before any search; on the day of the question itself it
holds nothing but leaving or sealing surfaces, reserving bays and another hour, because no change
makes evidence.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import TYPE_CHECKING

from readiness.facts.vocabulary import Gate
from readiness.gates.moving import least_start
from readiness.job.instants import is_dated, moment_of
from readiness.planning.change import Change, ChangeKind, Offer
from readiness.planning.listing_crews import CrewsListing
from readiness.planning.listing_leaves import LeavesListing, small
from readiness.planning.listing_looks import LooksListing
from readiness.planning.listing_rigs import RigsListing
from readiness.planning.listing_storeys import StoreysListing
from readiness.planning.prices import Prices
from readiness.schedule.outlook import late_end
from readiness.site.calendars import zone_days
from readiness.site.trip_tasks import SPRAY_TRADE
from readiness.telling.teller import Teller

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readiness.planning.trying import Attempt
    from readiness.site.calendars import Calendar

MOST_OPENINGS = 6
"""So many openings of a crew are offered for one work, spread over those there are."""
LATER_OPENINGS = 2
SEARCH_DAYS = 120
WITH_PRICE = frozenset(
    {
        ChangeKind.CREW,
        ChangeKind.RIG,
        ChangeKind.EXTRA,
        ChangeKind.EVENING,
        ChangeKind.FAST,
        ChangeKind.DRY,
        ChangeKind.SEAL,
        ChangeKind.BAY,
    }
)
"""Kinds that a job with prices is offered only if it has one for them."""

MOST_OFFERED = 60
"""Evenings are offered as long as the list has no more changes than this, so that a search ends."""

WANTED = {
    "crew": "one more crew",
    "rig": "one more rig on a trip",
    "shift": "an extra shift, on a Saturday or in the evening",
    "heat_hour": "drying with heat",
    "seal_cans": "sealing by hand with canned foam and sealant",
    "seal_boards": "sealing by hand with boards cut to fit",
    "seal_kit": "sealing by hand with a small two-part kit",
}


class Listing:
    """Makes the list for one trip at one asked arrival."""

    def __init__(self, base: Attempt, trip: str) -> None:
        """Remember the forecast and verdicts with the trip booked to the asked arrival."""
        assert base.outlook is not None  # noqa: S101  booking a trip makes no circle
        assert base.verdicts is not None  # noqa: S101
        self.base, self.outlook, self.on = base, base.outlook, base.on
        self.verdicts = base.verdicts
        self.site = self.outlook.site
        self.trip = trip
        self.teller = Teller(self.outlook)
        self.prices = Prices(self.site.job.costs)
        self.left_out: dict[str, None] = {}
        self.is_long = False
        self.as_of = self.outlook.seen.as_of
        self.frees = late_end(self.site.trips[trip], self.outlook.frame, self.on, None)

    def changes(self) -> tuple[Change, ...]:
        """Return the list, by id."""
        leaves = LeavesListing(self.outlook, self.verdicts, self.trip, self.on)
        found = [*leaves.leaves(self.teller, self.prices)]
        if self.trip not in self.outlook.known.arrived:
            found += self._hours()
        if self.verdicts.gate is Gate.PROMISE:
            found += [*self._bookings(), *self._pulls()]
            rigs = RigsListing(self.outlook, self.trip, self.on, self.verdicts)
            found += rigs.rigs(self.teller, self.prices)
            if any(verdict.failing for verdict in self.verdicts.surfaces.values()):
                more = CrewsListing(self.outlook, self.trip, self.on, self.prices)
                found += [*more.crews(self.teller), *more.extra_days(self.teller)]
                found += [*more.evenings(self.teller), *more.shorter(self.teller)]
                found += StoreysListing(self.base, self.prices).changes(self.teller)
                found += LooksListing(self.outlook, self.trip, self.prices).changes(self.teller)
        offered = self._not_too_many(list(self._with_prices(found)))
        return tuple(sorted(offered, key=lambda change: change.id))

    def _not_too_many(self, found: list[Change]) -> list[Change]:
        """Return the changes without the evenings, which come last, where the list is long."""
        evenings = [change for change in found if change.kind is ChangeKind.EVENING]
        if not evenings or len(found) <= MOST_OFFERED:
            return found
        self.is_long = True
        return [change for change in found if change.kind is not ChangeKind.EVENING]

    def _with_prices(self, found: list[Change]) -> Iterator[Change]:
        """Yield the changes, of the dearer kinds only those that can be compared with the others.

        A job that writes prices but none for a second crew has not thought of one.
        """
        for change in found:
            wanted = [charge.wanted for charge in change.charges if charge.wanted]
            if self.prices.are_written and wanted and change.kind in WITH_PRICE:
                self.left_out.update(dict.fromkeys(wanted))
            else:
                yield change

    def _wall(self, instant: int) -> str:
        zone = zone_days(self.site.zone).zone
        return moment_of(instant, zone).replace(tzinfo=None).isoformat()

    def _openings(self, calendar: Calendar, first: int, last: int) -> list[int]:
        """Return the instants at which a calendar opens, from the first to before the last."""
        return [opens for opens, _ in calendar.spans(first, last) if first <= opens < last]

    def _day_end(self) -> int:
        zone = zone_days(self.site.zone)
        day = moment_of(self.on, zone.zone).date()
        return zone.instant(day + timedelta(days=1), 0)

    # Another hour

    def _hours(self) -> Iterator[Change]:
        calendar = self.site.calendars[self.site.spray_calendar]
        day = moment_of(self.on, zone_days(self.site.zone).zone).date()
        news = self.outlook.seen.trips.get(self.trip)
        offered = set(news.offered) if news is not None else set()
        for opens, shuts in calendar.spans_on(day):
            for at in range(opens, shuts, 60):
                if at <= self.as_of or at == self.on:
                    continue
                wall = self._wall(at)
                if offered and wall not in {moment.isoformat() for moment in offered}:
                    continue
                yield Change(
                    id=f"arrive:{wall}",
                    kind=ChangeKind.ARRIVE,
                    group="arrival",
                    about=self.trip,
                    at=at,
                    fields=({"kind": "dated", "what": self.trip, "when": wall, "agreed": False},),
                    says=f"let the rig arrive {self.teller.told(at)}",
                    tells=frozenset({SPRAY_TRADE}),
                    charges=(self.prices.charge("move", f"move:{self.trip}", "moving the trip"),),
                )

    # Another date for a work

    def _bookings(self) -> Iterator[Change]:
        known, site = self.outlook.known, self.site
        tasks = site.trips[self.trip].sprays.values()
        before = self.outlook.network.upstream(tasks)
        closing = {
            closer.stay
            for verdict in self.verdicts.surfaces.values()
            if verdict.window is not None and verdict.counts
            for closer in verdict.window.closers
            if closer.task is not None and not closer.begun and closer.latest < self._day_end()
        }
        for thing in site.things.values():
            if not set(thing.blocks).isdisjoint(site.trips[self.trip].surfaces):
                closing.add(thing.set_by)
        for stay, commitment in known.commitments.items():
            parts = site.stay_tasks[stay].parts
            if any(part in known.state.begun or part in known.state.finished for part in parts):
                continue
            calendar = site.calendars[site.tasks[parts[0]].calendar or 0]
            if not before.isdisjoint(parts) and commitment.late > self.as_of:
                found = self._openings(calendar, self.as_of + 1, commitment.late)
                for number, at in enumerate(reversed(_spread(found))):
                    yield self._booking(stay, f"a{number:02}", at)
            if stay in closing:
                for number, at in enumerate(self._later(stay, calendar, commitment.late)):
                    yield self._booking(stay, f"b{number:02}", at)

    def _later(self, stay: str, calendar: Calendar, booked: int) -> list[int]:
        parts = self.site.stay_tasks[stay].parts
        least = max(least_start(self.outlook, self.trip, part, self.on) for part in parts)
        if not is_dated(least):
            return []
        first = max(least, booked + 1)
        found = self._openings(calendar, first, first + SEARCH_DAYS * 1440)
        return found[:LATER_OPENINGS]

    def _booking(self, stay: str, number: str, at: int) -> Change:
        trade = self.site.stays[stay].trade
        was = self.teller.told(self.outlook.known.commitments[stay].late)
        title = self.site.stays[stay].title
        return Change(
            id=f"book:{stay}:{number}",
            kind=ChangeKind.BOOK,
            group=f"book:{stay}",
            about=stay,
            at=at,
            fields=({"kind": "dated", "what": stay, "when": self._wall(at), "agreed": False},),
            says=f'move "{title}" from {was} to {self.teller.told(at)}',
            tells=frozenset({trade}),
            charges=(self.prices.charge("move", f"move:{stay}", f'moving "{title}"'),),
        )

    # Pulling what stands

    def _pulls(self) -> Iterator[Change]:
        never = self.outlook.known.state.never
        for thing in self.site.things.values():
            kind = thing.kind
            if thing.pull not in never or thing.set_by in self.site.stays:
                continue
            if set(thing.blocks).isdisjoint(self.site.trips[self.trip].surfaces):
                continue
            approval = kind.approval if kind.approval in self.site.approval_kinds else ""
            licensed = kind.pull_trade in self.site.job.trades and approval
            if kind.licensed and not licensed:
                continue
            calendar = self.site.calendars[self.site.trade_calendar[kind.pull_trade]]
            pulls = self._openings(calendar, self.as_of + 1, self.on)
            resets = self._openings(
                calendar,
                self.frees + (self._day_end() - self.on),
                self.frees + SEARCH_DAYS * 1440,
            )
            if not pulls or not resets:
                continue
            for number, at in enumerate(reversed(_spread(pulls))):
                yield self._pull(thing.id, f"{number:02}", at, resets[0])

    def _pull(self, name: str, number: str, at: int, back: int) -> Change:
        thing = self.site.things[name]
        kind = thing.kind
        calendar = self.site.calendars[self.site.trade_calendar[kind.pull_trade]]
        days = round(2 * thing.takes.minutes(calendar.day_minutes) / calendar.day_minutes, 2)
        tells, brings = {kind.pull_trade}, list(kind.entails)
        charges = [
            self.prices.trade_time(
                kind.pull_trade,
                days,
                f"pull:{name}",
                f"{days:g} days of {self.teller.who(kind.pull_trade).trade} to pull and reset",
            )
        ]
        if kind.approval in self.site.approval_kinds:
            look = small(self.site.approval_kinds[kind.approval].title)
            office = self.site.office_of[kind.approval]
            tells.add(office)
            brings.append(f"ask {self.teller.who(office).name} for the {look} after that, in time")
            charges.append(self.prices.charge("approval", f"pull-look:{name}", f"one more {look}"))
        return Change(
            id=f"pull:{name}:{number}",
            kind=ChangeKind.PULL,
            group=f"pull:{name}",
            about=name,
            at=at,
            fields=(
                {
                    "kind": "thing-dated",
                    "thing": name,
                    "pull": self._wall(at),
                    "reset": self._wall(back),
                },
            ),
            says=f"pull {thing.title} {self.teller.told(at)} and set it again "
            f"{self.teller.told(back)}",
            tells=frozenset(tells),
            charges=tuple(charges),
            brings=tuple(brings),
            caution=kind.caution,
            until=back,
        )


def _spread(found: list[int]) -> list[int]:
    """Return at most so many of the instants, the first and the last among them."""
    if len(found) <= MOST_OPENINGS:
        return found
    step = (len(found) - 1) / (MOST_OPENINGS - 1)
    return [found[round(number * step)] for number in range(MOST_OPENINGS)]


def offer_of(base: Attempt, empty: Offer, trip: str) -> Offer:
    """Return the whole offer, from what every way brings with it and the list."""
    listing = Listing(base, trip)
    changes = listing.changes()
    notes = tuple(
        f"Not offered, because [costs] has prices but none for it: "
        f"{WANTED.get(wanted, 'the fast way of a work')} ({wanted})."
        for wanted in listing.left_out
    )
    if listing.is_long:
        notes = (*notes, "Evenings are not offered: what could be changed is a long list without.")
    return Offer(changes, empty.tells, empty.charges, empty.fields, empty.says, notes)


def priced_only(offer: Offer) -> Offer:
    """Return an offer without the changes of which some price is not written, and which prices."""
    kept = tuple(
        change
        for change in offer.changes
        if all(charge.cents is not None for charge in change.charges)
    )
    wanted = dict.fromkeys(
        charge.wanted
        for change in offer.changes
        for charge in change.charges
        if charge.cents is None
    )
    notes = offer.notes
    if wanted:
        says = "Left out, because what they cost is not known: changes that need"
        notes = (*notes, f"{says} {', '.join(wanted)}.")
    return replace(offer, changes=kept, notes=notes)
