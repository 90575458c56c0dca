"""What could be changed about a job, one entry of a finite list made in advance.

A change is exact: it has its instant, its price and whom it touches before any search begins, and
what it writes into the diary is fixed.

Invariant: two changes of one group exclude each other, and a change never makes evidence.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any


class ChangeKind(StrEnum):
    """What is done."""

    BOOK = "book"
    """A work is booked at another opening of its crew."""
    ARRIVE = "arrive"
    """The rig arrives at another hour of the day."""
    PULL = "pull"
    """A fixed thing is pulled and set again after the release."""
    SEAL = "seal"
    """A surface is reserved, and sealed by hand instead of by gun."""
    BAY = "bay"
    """The bay behind a thing is reserved, and sealed by hand; the thing stays where it is."""
    CREW = "crew"
    """One more crew is brought for a work, so that several places are worked at once."""
    RIG = "rig"
    """One more rig sprays on the asked trip, so that the place is released sooner."""
    FIRST = "first"
    """One storey of a work comes before the others."""
    EXTRA = "extra"
    """A trade comes on a day on which it does not work otherwise."""
    EVENING = "evening"
    """A trade works on into the evening of a day on which it is there anyway."""
    FAST = "fast"
    """A work is done the fast way that its line names."""
    DRY = "dry"
    """Heat or a dehumidifier runs, so that something dries sooner."""
    SLOT = "slot"
    """An office is asked for an earlier slot than the one it has confirmed."""
    PART = "part"
    """An office is asked to see a part first, so that what waits for its look begins there."""
    LEAVE = "leave"
    """Surfaces are left to another trip."""


TAKES_OUT = frozenset({ChangeKind.LEAVE, ChangeKind.SEAL})
"""Kinds that take a surface out of the asked trip."""

OF_A_STAY = frozenset(
    {
        ChangeKind.CREW,
        ChangeKind.FIRST,
        ChangeKind.FAST,
        ChangeKind.DRY,
        ChangeKind.SLOT,
        ChangeKind.PART,
    }
)
"""Kinds that act on one work, or on the looks of one approval, and on nothing else."""

OF_A_TRADE = frozenset({ChangeKind.EXTRA, ChangeKind.EVENING})
"""Kinds that act on all work of one trade."""

LAID_OUT_ANEW = (TAKES_OUT | OF_A_STAY | OF_A_TRADE | {ChangeKind.RIG, ChangeKind.BAY}) - {
    ChangeKind.SLOT
}
"""Kinds after which the site is laid out anew."""


@dataclass(frozen=True, slots=True)
class Charge:
    """One item of a bill; charges of one key are paid once, however many changes bring them."""

    key: str
    label: str
    """What is paid for, in words."""
    cents: int | None
    """None if its price is not written."""
    wanted: str = ""
    """The keys of `[costs]` that are missing for it."""
    price: str = ""
    """The key of `[costs]` that it is reckoned with."""
    days: float = 0.0
    """Working days of a trade's crew that a further keep-out costs."""


@dataclass(frozen=True, slots=True)
class Change:
    """One thing that could be changed."""

    id: str
    kind: ChangeKind
    group: str
    """At most one change of a group can be chosen."""
    about: str
    """Id of the work, trip, trade, thing, approval or surface."""
    at: int
    """Its instant; of changes of one group the earlier ones come earlier."""
    fields: tuple[Mapping[str, Any], ...]
    """What it writes into the diary, as lines are written; see `writing.entries_of`."""
    says: str
    """What is done, as a clause: `move the tub from Mon 11 May to Thu 14 May 07:00`."""
    tells: frozenset[str]
    """Trades, offices and roles to tell."""
    charges: tuple[Charge, ...] = ()
    brings: tuple[str, ...] = ()
    """What comes with it, in words."""
    caution: str = ""
    surfaces: tuple[str, ...] = ()
    """What is taken out of the trip."""
    trip: str = ""
    """The trip that a surface is left to."""
    leaves: str = ""
    """The surfaces that are left to it, in words."""
    is_new: bool = False
    """That trip is a further one, without a date."""
    until: int = 0
    """When a pulled thing comes back."""


@dataclass(frozen=True, slots=True)
class Offer:
    """All that could be changed for one asked day, and what every way brings with it."""

    changes: tuple[Change, ...]
    """By id."""
    tells: frozenset[str]
    """Whom every way has to tell, because the trip itself is booked to the asked day."""
    charges: tuple[Charge, ...]
    """What every way costs."""
    fields: tuple[Mapping[str, Any], ...]
    """What every way writes."""
    says: str
    """What every way does; empty if the trip is booked there already."""
    notes: tuple[str, ...] = ()
    """What could not be offered, and why."""

    def of(self, name: str) -> Change:
        """Return the change of that id."""
        return next(change for change in self.changes if change.id == name)
