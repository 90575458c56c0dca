"""What has changed since people were last told, in words, and why.

A trade reads "moves from Tue 5 to Thu 7", not eleven new calendar entries; a stay of several days
is told once.

Invariant: a move of less than half a day is told only where somebody asks for it, but small moves
that add up are told, and what is told of a keep-out is never held back.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from readiness.job.instants import instant_of
from readiness.telling.neighbours import trip_words
from readiness.telling.occasions import OccasionKind
from readiness.telling.teller import Who

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from readiness.diary.sending_entries import SentEntry
    from readiness.diary.sent import SentState
    from readiness.telling.calendar_entries import Entry
    from readiness.telling.case import Case

HALF_A_DAY = timedelta(hours=4)
"""Half a working day: a trade that comes at eleven instead of nine plans nothing anew."""

DAY = ":day-"
"""Between the name of a stay and the number of one of its later days."""

NO_REASON = "no reason is written"


@dataclass(frozen=True, slots=True)
class Change:
    """One thing that somebody must be told anew."""

    who: Who
    item: str
    """What it is in the job."""
    kind: str
    """`new`, `moved`, `agreed` or `falls away`."""
    says: str
    """The change as a sentence, with its reason."""
    small: bool
    """A move of less than half a day, on the same day."""


class Changes:
    """Compares what everybody has with what they are to be told now."""

    def __init__(self, case: Case, state: SentState) -> None:
        """Sort what people have by calendar and thing."""
        self.case, self.state = case, state
        self._had: dict[tuple[str, str], list[SentEntry]] = defaultdict(list)
        for each in state.entries.values():
            if not each.cancelled:
                self._had[each.to, base_of(each.item)].append(each)

    def of(self, recipient: str, entries: Iterable[Entry]) -> Iterable[Change]:
        """Yield what changes for one recipient, in the order of the items."""
        now: dict[str, list[Entry]] = defaultdict(list)
        for entry in entries:
            if not entry.cancelled:
                now[base_of(entry.item)].append(entry)
        items = dict.fromkeys([*now, *(item for to, item in self._had if to == recipient)])
        who = self.case.teller.who(recipient)
        for item in items:
            had = sorted(self._had.get((recipient, item), []), key=lambda each: each.starts)
            has = sorted(now.get(item, []), key=lambda each: each.starts)
            change = self._change(who, item, had, has)
            if change is not None:
                yield change

    def _change(self, who: Who, item: str, had: list[SentEntry], has: list[Entry]) -> Change | None:
        if not had:
            return Change(who, item, "new", f"new: {has[0].short}, {self._when(has)}", small=False)
        if not has:
            if had[-1].ends <= self._now:
                return None
            says = f"{had[0].short} on {self._day(had[0].starts, had[0].starts)} falls away"
            return Change(who, item, "falls away", f"{says}: {self._why(item)}", small=False)
        if _times(had) != [(each.starts, each.ends) for each in has]:
            says = f"{has[0].short} {self._moves(had, has)}: {self._why(item)}"
            return Change(who, item, "moved", says, small=_is_small(had, has))
        if had[0].agreed != has[0].agreed:
            word = "is agreed now" if has[0].agreed else "is no longer agreed, please call"
            says = f"{has[0].short}, {self._when(has)}, {word}"
            return Change(who, item, "agreed", says, small=False)
        return None

    def _moves(self, had: list[SentEntry], has: list[Entry]) -> str:
        """Return how something moves; of a keep-out its end counts, of a stay its first day."""
        old_start, new_start = had[0].told_starts or had[0].starts, has[0].starts
        if has[0].kind == OccasionKind.KEEP_OUT and old_start == new_start:
            old_end, new_end = had[-1].told_ends or had[-1].ends, has[-1].ends
            return f"ends not before {self._moment(new_end)}, was {self._moment(old_end)}"
        if old_start == new_start and len(had) != len(has):
            return f"takes {_days(len(has))}, not {_days(len(had))}"
        if old_start == new_start:
            old_end, new_end = had[-1].told_ends or had[-1].ends, has[-1].ends
            return f"ends {self._moment(new_end)}, not {self._moment(old_end)}"
        old_day, new_day = self._day(old_start, new_start), self._day(new_start, old_start)
        if old_day == new_day:
            return f"moves from {self._moment(old_start)} to {self._moment(new_start)}"
        return f"moves from {old_day} to {new_day}"

    @property
    def _now(self) -> datetime:
        moment = self.case.teller.moment(self.case.outlook.seen.as_of)
        assert moment is not None  # noqa: S101  the moment of a question has a date
        return moment

    def _when(self, entries: list[Entry]) -> str:
        """Return the first day, and the last one if there are several."""
        first, last = entries[0].starts, entries[-1].starts
        if first.date() == last.date():
            return self._moment(first)
        return f"{self._day(first, first, month=True)} to {self._day(last, last, month=True)}"

    def _moment(self, moment: datetime) -> str:
        return self.case.teller.told(instant_of(moment))

    def _day(self, day: datetime, other: datetime, *, month: bool = False) -> str:
        """Return a day, with its month where the other one lies in another."""
        zone = self.case.teller.zone
        day, other = day.astimezone(zone), other.astimezone(zone)
        alike = (day.year, day.month) == (other.year, other.month)
        return f"{day:%a} {day.day}" if alike and not month else f"{day:%a} {day.day} {day:%b}"

    def _why(self, item: str) -> str:
        """Return the reason that was written since the last sending.

        What moved without a reason of its own is told to follow what it waits for.
        """
        what = item.removeprefix("trip:").removesuffix(":keep-out").partition(":")[0]
        since = instant_of(self.state.at) if self.state.at is not None else None
        slips = [slip for slip in self.case.outlook.seen.slips if since is None or slip.at >= since]
        own = [slip.cause for slip in slips if slip.what == what]
        if own:
            return own[-1]
        before = self._waited_for(what)
        others = [slip for slip in slips if slip.what in before and slip.what != what]
        if others:
            return f"{before[others[-1].what]} has moved ({others[-1].cause})"
        if item.endswith(":keep-out") and what in self.case.outlook.known.arrived:
            released = self.case.outlook.seen.trips[what].released is not None
            return "it was released" if released else "every later foam starts it again"
        return NO_REASON

    def _waited_for(self, what: str) -> dict[str, str]:
        """Return the works and trips that a work or trip waits for, and what they are called."""
        site = self.case.site
        if what in site.stay_tasks:
            tasks = site.stay_tasks[what].parts
        elif what in site.trips:
            tasks = tuple(site.trips[what].sprays.values())
        else:
            return {}
        stays = {site.tasks[task].stay for task in self.case.outlook.network.upstream(tasks)}
        works = {name: stay.title for name, stay in site.stays.items() if name in stays}
        trips = {
            name: trip_words(self.case, name) for name in site.trips if f"trip:{name}" in stays
        }
        return works | trips


def base_of(item: str) -> str:
    """Return the thing that an item is a day of."""
    return item.partition(DAY)[0]


def untold(changes: Iterable[Change], *, every_move: bool) -> Mapping[tuple[str, str], Change]:
    """Return the changes that are not told now, by recipient and thing."""
    return {
        (change.who.id, change.item): change
        for change in changes
        if change.small and not every_move
    }


def _times(had: Iterable[SentEntry]) -> list[tuple[datetime, datetime]]:
    """Return the times of which people were last told."""
    return [(each.told_starts or each.starts, each.told_ends or each.ends) for each in had]


def _is_small(had: list[SentEntry], has: list[Entry]) -> bool:
    """Say whether nobody need plan anew for a move."""
    if len(had) != len(has) or has[0].kind == OccasionKind.KEEP_OUT:
        return False
    return all(
        old[0].astimezone(new.starts.tzinfo).date() == new.starts.date()
        and abs(old[0] - new.starts) < HALF_A_DAY
        and abs(old[1] - new.ends) < HALF_A_DAY
        for old, new in zip(_times(had), has, strict=True)
    )


def _days(count: int) -> str:
    return "1 day" if count == 1 else f"{count} days"
