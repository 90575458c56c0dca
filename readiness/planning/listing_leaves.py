"""Lists which surfaces could be left to another trip, or sealed by hand.

Invariant: only what is held up is left, and each surface in one change of the list at most.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from readiness.job.instants import is_dated
from readiness.planning.change import Change, ChangeKind, Charge
from readiness.planning.listing_by_hand import ByHandListing
from readiness.schedule.outlook import closable, late_end
from readiness.site.trip_tasks import REST, SPRAY_TRADE

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

    from readiness.gates.verdict import Verdicts
    from readiness.planning.prices import Prices
    from readiness.schedule.outlook import Outlook
    from readiness.telling.teller import Teller

NEW_TRIP = "further"
MOST_LEFT_ALONE = 12
"""If more surfaces than this are held up they are left by room, or by storey."""


def name_of_new_trip(names: Iterable[str]) -> str:
    """Return an id for a further trip that no trip of the job has."""
    taken, number, name = set(names), 1, NEW_TRIP
    while name in taken:
        number += 1
        name = f"{NEW_TRIP}-{number}"
    return name


class LeavesListing:
    """Makes that part of the list."""

    def __init__(self, outlook: Outlook, verdicts: Verdicts, trip: str, on: int) -> None:
        """Remember the forecast and verdicts with the trip booked to the asked arrival."""
        self.outlook, self.verdicts, self.trip, self.on = outlook, verdicts, trip, on
        self.site = outlook.site
        self.frees = late_end(self.site.trips[trip], outlook.frame, on, None)

    def leaves(self, teller: Teller, prices: Prices) -> Iterator[Change]:
        """Yield the leaving and sealing of what is held up, and the bays behind what stands."""
        self.teller, self.prices = teller, prices
        held = [
            v.surface
            for v in self.verdicts.surfaces.values()
            if v.counts and (v.failing or v.late_by or v.stop is not None or v.kept_out_by)
        ]
        if not held:
            return
        others = [
            trip.id
            for trip in self.site.trips.values()
            if trip.id not in (self.trip, REST)
            and trip.planned
            and trip.id not in self.outlook.known.arrived
        ]
        new = name_of_new_trip({*self.site.trips, *self.site.job.trips, *self.site.stays})
        for about, surfaces in self._together(held).items():
            for other in (*others, new):
                yield self._leave(about, surfaces, other, is_new=other == new)
        if not self.site.trips[self.trip].planned:
            return
        by_hand = ByHandListing(self.outlook, self.trip, self.teller, self.prices)
        if len(held) <= MOST_LEFT_ALONE:
            yield from by_hand.surfaces(held, self.on)
        yield from by_hand.bays((self.verdicts.surfaces[surface] for surface in held), self.on)

    def _together(self, held: list[str]) -> dict[str, tuple[str, ...]]:
        """Return which surfaces are left together: each alone, or by room or storey if many."""
        if len(held) <= MOST_LEFT_ALONE:
            return {surface: (surface,) for surface in held}
        by_room = self._by(held, lambda room: room)
        if len(by_room) <= MOST_LEFT_ALONE:
            return by_room
        return self._by(held, lambda room: self.site.job.rooms[room].storey or room)

    def _by(self, held: list[str], part: Callable[[str], str]) -> dict[str, tuple[str, ...]]:
        """Return the surfaces by the part of the building that their first room is in."""
        found: dict[str, tuple[str, ...]] = {}
        for surface in held:
            rooms = self.site.job.place_names.rooms_through(surface)
            name = part(rooms[0]) if rooms else surface
            found[name] = (*found.get(name, ()), surface)
        return found

    def _leave(self, about: str, surfaces: tuple[str, ...], other: str, *, is_new: bool) -> Change:
        name = "a further trip" if is_new else f"the {self.site.trips[other].name} trip"
        looks = {
            approval.id
            for approval in self.site.approvals
            if approval.trip == self.trip
            and approval.before_foam
            and any(
                surface in approval.looks
                and approval.looks[surface] not in self.outlook.known.state.finished
                for surface in surfaces
            )
        }
        charges = [
            self.prices.charge(
                "approval",
                f"look:{other}:{look}",
                f"one more {small(self.site.approval_kinds[look].title)}",
            )
            for look in sorted(looks)
        ]
        if is_new:
            charges.append(self.prices.charge("trip", f"trip:{other}", "the rig's further coming"))
            charges += self._displaced(other)
        return Change(
            id=f"leave:{about}:{other}",
            kind=ChangeKind.LEAVE,
            group=f"surface:{about}",
            about=about,
            at=self.on,
            fields=(),
            says=f"leave {self._told(about, surfaces)} to {name}",
            tells=frozenset({SPRAY_TRADE, *(self.site.office_of[look] for look in looks)}),
            charges=tuple(charges),
            brings=tuple(
                f"ask for the {small(self.site.approval_kinds[look].title)} for part"
                for look in sorted(looks)
            ),
            surfaces=surfaces,
            trip=other,
            leaves=self._told(about, surfaces),
            is_new=is_new,
        )

    def _told(self, about: str, surfaces: tuple[str, ...]) -> str:
        if len(surfaces) == 1:
            return self.teller.place(surfaces[0])
        return f"{len(surfaces)} surfaces of {self.teller.place(about)}"

    def _displaced(self, other: str) -> Iterator[Charge]:
        """Yield the trade-days that one more keep-out costs: a crew of each trade kept away.

        The further trip has no date yet; so it is reckoned as long as this one, from its release.
        """
        start, end = self.frees, self.frees + (self.frees - self.on)
        lost: dict[str, int] = {}
        for task in self.site.tasks:
            first, last = (
                self.outlook.forecast.start[task.index],
                self.outlook.forecast.finish[task.index],
            )
            if task.trade in (None, SPRAY_TRADE) or task.calendar is None:
                continue
            if not is_dated(first) or not is_dated(last) or not closable(task, self.site):
                continue
            if task.place not in self.site.trips[self.trip].zone or last <= start or first >= end:
                continue
            spans = self.site.calendars[task.calendar].spans(max(first, start), min(last, end))
            worked = sum(
                max(0, min(shut, last, end) - max(opens, first, start)) for opens, shut in spans
            )
            lost[str(task.trade)] = lost.get(str(task.trade), 0) + worked
        for trade, minutes in sorted(lost.items()):
            day = self.site.calendars[self.site.trade_calendar[trade]].day_minutes
            days = round(minutes / day, 2)
            label = f"{days:g} days of {self.teller.who(trade).trade} lost to its keep-out"
            charge = self.prices.trade_time(trade, days, f"keep-out:{other}:{trade}", label)
            yield replace(charge, days=days)


def small(title: str) -> str:
    """Return a title as it stands within a sentence."""
    return title[:1].lower() + title[1:]
