"""Whoever waits for a search hears what is looked at next, and may end it.

A search of the solver can't look up while it runs, so whoever watches is handed what stops it.
Invariant: watching changes no answer; a search that was stopped has none.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from collections.abc import Callable


class Watch(Protocol):
    """Hears what is looked at next; what it raises ends the whole search."""

    def __call__(self, says: str, stop: Callable[[], None]) -> None:
        """Hear it.

        Args:
            says: What is looked at, in words.
            stop: Ends what is looked at early, called from another thread.
        """


def unwatched(says: str, stop: Callable[[], None]) -> None:
    """Watch nothing."""
    del says, stop


def nothing_to_stop() -> None:
    """Stop nothing: what is looked at takes no time that counts."""
