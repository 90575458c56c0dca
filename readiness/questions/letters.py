"""What must each be told? One letter per trade, and one with everything for the contractor.

Invariant: only dates that people set are told; whatever is not told stands in `unsent` with its
reason.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from readiness.facts.vocabulary import Where
from readiness.site.stays import BOARD
from readiness.telling.days import Span
from readiness.telling.identity import entry_uid
from readiness.telling.neighbours import trip_words
from readiness.telling.occasion_words import OccasionWords
from readiness.telling.occasions import Occasion, OccasionKind, occasions_of
from readiness.telling.recipients import CONTRACTOR, recipients_of
from readiness.telling.teller import Who

if TYPE_CHECKING:
    from readiness.telling.case import Case

_BUSY = frozenset({OccasionKind.WORK, OccasionKind.SPRAY, OccasionKind.PULL, OccasionKind.BACK})
"""Occasions that take the recipient's time; "don't come here" does not."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry of a calendar."""

    uid: str
    """The same for the life of the job."""
    item: str
    """What it is in the job."""
    kind: str
    starts: datetime
    ends: datetime
    title: str
    says: tuple[str, ...]
    """Lines to read under the title."""
    place: str
    """Street, or the name of the job."""
    agreed: bool
    """Agreed with the people concerned; else on paper by us alone."""
    busy: bool
    """It takes the recipient's time."""


@dataclass(frozen=True, slots=True)
class Letter:
    """What one recipient is told."""

    file: str
    who: Who
    entries: tuple[Entry, ...]
    """By start, then by item."""


@dataclass(frozen=True, slots=True)
class Unsent:
    """Something without an entry, and why."""

    item: str
    title: str
    who: Who
    reason: str


@dataclass(frozen=True, slots=True)
class LettersAnswer:
    """What everybody is told."""

    job: str
    as_of: datetime
    time_zone: str
    letters: tuple[Letter, ...]
    """One per trade by its id, then the contractor's."""
    unsent: tuple[Unsent, ...]
    warnings: tuple[str, ...]
    """What should be settled by a call before the calendars go out."""


def letters(case: Case) -> LettersAnswer:
    """Return what each must be told, as things stand."""
    as_of = case.teller.moment(case.outlook.seen.as_of)
    assert as_of is not None  # noqa: S101  the moment of a question has a date
    writer = _Writer(case)
    occasions = occasions_of(case)
    return LettersAnswer(
        job=case.site.job.name,
        as_of=as_of,
        time_zone=case.site.zone,
        letters=tuple(writer.letters(occasions)),
        unsent=tuple(_unsent(case)),
        warnings=tuple(writer.warnings(occasions)),
    )


class _Writer:
    """Writes the entries of each recipient."""

    def __init__(self, case: Case) -> None:
        self.case = case
        self.site = case.site
        self.words = OccasionWords(case)
        self.place = case.site.job.site.address or case.site.job.name

    def letters(self, occasions: tuple[Occasion, ...]) -> Iterable[Letter]:
        """Yield the letters that hold anything; the contractor's last."""
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
                mine.sort(key=lambda entry: (entry.starts, entry.item))
                who = self.case.teller.who(recipient)
                yield Letter(f"{recipient}.ics", who, tuple(mine))

    def _entries(self, occasion: Occasion, recipient: str) -> Iterable[Entry]:
        """Yield one entry per day; the later days of a stay are items of their own."""
        title, lines = self.words.title(occasion), self.words.lines(occasion)
        call = self._call(occasion, recipient)
        if recipient == CONTRACTOR and occasion.kind not in (
            OccasionKind.KEEP_OUT,
            OccasionKind.LOOK,
            OccasionKind.BOARD,
        ):
            title = f"{self.case.teller.who(occasion.doer).name}: {title}"
        days = occasion.days
        for number, (starts, ends) in enumerate(days, start=1):
            item = occasion.item if number == 1 else f"{occasion.item}:day-{number}"
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
                says=(*lines, *self._clashes(occasion, (starts, ends)), call),
                place=self.place,
                agreed=occasion.agreed,
                busy=occasion.kind in _BUSY
                and (recipient != CONTRACTOR or occasion.doer == CONTRACTOR),
            )

    def _call(self, occasion: Occasion, recipient: str) -> str:
        """Return whom to call about it; for the contractor the one who comes."""
        other = occasion.doer if recipient == CONTRACTOR else CONTRACTOR
        who = self.case.teller.who(other)
        return f"Call: {who.name}, {who.phone}" if who.phone else f"Call: {who.name}"

    def warnings(self, occasions: tuple[Occasion, ...]) -> Iterable[str]:
        """Yield the stays that would bring people into a keep-out."""
        for occasion in occasions:
            for clash in self._clashes(occasion, *occasion.days):
                who = self.case.teller.who(occasion.doer).name
                yield f"{who}: {self.words.title(occasion)}. {clash}"

    def _clashes(self, occasion: Occasion, *days: Span) -> list[str]:
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


def _unsent(case: Case) -> Iterable[Unsent]:
    """Yield the open work, trips and looks that nobody has dated."""
    site, known, teller = case.site, case.outlook.known, case.teller
    no_date = "no agreed or booked date"
    for name, stay in site.stays.items():
        parts = site.stay_tasks[name].parts
        is_open = any(part not in known.state.finished for part in parts)
        if is_open and name not in known.commitments:
            reason = no_date
            if any(part in known.state.begun for part in parts):
                reason = "begun, but without an agreed or booked date"
            if name == BOARD and case.outlook.seen.board is not None:
                continue
            yield Unsent(name, stay.title, teller.who(stay.trade), reason)
    for name, trip in site.trips.items():
        if name not in known.arrivals:
            surfaces = ", ".join(teller.surfaces(trip.surfaces))
            who = teller.who(site.tasks[trip.set_up].trade or "spray")
            yield Unsent(f"trip:{name}", f"{trip_words(case, name)}: {surfaces}", who, no_date)
    for name, looks in case.outlook.seen.looks.items():
        asked = [look for look in looks if look.result is None and look.requested is not None]
        if asked and not any(look.slot for look in looks) and name in site.office_of:
            title = site.approval_kinds[name].title
            reason = "requested, but the office has confirmed no time"
            yield Unsent(f"approval:{name}", title, teller.who(site.office_of[name]), reason)
