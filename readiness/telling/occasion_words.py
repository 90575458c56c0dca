"""An occasion as a trade reads it on its phone: a title, and what to know before and after.

Invariant: notes, answers and other free remarks of the job file are never told here, so health and
door codes written there stay at home; what is said of a keep-out ends with a release, not a clock.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.facts.vocabulary import Order
from readiness.job.places import surfaces_of
from readiness.site.places import SITE
from readiness.telling.calendar_entries import AS_OF
from readiness.telling.confirmation_words import ConfirmationWords
from readiness.telling.neighbours import Neighbours, shortened, trip_words
from readiness.telling.occasions import Occasion, OccasionKind, deadline_of
from readiness.telling.recipients import CONTRACTOR

if TYPE_CHECKING:
    from collections.abc import Callable

    from readiness.site.site import Thing
    from readiness.telling.case import Case

MOST_PLACES = 3
"""More places than this are counted in a title, and named below it."""

HOT_WORK = (
    "Hot work: bare foam burns. Not near it until its barrier is on, or only under the "
    "contractor's own hot-work permit with a fire watch. Local codes decide."
)
SHEET_DECIDES = (
    "The product data sheet and the crew lead on site decide; local codes and licensed practice "
    "come first."
)
_LOUD = frozenset({OccasionKind.KEEP_OUT})
"""Whose first words stay first, agreed or not."""

NO_ENTRY = "Nobody but the spray crew goes in before the release, not even for a minute."


class OccasionWords:
    """Tells the occasions of one case."""

    def __init__(self, case: Case) -> None:
        """Index what waits for what once."""
        self.case = case
        self.teller = case.teller
        self.neighbours = Neighbours(case)
        self.confirmations = ConfirmationWords(case, self.neighbours)

    def title(self, occasion: Occasion) -> str:
        """Return the title: what to do, where, and by when."""
        titles: dict[OccasionKind, Callable[[Occasion], str]] = {
            OccasionKind.WORK: self._work_title,
            OccasionKind.SPRAY: self._spray_title,
            OccasionKind.KEEP_OUT: self._keep_out_title,
            OccasionKind.LOOK: self._look_title,
            OccasionKind.PULL: self._thing_title,
            OccasionKind.BACK: self._thing_title,
            OccasionKind.BOARD: self._board_title,
        }
        if occasion.kind not in titles:
            return self.confirmations.title(occasion)
        title = titles[occasion.kind](occasion)
        return title if occasion.agreed or occasion.kind in _LOUD else f"To confirm: {title}"

    def lines(self, occasion: Occasion) -> tuple[str, ...]:
        """Return what to know, one line each."""
        told: dict[OccasionKind, Callable[[Occasion], tuple[str, ...]]] = {
            OccasionKind.WORK: self._work_lines,
            OccasionKind.SPRAY: self._spray_lines,
            OccasionKind.KEEP_OUT: self._keep_out_lines,
            OccasionKind.LOOK: self._look_lines,
            OccasionKind.PULL: self._thing_lines,
            OccasionKind.BACK: self._thing_lines,
            OccasionKind.BOARD: self._board_lines,
        }
        if occasion.kind not in told:
            return self.confirmations.lines(occasion)
        return told[occasion.kind](occasion)

    def short(self, occasion: Occasion) -> str:
        """Return what it is in a few words, without dates and deadlines."""
        if occasion.kind is OccasionKind.WORK:
            stay = self.case.site.stays[occasion.about]
            return f"{stay.title}, {self._places_of(occasion)}"
        if occasion.kind is OccasionKind.KEEP_OUT:
            return f"Keep-out, {trip_words(self.case, occasion.about)}"
        if occasion.kind is OccasionKind.BOARD:
            return "Board may start"
        titles = {
            OccasionKind.SPRAY: self._spray_title,
            OccasionKind.LOOK: self._look_title,
            OccasionKind.PULL: self._thing_title,
            OccasionKind.BACK: self._thing_title,
        }
        if occasion.kind not in titles:
            return self.confirmations.short(occasion)
        return titles[occasion.kind](occasion).partition(";")[0]

    # --- work ------------------------------------------------------------------------------

    def _work_title(self, occasion: Occasion) -> str:
        stay = self.case.site.stays[occasion.about]
        title = f"{stay.title}, {self._places_of(occasion)}"
        if occasion.booking is not None and occasion.booking.by:
            title = f"Latest start: {title}"
        deadline = deadline_of(self.case, occasion.tasks)
        if deadline is not None:
            return f"{title}; before the foam {_date(self.case, deadline[0], occasion)}"
        if self.waits_for_release(occasion):
            return f"{title}; only after the release"
        return title

    def _places_of(self, occasion: Occasion) -> str:
        names = self.place_names(occasion)
        if len(names) > MOST_PLACES:
            return f"{len(names)} places"
        return ", ".join(names)

    def place_names(self, occasion: Occasion) -> tuple[str, ...]:
        """Return what people call the places of a work."""
        parts = occasion.tasks or self.case.site.stay_tasks[occasion.about].parts
        places = dict.fromkeys(self.case.site.tasks[part].place for part in parts)
        return tuple(
            self.case.site.job.name if place == SITE else self.teller.place(place)
            for place in places
        )

    def waits_for_release(self, occasion: Occasion) -> bool:
        """Say whether a work belongs behind the release of a trip that is not released."""
        return bool(self.trips_to_release(occasion))

    def trips_to_release(self, occasion: Occasion) -> tuple[str, ...]:
        """Return the trips that a work belongs behind and that are not released."""
        site, finished = self.case.site, self.case.outlook.known.state.finished
        trips = {
            site.trip_of[surface]
            for task in occasion.tasks
            for surface, order in site.orders.get(task, {}).items()
            if order in (Order.AFTER, Order.CLOSING_UP) and surface in site.trip_of
        }
        return tuple(trip for trip in sorted(trips) if site.trips[trip].release not in finished)

    def after_release(self, keep_out: Occasion, recipient: str) -> tuple[str, ...]:
        """Return what waits for a release: all of it for the contractor, else one's own work."""
        trip = self.case.site.trips[keep_out.about]
        trade = "" if recipient in {CONTRACTOR, keep_out.doer} else recipient
        after = self.neighbours.after((trip.release,), trade)
        return (f"Waits for the release: {'; '.join(after)}",) if after else ()

    def _work_lines(self, occasion: Occasion) -> tuple[str, ...]:
        if not occasion.tasks:
            return ("Done, as reported.",)
        stay = self.case.site.stays[occasion.about]
        lines = [self._agreement(occasion)]
        names = self.place_names(occasion)
        if len(names) > MOST_PLACES:
            lines.append(f"Where: {', '.join(names)}")
        deadline = deadline_of(self.case, occasion.tasks)
        if deadline is not None:
            arrival, trip = deadline
            words = trip_words(self.case, trip)
            lines.append(
                f"Done by: {self._told(arrival, occasion)}, when the foam crew arrives ({words})"
            )
        lines += self._around(occasion)
        lines += self.conditions(occasion)
        if stay.hot:
            lines.append(HOT_WORK)
        if stay.demands.caution:
            lines.append(f"Caution: {stay.demands.caution}")
        return tuple(lines)

    def _agreement(self, occasion: Occasion) -> str:
        booking = occasion.booking
        when = ""
        if booking is not None and booking.by:
            when = f": start any day until {booking.last:%a} {booking.last.day} {booking.last:%b}"
        elif booking is not None and booking.first not in (None, booking.last):
            first, last = booking.first, booking.last
            assert first is not None  # noqa: S101  a span has a first day
            when = (
                f": start on any day from {first:%a} {first.day} {first:%b}"
                f" to {last:%a} {last.day} {last:%b}"
            )
        elif booking is not None and booking.half is not None:
            when = f": in the {booking.half}"
        if occasion.agreed:
            return f"Agreed{when}."
        return f"On paper only{when}. Not agreed yet: please call."

    def conditions(self, occasion: Occasion) -> list[str]:
        """Return what an office has asked for and nobody has settled yet, about this work."""
        site, seen = self.case.site, self.case.outlook.seen
        asked: dict[str, None] = {}
        for approval in site.approvals:
            office = self.teller.who(site.office_of[approval.id]).name
            row = site.job.offices.get(site.office_of[approval.id])
            for surface, tasks in approval.covers.items():
                if not set(occasion.tasks) & set(tasks):
                    continue
                for condition in row.conditions if row is not None else ():
                    asked[f"Condition of {office}: {condition}"] = None
                about = [
                    look
                    for look in seen.looks.get(approval.id, ())
                    if look.result is not None and surface in surfaces_of(look.surfaces, site.job)
                ]
                if about and about[-1].correct:
                    place = self.teller.place(surface)
                    asked[f"Condition of {office}: {about[-1].correct} ({place})"] = None
        return list(asked)

    def _around(self, occasion: Occasion) -> list[str]:
        before = self.neighbours.before(occasion.tasks)
        after = self.neighbours.after(occasion.tasks)
        lines = [f"Must be done first: {'; '.join(before)}"] if before else []
        if after:
            lines.append(f"Waits for this: {'; '.join(after)}")
        return lines

    # --- trips -----------------------------------------------------------------------------

    def _spray_title(self, occasion: Occasion) -> str:
        return (
            f"Spray foam, {self._trip_places(occasion)} ({trip_words(self.case, occasion.about)})"
        )

    def _trip_places(self, occasion: Occasion) -> str:
        names = self.teller.surfaces(occasion.surfaces)
        return f"{len(names)} surfaces" if len(names) > MOST_PLACES else ", ".join(names)

    def _spray_lines(self, occasion: Occasion) -> tuple[str, ...]:
        trip = self.case.site.trips[occasion.about]
        lines = [self._agreement(occasion)]
        if len(occasion.surfaces) > MOST_PLACES:
            lines.append(f"Where: {', '.join(self.teller.surfaces(occasion.surfaces))}")
        before = self.neighbours.before(occasion.tasks)
        if before:
            lines.append(f"Must be done first: {'; '.join(before)}")
        lines.append("On arrival: surfaces clean, dry, warm and masked; nobody else inside.")
        lines.append(
            f"Then: keep-out until a named person releases it{self._planning_figure(occasion)}."
        )
        after = self.neighbours.after((trip.release,))
        if after:
            lines.append(f"Waits for the release: {'; '.join(after)}")
        lines.append(SHEET_DECIDES)
        return tuple(lines)

    def _planning_figure(self, occasion: Occasion) -> str:
        if self.case.site.trips[occasion.about].keep_out_is_default:
            return " (its length is a planning figure until the product sheet is entered)"
        return ""

    def _keep_out_title(self, occasion: Occasion) -> str:
        job = self.case.site.job.name
        news = self.case.outlook.seen.trips[occasion.about]
        if news.released is not None:
            by = f" by {news.released_by}" if news.released_by else ""
            return f"Released {self._told(news.released, occasion)}{by}: {job}"
        if self.runs_over(occasion):
            return f"KEEP OUT until released, no release yet, as of {AS_OF}: {job}"
        until = self._told(occasion.days[0][1], occasion)
        return f"KEEP OUT until released, not before {until}, as of {AS_OF}: {job}"

    def runs_over(self, occasion: Occasion) -> bool:
        """Say whether the late end has passed without a release, so that no time can be named."""
        end = occasion.days[0][1]
        planned = self.case.outlook.closures.get(occasion.about)
        return planned is not None and planned[1] < end

    def _keep_out_lines(self, occasion: Occasion) -> tuple[str, ...]:
        news = self.case.outlook.seen.trips[occasion.about]
        words = trip_words(self.case, occasion.about)
        if news.released is not None:
            return (f"The keep-out of the {words} was released.", SHEET_DECIDES)
        zone = self.case.site.trips[occasion.about].zone
        everything = self.case.site.places.members[SITE]
        rooms = [
            self.teller.place(place)
            for place in (*self.case.site.places.storeys, *self.case.site.places.rooms)
            if place in zone
        ]
        where = "the whole building" if zone == everything or not rooms else ", ".join(rooms)
        arrives = self._told(occasion.days[0][0], occasion)
        standing = "agreed" if occasion.agreed else "on paper only, not agreed yet"
        earliest = "The time is only the earliest one at which a release may be asked for"
        return (
            f"Spray foam, {words}; the crew comes {arrives} ({standing}).",
            f"Keep out of: {where}",
            NO_ENTRY,
            f"{earliest}{self._planning_figure(occasion)}: every later foam starts it again.",
            "Before coming: call and ask whether it is released.",
            SHEET_DECIDES,
        )

    def owners(self, occasion: Occasion) -> tuple[str, tuple[str, ...]]:
        """Return the title and the lines by which the owner knows a keep-out."""
        news = self.case.outlook.seen.trips[occasion.about]
        out = f"Out from {self._told(occasion.days[0][0], occasion)}"
        if news.released is not None:
            released = self._told(news.released, occasion)
            return f"Released {released}: ask the crew lead before you go in", (SHEET_DECIDES,)
        until = self._told(occasion.days[0][1], occasion)
        back = f"earliest return {until}, only after the crew lead's word"
        if self.runs_over(occasion):
            back = f"no return yet, as of {AS_OF}; the crew lead will say"
        standing = () if occasion.agreed else ("The day is not agreed yet.",)
        clock = (
            "No clock decides it: every later foam starts the time again, and the time for people"
            f" who live there may be longer than for workers{self._planning_figure(occasion)}."
        )
        inside = "Nobody is inside from then on, pets included, until the crew lead says so."
        return f"{out}; {back}", (*standing, inside, clock, SHEET_DECIDES)

    def _told(self, instant: int, occasion: Occasion) -> str:
        return self.teller.told(instant, beside=occasion.days[0][0])

    # --- looks, things, board --------------------------------------------------------------

    def _look_title(self, occasion: Occasion) -> str:
        title = self.case.site.approval_kinds[occasion.about].title
        office = self.teller.who(occasion.doer).name
        return f"{title}: {office} comes to see, {self._trip_places(occasion)}"

    def _look_lines(self, occasion: Occasion) -> tuple[str, ...]:
        look = occasion.look
        if look is not None and look.result is not None:
            return (f"Result: {look.result}.",)
        lines = ["The office has confirmed this time."]
        if len(occasion.surfaces) > MOST_PLACES:
            lines.append(f"Where: {', '.join(self.teller.surfaces(occasion.surfaces))}")
        lines += self._around(occasion)
        caution = self.case.site.approval_kinds[occasion.about].caution
        if caution:
            lines.append(f"Caution: {caution}")
        return tuple(lines)

    def _thing(self, occasion: Occasion) -> Thing:
        return self.case.site.things[occasion.about]

    def _thing_title(self, occasion: Occasion) -> str:
        thing = self._thing(occasion)
        places = ", ".join(self.teller.surfaces(thing.blocks[:MOST_PLACES]))
        if occasion.kind is OccasionKind.BACK:
            return f"Set the {thing.title} again, {places}; only after the release"
        return f"Pull the {thing.title}, it blocks {places}"

    def _thing_lines(self, occasion: Occasion) -> tuple[str, ...]:
        kind = self._thing(occasion).kind
        lines = ["On paper only. Not agreed yet: please call."]
        lines += self._around(occasion)
        if kind.entails:
            lines.append(f"Brings with it: {'; '.join(shortened(kind.entails))}")
        if kind.licensed:
            lines.append("Only a licensed trade disconnects and connects it.")
        if kind.caution:
            lines.append(f"Caution: {kind.caution}")
        return tuple(lines)

    def _board_title(self, occasion: Occasion) -> str:
        by = "by this day " if occasion.booking is not None and occasion.booking.by else ""
        return f"Board may start {by}(agreed), {self.case.site.job.name}"

    def _board_lines(self, occasion: Occasion) -> tuple[str, ...]:
        del occasion
        before = self.neighbours.before((self.case.site.board_start,))
        first = f"Must be done first: {'; '.join(before)}"
        after = self.neighbours.after((self.case.site.board_start,))
        return (
            first if before else "Nothing may be covered before it is passed.",
            *((f"Waits for this: {'; '.join(after)}",) if after else ()),
        )


def _date(case: Case, instant: int, occasion: Occasion) -> str:
    """Return the date of an instant: `Mon 11 May`, with the year if the occasion has another."""
    return case.teller.told(instant, beside=occasion.days[0][0]).rpartition(" ")[0]
