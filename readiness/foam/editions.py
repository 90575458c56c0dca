"""Which edition and which climate zone a job names, and which rows speak for them.

Invariant: an edition or a zone that no row names gives no row, never the nearest one.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Iterable

CANADA = "NBC"
"""The national code of Canada; the copies that were seen don't tell their edition."""

KNOWN = ("IRC 2009", "IRC 2012", "IRC 2015", "IRC 2018", "IRC 2021", CANADA)

_IRC = r"(?:irc|international residential code)[ ,]*((?:19|20)[0-9]{2})|((?:19|20)[0-9]{2}) irc"
_NBC = r"(?:nbc|national building code)(?: of canada)?\b.*"
_ZONE = r"(?:zone )?([1-8])(?: ?([abc]))?( marine)?|(marine) ?(?:zone )?4"


class Zone(NamedTuple):
    """A climate zone: its number, and the letter of its moisture."""

    number: int
    letter: str = ""

    @property
    def name(self) -> str:
        """Return how it is written."""
        return f"{self.number}{self.letter}"


def edition_of(code: str) -> str:
    """Return the edition that a text names, in one spelling; empty if it is none we know."""
    said = " ".join(code.casefold().split())
    if match := re.fullmatch(_IRC, said):
        edition = f"IRC {match[1] or match[2]}"
        return edition if edition in KNOWN else ""
    return CANADA if re.fullmatch(_NBC, said) else ""


def zone_of(climate: str) -> Zone | None:
    """Return the climate zone that a text names, or None."""
    match = re.fullmatch(_ZONE, " ".join(climate.casefold().split()))
    if match is None:
        return None
    if match[4]:
        return Zone(4, "C")
    return Zone(int(match[1]), "C" if match[3] else (match[2] or "").upper())


def speaks_for(zones: Iterable[str], zone: Zone | None) -> bool:
    """Say whether a row's zones hold a zone; `5` speaks for `5A`, `4A` only for itself."""
    if zone is None:
        return False
    return any(one in (zone.name, str(zone.number)) for one in zones)


def needs_letter(zones: Iterable[str], zone: Zone | None) -> bool:
    """Say whether the answer hangs on a letter that the job leaves out."""
    return (
        zone is not None
        and not zone.letter
        and any(one.startswith(str(zone.number)) and one[1:] for one in zones)
    )
