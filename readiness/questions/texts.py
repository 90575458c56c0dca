"""What does each trade get as a short text? Three lines to paste into a phone.

What and by when, when to come, where and whom to ask; below them a line about the keep-out, and one
of caution where work can hurt.

Invariant: only dates that people set are told, and a keep-out ends with a release, not a clock.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from readiness.job.trip_rows import rig_id
from readiness.telling.occasion_words import OccasionWords
from readiness.telling.occasions import Occasion, OccasionKind, deadline_of, occasions_of
from readiness.telling.recipients import CONTRACTOR, recipients_of
from readiness.telling.teller import Who

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from readiness.telling.case import Case

MOST_PLACES = 4
"""More places than this are counted."""

HOT = "Hot work: bare foam burns; not near it before its barrier is on. Local codes decide."


@dataclass(frozen=True, slots=True)
class Text:
    """What one trade gets."""

    who: Who
    lines: tuple[str, ...]
    """What, when, where; then the keep-outs and cautions."""


@dataclass(frozen=True, slots=True)
class TextsAnswer:
    """What every trade gets."""

    job: str
    as_of: datetime
    time_zone: str
    texts: tuple[Text, ...]
    """By the id of the trade."""
    without: tuple[Who, ...]
    """Trades of the job for whom nothing has an agreed or booked date."""


def texts(case: Case) -> TextsAnswer:
    """Return the texts as things stand."""
    as_of = case.teller.moment(case.outlook.seen.as_of)
    assert as_of is not None  # noqa: S101  the moment of a question has a date
    writer = _Writer(case)
    mine: dict[str, list[Occasion]] = {}
    for occasion in occasions_of(case):
        if occasion.days[-1][1] > case.outlook.seen.as_of:
            for trade in recipients_of(case, occasion, writer.words.neighbours):
                mine.setdefault(trade, []).append(occasion)
    rigs = {rig_id(row) for row in case.site.job.trips.values()}
    names = sorted({*mine, *case.site.job.trades} - {CONTRACTOR} - rigs)
    told = {name: writer.lines(name, mine.get(name, ())) for name in names}
    return TextsAnswer(
        job=case.site.job.name,
        as_of=as_of,
        time_zone=case.site.zone,
        texts=tuple(Text(case.teller.who(name), lines) for name, lines in told.items() if lines),
        without=tuple(case.teller.who(name) for name, lines in told.items() if not lines),
    )


class _Writer:
    """Writes the lines of each trade."""

    def __init__(self, case: Case) -> None:
        self.case = case
        self.teller = case.teller
        self.words = OccasionWords(case)

    def lines(self, trade: str, occasions: Sequence[Occasion]) -> tuple[str, ...]:
        """Return the lines for a trade; none if nothing concerns it."""
        shut = [self._keep_out(each, trade) for each in occasions if _is_shut(each)]
        coming = [each for each in occasions if each.doer == trade and self._comes(each)]
        if not coming:
            where = f"At {self._address()}. {self._ask()}"
            return (*shut, where) if shut else ()
        hot = any(
            self.case.site.stays[each.about].hot
            for each in coming
            if each.kind is OccasionKind.WORK
        )
        return (
            "; ".join(self._what(coming)),
            f"Come {self._when(coming)}.",
            f"At {self._address()}: {self._where(coming)}. {self._ask()}",
            *shut,
            *((HOT,) if hot else ()),
        )

    def _comes(self, occasion: Occasion) -> bool:
        if occasion.kind is OccasionKind.WORK:
            return bool(occasion.tasks)
        return occasion.kind not in (OccasionKind.KEEP_OUT, OccasionKind.LOOK)

    def _what(self, occasions: Iterable[Occasion]) -> Iterable[str]:
        """Yield what is due by when, things due together told together."""
        by_deadline: dict[str, list[str]] = {}
        for occasion in occasions:
            title = self._title(occasion)
            told = by_deadline.setdefault(self._deadline(occasion), [])
            if title not in told:
                told.append(title)
        for deadline, titles in by_deadline.items():
            yield f"{deadline}{', '.join(titles)}"

    def _deadline(self, occasion: Occasion) -> str:
        if occasion.kind is OccasionKind.BACK or self.words.waits_for_release(occasion):
            return "Only after the release: "
        deadline = deadline_of(self.case, occasion.tasks)
        if deadline is not None:
            return f"Finish by {self.teller.told(deadline[0])}: "
        if occasion.kind is OccasionKind.PULL:
            return f"Finish by {self.teller.told(occasion.days[-1][1])}: "
        return ""

    def _title(self, occasion: Occasion) -> str:
        match occasion.kind:
            case OccasionKind.WORK:
                return self.case.site.stays[occasion.about].title
            case OccasionKind.PULL:
                return f"Pull the {self.case.site.things[occasion.about].title}"
            case OccasionKind.BACK:
                return f"Set the {self.case.site.things[occasion.about].title} again"
            case OccasionKind.BOARD:
                return "Start the board"
            case _:
                return "Spray foam"

    def _when(self, occasions: Sequence[Occasion]) -> str:
        told: dict[tuple[str, str], list[str]] = {}
        for occasion in occasions:
            key = (self._dates(occasion), "" if occasion.agreed else " (not agreed yet: call)")
            titles = told.setdefault(key, [])
            if self._title(occasion) not in titles:
                titles.append(self._title(occasion))
        if len(told) == 1:
            return "".join(next(iter(told)))
        pieces = (
            f"{dates} for {', '.join(_small(title) for title in titles)}{standing}"
            for (dates, standing), titles in told.items()
        )
        return "; ".join(pieces)

    def _dates(self, occasion: Occasion) -> str:
        booking = occasion.booking
        first = self.teller.told(occasion.days[0][0])
        if booking is not None and booking.by:
            return f"by {booking.last:%a} {booking.last.day} {booking.last:%b} at the latest"
        if booking is not None and booking.first not in (None, booking.last):
            last = f"{booking.last:%a} {booking.last.day} {booking.last:%b}"
            return f"any day from {first.rpartition(' ')[0]} to {last}"
        if len(occasion.days) == 1:
            return first
        return f"{first} to {self.teller.told(occasion.days[-1][1]).rpartition(' ')[0]}"

    def _where(self, occasions: Iterable[Occasion]) -> str:
        names: dict[str, None] = {}
        for occasion in occasions:
            if occasion.kind is OccasionKind.WORK:
                names.update(dict.fromkeys(self.words.place_names(occasion)))
            elif occasion.kind is OccasionKind.BOARD:
                names[self.case.site.job.name] = None
            else:
                names.update(dict.fromkeys(self.teller.surfaces(occasion.surfaces)))
        return f"{len(names)} places" if len(names) > MOST_PLACES else ", ".join(names)

    def _address(self) -> str:
        job = self.case.site.job
        return job.site.address or job.name

    def _ask(self) -> str:
        who = self.teller.who(CONTRACTOR)
        return f"Ask {who.name}, {who.phone}" if who.phone else f"Ask {who.name}"

    def _keep_out(self, occasion: Occasion, trade: str) -> str:
        news = self.case.outlook.seen.trips[occasion.about]
        told = self.teller.told
        if news.released is not None:
            by = f" by {news.released_by}" if news.released_by else ""
            return f"Released {told(news.released)}{by}."
        verb = "Keep all others out" if trade == occasion.doer else "Out"
        from_when = told(occasion.days[0][0])
        as_of = told(self.case.outlook.seen.as_of)
        paper = "" if occasion.agreed else " (day not agreed yet)"
        if self.words.runs_over(occasion):
            return f"{verb} since {from_when} until released; no release yet as of {as_of}."
        return (
            f"{verb} from {from_when}{paper} until released, not before "
            f"{told(occasion.days[0][1])}, as of {as_of}."
        )


def _is_shut(occasion: Occasion) -> bool:
    return occasion.kind is OccasionKind.KEEP_OUT


def _small(title: str) -> str:
    """Return a title as it stands inside a sentence; an abbreviation stays as it is."""
    return title if title[1:2].isupper() else title[:1].lower() + title[1:]
