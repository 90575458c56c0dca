"""How often somebody may ask: a budget for each, refilled as time goes by.

Invariant: however many people ask, only so many budgets are remembered; who is forgotten was the
longest without a question.
"""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Rate:
    """So many questions at once, and so many a second in the long run."""

    at_once: float
    per_second: float


class Budgets:
    """The budgets of all who ask."""

    def __init__(self, rate: Rate, most: int = 10_000) -> None:
        """Remember the last so many who asked."""
        self._rate = rate
        self._most = most
        self._left: OrderedDict[str, tuple[float, float]] = OrderedDict()

    def wait(self, who: str, now: float) -> float:
        """Take one question out of somebody's budget.

        Args:
            who: Whoever asks.
            now: Seconds on a clock that never goes back.

        Returns:
            0 if it may be answered, else the seconds until the next one may.
        """
        left, since = self._left.pop(who, (self._rate.at_once, now))
        left = min(self._rate.at_once, left + (now - since) * self._rate.per_second)
        wait = 0.0
        if left >= 1:
            left -= 1
        else:
            wait = (1 - left) / self._rate.per_second
        self._left[who] = (left, now)
        while len(self._left) > self._most:
            self._left.popitem(last=False)
        return wait
