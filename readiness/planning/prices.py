"""The charges of changes, from the prices that the job file writes.

Invariant: a price that is not written stays unknown; nothing here has a price of its own.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from readiness.planning.change import Charge

if TYPE_CHECKING:
    from readiness.job.cost_rows import CostsRow


@dataclass(frozen=True, slots=True)
class Prices:
    """The prices of one job."""

    row: CostsRow

    @property
    def are_written(self) -> bool:
        """Say whether the job has any price."""
        return bool(self.row.model_fields_set - {"currency"})

    def charge(self, price: str, key: str, label: str) -> Charge:
        """Return a charge of one of the single prices, e.g. `move`."""
        amount = getattr(self.row, price)
        wanted = "" if amount is not None else price
        return Charge(key, label, _cents(amount), wanted, price)

    def times(self, count: float, price: str, key: str, label: str) -> Charge:
        """Return the charge for so many of something that has a single price."""
        amount = getattr(self.row, price)
        whole = None if amount is None else amount * count
        return Charge(key, label, _cents(whole), "" if amount is not None else price, price)

    def written(self, amount: float | None, key: str, label: str, price: str) -> Charge:
        """Return the charge of a price that stands with the work itself."""
        return Charge(key, label, _cents(amount), "" if amount is not None else price, price)

    def trade_time(self, trade: str, days: float, key: str, label: str) -> Charge:
        """Return the charge for working days of a trade's crew."""
        a_day = self.row.trade_days.get(trade, self.row.trade_day)
        price = f"trade_days.{trade}" if trade in self.row.trade_days else "trade_day"
        if days == 0:
            return Charge(key, label, 0)
        return Charge(
            key,
            label,
            _cents(a_day * days) if a_day is not None else None,
            "" if a_day is not None else price,
            price,
        )


def _cents(amount: float | None) -> int | None:
    return None if amount is None else round(amount * 100)


def told_cents(cents: int, currency: str) -> str:
    """Return an amount as people write it: `1,250 USD`, cents only where there are some."""
    whole, rest = divmod(cents, 100)
    number = f"{whole:,}" + (f".{rest:02}" if rest else "")
    return f"{number} {currency}".strip()
