"""What stands in everybody's calendar, before it is known what they have of it already.

Invariant: a draft depends on nothing but the job as it is known; the moment of the question is not
in it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.facts.vocabulary import Where
from readiness.telling.calendar_entries import Entry
from readiness.telling.changes import DAY
from readiness.telling.confirmations import open_before
from readiness.telling.identity import entry_uid
from readiness.telling.neighbours import trip_words
from readiness.telling.occasion_words import OccasionWords
from readiness.telling.occasions import Occasion, OccasionKind
from readiness.telling.recipients import CONTRACTOR, OWNER, recipients_of
from readiness.telling.returning import checks_when_back
from readiness.telling.ties import tied

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from readiness.telling.case import Case
    from readiness.telling.days import Span

_BUSY = frozenset({OccasionKind.WORK, OccasionKind.SPRAY, OccasionKind.PULL, OccasionKind.BACK})
"""Occasions that take the recipient's time; "don't come here" does not."""

_OWNERS = frozenset({OccasionKind.KEEP_OUT})
"""Occasions that the owner is told of."""

_SAID_BY_ITSELF = frozenset(
    {OccasionKind.KEEP_OUT, OccasionKind.LOOK, OccasionKind.BOARD, OccasionKind.OFFER}
)
"""Occasions whose title needs no name of a trade before it."""


class Drafts:
    """Writes the entries of each recipient."""

    def __init__(self, case: Case, *, links: bool = True) -> None:
        """Prepare the words of one case; `links` ties together what waits for one another."""
        self.case, self.links = case, links
        self.site = case.site
        self.words = OccasionWords(case)
        self.street = case.site.job.site.address.partition(",")[0].strip()
        self.place = case.site.job.site.address or case.site.job.name

    def of_all(self, occasions: tuple[Occasion, ...]) -> Iterator[tuple[str, list[Entry]]]:
        """Yield each recipient with what is in the calendar; the contractor comes last."""
        told = {
            occasion.item: recipients_of(self.case, occasion, self.words.neighbours)
            for occasion in occasions
        }
        trades = {trade for told_to in told.values() for trade in told_to} - {CONTRACTOR}
        for recipient in (*sorted(trades | {OWNER}), CONTRACTOR):
            if recipient == OWNER:
                mine = [self._owners(each) for each in occasions if each.kind in _OWNERS]
                if mine:
                    yield OWNER, mine
                continue
            mine = [
                entry
                for occasion in occasions
                if recipient in told[occasion.item]
                or (recipient == CONTRACTOR and occasion.kind is not OccasionKind.CONFIRM_WORK)
                for entry in self._entries(occasion, recipient)
            ]
            if mine:
                yield recipient, tied(self.case, occasions, mine) if self.links else mine

    def _owners(self, keep_out: Occasion) -> Entry:
        """Return what the owner is told of a trip: out from when, and who says when to return."""
        starts, ends = (self.case.teller.moment(instant) for instant in keep_out.days[0])
        assert starts is not None  # noqa: S101  an occasion has dates
        assert ends is not None  # noqa: S101
        title, lines = self.words.owners(keep_out)
        return Entry(
            uid=entry_uid(self.site.job.key, keep_out.item, OWNER),
            item=keep_out.item,
            kind=keep_out.kind.value,
            starts=starts,
            ends=ends,
            title=title,
            says=(*lines, self._call(keep_out, OWNER)),
            place=self.place,
            agreed=keep_out.agreed,
            busy=False,
            short=self.words.short(keep_out),
        )

    def _entries(self, occasion: Occasion, recipient: str) -> Iterable[Entry]:
        """Yield one entry per day; the later days of a stay are items of their own."""
        title, short = self.words.title(occasion), self.words.short(occasion)
        lines = self.words.lines(occasion)
        lines += self._for(recipient, occasion)
        call = self._call(occasion, recipient)
        if recipient == CONTRACTOR and occasion.kind not in _SAID_BY_ITSELF:
            title = f"{self.case.teller.who(occasion.doer).name}: {title}"
        if self.street and occasion.kind is not OccasionKind.KEEP_OUT:
            title = f"{title}; {self.street}"
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
                asks=self.words.confirmations.asks(occasion),
            )

    def _for(self, recipient: str, occasion: Occasion) -> tuple[str, ...]:
        """Return what of an occasion only one recipient needs to know."""
        if occasion.kind is OccasionKind.KEEP_OUT:
            return (
                *self.words.after_release(occasion, recipient),
                *self._when_back((occasion.about,), recipient),
            )
        if occasion.kind is OccasionKind.WORK and recipient == occasion.doer:
            return self._when_back(self.words.trips_to_release(occasion), recipient)
        if occasion.kind is OccasionKind.CONFIRM_RIG and recipient == CONTRACTOR:
            asked = (self.case.teller.who(name) for name in open_before(self.case, occasion.about))
            names = [f"{who.name}, {who.phone}" if who.phone else who.name for who in asked]
            return (f"Hear first from: {'; '.join(names)}",) if names else ()
        return ()

    def _when_back(self, trips: Iterable[str], recipient: str) -> tuple[str, ...]:
        """Return what to check once the place is released."""
        checks = (
            check
            for trip in trips
            if self.site.trips[trip].release not in self.case.outlook.known.state.finished
            for check in checks_when_back(self.site, trip, recipient)
        )
        return tuple(f"Check when you are back: {check}" for check in dict.fromkeys(checks))

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
            f" {self.case.teller.told(shuts, beside=occasion.days[0][0])}: do not go in before the"
            " release; call to move it."
            for trip, (shuts, opens) in self.case.outlook.closures.items()
            if places & self.site.trips[trip].zone
            and any(starts < opens and ends > shuts for starts, ends in days)
        ]
