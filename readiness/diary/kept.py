"""What a diary keeps for later that no verdict reads: pictures by name.

Invariant: a picture is told by its name and its places; nothing that was only remarked is here.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING

from readiness.diary.entries import Photo

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.diary.history import Noted


@dataclass(frozen=True, slots=True)
class Picture:
    """One picture by its name."""

    reference: str
    places: tuple[str, ...]
    on: date | datetime
    by: str


def pictures_in(notes: Iterable[Noted]) -> tuple[Picture, ...]:
    """Return the pictures that entries name, in their order."""
    return tuple(
        Picture(noted.entry.reference, noted.entry.places, noted.entry.seen, noted.entry.by)
        for noted in notes
        if isinstance(noted.entry, Photo)
    )
