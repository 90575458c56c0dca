"""What a diary keeps for the closing record.

Invariant: what looks private stays at home, also in the name of a picture.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.diary.kept import Picture, pictures_in
from readiness.exchange.private_words import looks_private

if TYPE_CHECKING:
    from readiness.desk.desk import Desk


def pictures_of(desk: Desk, as_of: int) -> tuple[Picture, ...]:
    """Return the pictures that a diary names by a moment, those with private names left out."""
    pictures = pictures_in(desk.kept_notes(as_of))
    return tuple(picture for picture in pictures if not looks_private(picture.reference))
