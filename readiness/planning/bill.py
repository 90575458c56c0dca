"""Adds up what a set of changes costs, and whom it makes somebody call.

Invariant: a charge that several changes bring is paid once, and a price that is not written is
never taken for nothing: the sum says what it leaves out.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.planning.change import Change, Charge, Offer


@dataclass(frozen=True, slots=True)
class Bill:
    """What a way costs."""

    charges: tuple[Charge, ...]
    people: frozenset[str]

    @property
    def cents(self) -> int:
        """Return the sum of what has a price."""
        return sum(charge.cents or 0 for charge in self.charges)

    @property
    def unpriced(self) -> tuple[str, ...]:
        """Return what has none, in words, each once."""
        return tuple(dict.fromkeys(charge.label for charge in self.charges if charge.cents is None))


def bill_of(offer: Offer, changes: Iterable[Change]) -> Bill:
    """Return the bill of the changes, with what every way brings."""
    chosen = tuple(changes)
    charges = {charge.key: charge for charge in offer.charges}
    for change in chosen:
        charges.update({charge.key: charge for charge in change.charges})
    people = offer.tells.union(*(change.tells for change in chosen))
    return Bill(tuple(charges.values()), people)


def is_priced(offer: Offer) -> bool:
    """Say whether every change of the list has a price, so that sums can be compared."""
    return all(charge.cents is not None for change in offer.changes for charge in change.charges)


def rank_of(offer: Offer, chosen: Iterable[Change]) -> tuple[int, int, int, int]:
    """Return the key by which the best way is the smallest: cost, people, changes, ids.

    Without a price for everything on the list the cost plays no part. Ids break ties by the sum of
    their positions in the list.
    """
    changes = tuple(chosen)
    bill = bill_of(offer, changes)
    position = {change.id: number for number, change in enumerate(offer.changes, 1)}
    return (
        bill.cents if is_priced(offer) else 0,
        len(bill.people),
        len(changes),
        sum(position[change.id] for change in changes),
    )
