"""What must each be told? One letter per trade, and one with everything for the contractor.

Invariant: only dates that people set are told; whatever is not told stands in `unsent` with its
reason.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime
from typing import TYPE_CHECKING

from readiness.diary.sending_entries import SentEntry
from readiness.diary.sent import NOTHING_SENT, SentState
from readiness.job.instants import instant_of
from readiness.site.stays import BOARD
from readiness.telling.calendar_entries import AS_OF, Entry, Version, tombstone, versioned
from readiness.telling.changes import Change, Changes, base_of, untold
from readiness.telling.confirmations import confirmations_of
from readiness.telling.drafts import Drafts
from readiness.telling.neighbours import trip_words
from readiness.telling.notices import Notice, Post, needs_number, notices
from readiness.telling.occasions import occasions_of
from readiness.telling.recipients import CONTRACTOR
from readiness.telling.teller import Who

if TYPE_CHECKING:
    from collections.abc import Mapping

    from readiness.telling.case import Case


@dataclass(frozen=True, slots=True)
class Letter:
    """What one recipient is told."""

    file: str
    who: Who
    entries: tuple[Entry, ...]
    """By start, then by item; what falls away stays for a while, marked so."""


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
    since: datetime | None = None
    """When calendars were last sent; None if they never were."""
    changes: tuple[Change, ...] = ()
    """What has changed since then, by recipient; those that are held back are not here."""
    held_back: tuple[Change, ...] = ()
    """Moves of less than half a day, which nobody is told of unless that is asked for."""


@dataclass(frozen=True, slots=True)
class Batch:
    """An answer, and what the diary has to keep of it before any file is written."""

    answer: LettersAnswer
    new: tuple[SentEntry, ...]

    def notices(self, state: SentState, post: Post) -> tuple[Notice, ...]:
        """Return the mails that are due."""
        calendars = ((letter.who.id, letter.entries) for letter in self.answer.letters)
        return notices(calendars, state, post, self.answer.as_of)


def letters(
    case: Case, state: SentState = NOTHING_SENT, *, every_move: bool = False
) -> LettersAnswer:
    """Return what each must be told, as things stand.

    Args:
        case: The job at one moment.
        state: What people have in their calendars by now.
        every_move: Tell moves of less than half a day too.
    """
    return batch(case, state, every_move=every_move).answer


def batch(
    case: Case,
    state: SentState,
    *,
    every_move: bool = False,
    links: bool = True,
    addresses: Mapping[str, str] | None = None,
) -> Batch:
    """Return what each must be told, and what of it people do not have yet.

    Args:
        case: The job at one moment.
        state: What people have in their calendars by now.
        every_move: Tell moves of less than half a day too.
        links: Tie together what waits for one another.
        addresses: Where mails go, if any are written.
    """
    as_of = case.teller.moment(case.outlook.seen.as_of)
    assert as_of is not None  # noqa: S101  the moment of a question has a date
    drafts = Drafts(case, links=links)
    occasions = (*occasions_of(case), *confirmations_of(case))
    versions = {
        recipient: _versions(case, found, _above(state, found, recipient, addresses), as_of)
        for recipient, found in drafts.of_all(occasions)
    }
    _add_tombstones(versions, state, as_of)
    found = _changes(case, state, versions)
    held = untold(found, every_move=every_move)
    new = (
        sent
        for recipient, mine in versions.items()
        for version in mine
        if (sent := _to_keep(version, recipient, held)) is not None
    )
    answer = LettersAnswer(
        job=case.site.job.name,
        as_of=as_of,
        time_zone=case.site.zone,
        letters=tuple(
            Letter(f"{recipient}.ics", case.teller.who(recipient), _in_order(mine))
            for recipient, mine in versions.items()
        ),
        unsent=tuple(_unsent(case)),
        warnings=(*_apart(state), *drafts.warnings(occasions)),
        since=state.at.astimezone(case.teller.zone) if state.at is not None else None,
        changes=tuple(change for change in found if (change.who.id, change.item) not in held),
        held_back=tuple(held.values()),
    )
    return Batch(answer, tuple(new))


def _above(
    state: SentState,
    drafts: Iterable[Entry],
    recipient: str,
    addresses: Mapping[str, str] | None,
) -> SentState:
    """Return what people have, with what must get a higher number because of who is asked."""
    if addresses is None:
        return state
    address = addresses.get(recipient, "")
    asked = {draft.uid: ("", "") for draft in drafts if needs_number(draft.uid, state, address)}
    return replace(state, clashes={**state.clashes, **asked}) if asked else state


def _versions(
    case: Case, drafts: Iterable[Entry], state: SentState, as_of: datetime
) -> list[Version]:
    """Return the drafts of one recipient with their numbers and moments."""
    found = []
    for draft in drafts:
        before = state.entries.get(draft.uid)
        version = versioned(draft, before, as_of, clash=draft.uid in state.clashes)
        entry = version.entry
        stamp = case.teller.told(instant_of(entry.stamp), beside=instant_of(entry.starts))
        entry = replace(entry, title=entry.title.replace(AS_OF, stamp))
        found.append(replace(version, entry=entry))
    return found


def _add_tombstones(versions: dict[str, list[Version]], state: SentState, as_of: datetime) -> None:
    """Add what people have and are told no more; whoever has nothing else gets a calendar too."""
    alive = {version.entry.uid for mine in versions.values() for version in mine}
    for before in state.entries.values():
        if before.uid in alive:
            continue
        version = tombstone(before, as_of, clash=before.uid in state.clashes)
        if version is not None:
            versions.setdefault(before.to, []).append(version)
    in_order = sorted(versions, key=lambda recipient: (recipient == CONTRACTOR, recipient))
    ordered = {recipient: versions[recipient] for recipient in in_order}
    versions.clear()
    versions.update(ordered)


def _in_order(versions: Iterable[Version]) -> tuple[Entry, ...]:
    entries = (version.entry for version in versions)
    return tuple(sorted(entries, key=lambda entry: (entry.starts, entry.item, entry.uid)))


def _changes(
    case: Case, state: SentState, versions: dict[str, list[Version]]
) -> tuple[Change, ...]:
    """Return what changes for the trades, and for the contractor what no trade is told."""
    if state.at is None:
        return ()
    changes = Changes(case, state)
    found = [
        change
        for recipient, mine in versions.items()
        if recipient != CONTRACTOR
        for change in changes.of(recipient, _in_order(mine))
    ]
    told = {change.item for change in found}
    entries = _in_order(versions.get(CONTRACTOR, []))
    own = [change for change in changes.of(CONTRACTOR, entries) if change.item not in told]
    return (*found, *own)


def _to_keep(version: Version, recipient: str, held: Iterable[tuple[str, str]]) -> SentEntry | None:
    """Return what the diary has to keep of a version, or None if it stands there already."""
    entry, before = version.entry, version.before
    told_starts = told_ends = None
    if before is not None and (recipient, base_of(entry.item)) in held:
        told_starts = before.told_starts or before.starts
        told_ends = before.told_ends or before.ends
    kept = SentEntry(
        uid=entry.uid,
        to=recipient,
        item=entry.item,
        of=entry.kind,
        short=entry.short,
        place=entry.place,
        starts=entry.starts,
        ends=entry.ends,
        agreed=entry.agreed,
        sequence=entry.sequence,
        stamp=entry.stamp,
        cancelled=entry.cancelled,
        digest=version.digest,
        after=before.version if before is not None else "",
        told_starts=told_starts,
        told_ends=told_ends,
    )
    if before is None or kept.version != before.version:
        return kept
    same = (before.told_starts, before.told_ends) == (told_starts, told_ends)
    return None if same else kept


def _apart(state: SentState) -> Iterable[str]:
    """Yield a warning where two copies of the folder were both sent from."""
    if not state.clashes:
        return
    writers = sorted({name for pair in state.clashes.values() for name in pair})
    entries = [state.entries[uid] for uid in state.clashes]
    names = ", ".join(sorted({entry.short for entry in entries})[:3])
    yield (
        f"Sent from two copies of this folder, by {' and '.join(writers)}: {names}. What stands"
        " here now goes above both; agree on one sender."
    )


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
