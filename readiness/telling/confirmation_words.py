"""The times by which a word is wanted, as people read them on a phone.

Invariant: a word is asked for by its own question; an entry that was accepted never stands for it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.gates.due_calls import word_of_arrival
from readiness.schedule.readings_of_days import instant_of_moment
from readiness.site.task import TaskKind
from readiness.telling.confirmations import ABOUT_WORDS
from readiness.telling.neighbours import Neighbours, shortened, trip_words
from readiness.telling.occasions import OccasionKind

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.telling.case import Case
    from readiness.telling.occasions import Occasion

ONLY_A_WORD = (
    "Call, or answer in words: that this entry was accepted says that it arrived, and nothing more."
)


class ConfirmationWords:
    """Tells when a word is wanted, and about what."""

    def __init__(self, case: Case, neighbours: Neighbours) -> None:
        """Remember the case and what waits for what in it."""
        self.case, self.neighbours = case, neighbours
        self.teller = case.teller

    def title(self, occasion: Occasion) -> str:
        """Return the title: what is to be said, until when."""
        until = self._told(occasion.days[-1][1], occasion)
        words = trip_words(self.case, occasion.about)
        if occasion.kind is OccasionKind.OFFER:
            return f"Answer by {until}: days kept free for the {words}"
        arrives = self._told(self.case.outlook.known.arrivals[occasion.about], occasion)
        if occasion.kind is OccasionKind.CONFIRM_WORK:
            day = arrives.rpartition(" ")[0]
            return f"Confirm by {until}: yours is done before the foam {day}, {words}"
        said = word_of_arrival(self.case.outlook, occasion.about)
        if said is None:
            return f"Confirm by {until}: the rig comes {arrives}, {words}"
        by = f" by {said.by}" if said.by else ""
        if said.yes:
            return f"Confirmed{by}: the rig comes {arrives}, {words}"
        return f"Refused{by}: the rig does not come {arrives}, {words}"

    def asks(self, occasion: Occasion) -> bool:
        """Say whether a word is still wanted; there is none to be had for other occasions."""
        if occasion.kind is OccasionKind.CONFIRM_RIG:
            return word_of_arrival(self.case.outlook, occasion.about) is None
        return occasion.kind in ABOUT_WORDS

    def short(self, occasion: Occasion) -> str:
        """Return what it is in a few words."""
        words = trip_words(self.case, occasion.about)
        return {
            OccasionKind.OFFER: f"Answer to the offer, {words}",
            OccasionKind.CONFIRM_WORK: f"Confirm your work before the foam, {words}",
        }.get(occasion.kind, f"Confirm the rig, {words}")

    def lines(self, occasion: Occasion) -> tuple[str, ...]:
        """Return what to know, one line each."""
        if occasion.kind is OccasionKind.OFFER:
            return self._offer_lines(occasion)
        if occasion.kind is OccasionKind.CONFIRM_WORK:
            return self._work_lines(occasion)
        return self._rig_lines(occasion)

    def _offer_lines(self, occasion: Occasion) -> tuple[str, ...]:
        offered = self.case.outlook.seen.trips[occasion.about].offered
        instants = sorted(instant_of_moment(each, self.case.site.zone) for each in offered)
        days = ", ".join(self._told(instant, occasion) for instant in instants)
        lines = [f"Offered: {days}", "Afterwards they may go to somebody else."]
        after = self.neighbours.before(self.case.site.trips[occasion.about].sprays.values())
        if after:
            lines.append(f"Must be done before the foam: {'; '.join(after)}")
        return tuple(lines)

    def _work_lines(self, occasion: Occasion) -> tuple[str, ...]:
        asked = "; ".join(shortened(tuple(dict.fromkeys(self._asked(occasion)))))
        lines = [f"Done, or done by then for certain: {asked}?", ONLY_A_WORD]
        before = self.neighbours.before(occasion.tasks)
        if before:
            lines.append(f"Must be done first: {'; '.join(before)}")
        after = self.neighbours.after(occasion.tasks)
        if after:
            lines.append(f"Waits for this: {'; '.join(after)}")
        return tuple(lines)

    def _asked(self, occasion: Occasion) -> Iterable[str]:
        for task in occasion.tasks:
            row = self.case.site.tasks[task]
            if row.kind is TaskKind.PULL:
                yield self.teller.task(task)
                continue
            booked = self.case.outlook.seen.booked.get(row.stay)
            paper = " (on paper only)" if booked is not None and not booked.agreed else ""
            yield f"{self.case.site.stays[row.stay].title}{paper}"

    def _rig_lines(self, occasion: Occasion) -> tuple[str, ...]:
        before = self.neighbours.before(occasion.tasks)
        lines = [f"Must be done before the foam: {'; '.join(before)}"] if before else []
        said = word_of_arrival(self.case.outlook, occasion.about)
        if said is None:
            lines.append(ONLY_A_WORD)
        return tuple(lines)

    def _told(self, instant: int, occasion: Occasion) -> str:
        return self.teller.told(instant, beside=occasion.days[0][0])
