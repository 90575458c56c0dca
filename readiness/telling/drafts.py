"""What stands in everybody's calendar, before it is known what they have of it already.

Invariant: a draft depends on nothing but the job as it is known; the moment of the question is not
in it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.facts.vocabulary import Where
from readiness.telling.calendar_entries import Entry
from readiness.telling.changes import DAY
from readiness.telling.identity import entry_uid
from readiness.telling.neighbours import trip_words
from readiness.telling.occasion_words import OccasionWords
from readiness.telling.occasions import Occasion, OccasionKind
from readiness.telling.recipients import CONTRACTOR, recipients_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from readiness.telling.case import Case
    from readiness.telling.days import Span

_BUSY = frozenset({OccasionKind.WORK, OccasionKind.SPRAY, OccasionKind.PULL, OccasionKind.BACK})
"""Occasions that take the recipient's time; "don't come here" does not."""

_SAID_BY_ITSELF = frozenset({OccasionKind.KEEP_OUT, OccasionKind.LOOK, OccasionKind.BOARD})
"""Occasions whose title needs no name of a trade before it."""


class Drafts:
    """Writes the entries of each recipient."""

    def __init__(self, case: Case) -> None:
        """Prepare the words of one case."""
        self.case = case
        self.site = case.site
        self.words = OccasionWords(case)
        self.place = case.site.job.site.address or case.site.job.name

    def of_all(self, occasions: tuple[Occasion, ...]) -> Iterator[tuple[str, list[Entry]]]:
        """Yield each recipient with what is in the calendar; the contractor comes last."""
        told = {occasion.item: recipients_of(self.case, occasion) for occasion in occasions}
        trades = sorted({trade for told_to in told.values() for trade in told_to} - {CONTRACTOR})
        for recipient in (*trades, CONTRACTOR):
            mine = [
                entry
                for occasion in occasions
                if recipient == CONTRACTOR or recipient in told[occasion.item]
                for entry in self._entries(occasion, recipient)
            ]
            if mine:
                yield recipient, mine

    def _entries(self, occasion: Occasion, recipient: str) -> Iterable[Entry]:
        """Yield one entry per day; the later days of a stay are items of their own."""
        title, short = self.words.title(occasion), self.words.short(occasion)
        lines = self.words.lines(occasion)
        call = self._call(occasion, recipient)
        if recipient == CONTRACTOR and occasion.kind not in _SAID_BY_ITSELF:
            title = f"{self.case.teller.who(occasion.doer).name}: {title}"
        days = occasion.days
        for number, (starts, ends) in enumerate(days, start=1):
            item = occasion.item if number == 1 else f"{occasion.item}{DAY}{number}"
            first, last = self.case.teller.moment(starts), self.case.teller.moment(ends)
            assert first is not None  # noqa: S101  an occasion has dates
            assert last is not None  # noqa: S101
            yield Entry(
                uid=entry_uid(self.site.job.key, item, recipient),
                item=item,
                kind=occasion.kind.value,
                starts=first,
                ends=last,
                title=title if len(days) == 1 else f"{title} (day {number} of {len(days)})",
                says=(*lines, *self.clashes(occasion, (starts, ends)), call),
                place=self.place,
                agreed=occasion.agreed,
                busy=occasion.kind in _BUSY
                and (recipient != CONTRACTOR or occasion.doer == CONTRACTOR),
                short=short,
            )

    def _call(self, occasion: Occasion, recipient: str) -> str:
        """Return whom to call about it; for the contractor the one who comes."""
        other = occasion.doer if recipient == CONTRACTOR else CONTRACTOR
        who = self.case.teller.who(other)
        return f"Call: {who.name}, {who.phone}" if who.phone else f"Call: {who.name}"

    def warnings(self, occasions: tuple[Occasion, ...]) -> Iterable[str]:
        """Yield the stays that would bring people into a keep-out."""
        for occasion in occasions:
            for clash in self.clashes(occasion, *occasion.days):
                who = self.case.teller.who(occasion.doer).name
                yield f"{who}: {self.words.title(occasion)}. {clash}"

    def clashes(self, occasion: Occasion, *days: Span) -> list[str]:
        """Tell the booked keep-outs in which days of inside work fall."""
        if occasion.kind not in (OccasionKind.WORK, OccasionKind.PULL, OccasionKind.BACK):
            return []
        stay = self.site.stays.get(occasion.about)
        if stay is not None and stay.where is not Where.INSIDE:
            return []
        places = {self.site.tasks[task].place for task in occasion.tasks}
        return [
            f"Falls into the keep-out of the {trip_words(self.case, trip)}, from"
            f" {self.case.teller.told(shuts)}: do not go in before the release; call to move it."
            for trip, (shuts, opens) in self.case.outlook.closures.items()
            if places & self.site.trips[trip].zone
            and any(starts < opens and ends > shuts for starts, ends in days)
        ]
