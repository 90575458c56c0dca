"""What the questions of `new` understand: a place, rooms by storey, a firm with its number.

Invariant: an answer that can't be used is refused with a hint, so that it can be asked again.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from readiness.facts.vocabulary import RoomKind
from readiness.job.fields import checked_id, checked_text, checked_words
from readiness.job.written import MisreadError, shown
from readiness.site.calendars import public_holidays

if TYPE_CHECKING:
    from collections.abc import Mapping

YEAR_TO_TRY = 2026
"""Any year shows whether the holidays of a country and state are known."""

_PHONE = re.compile(r"[+(]?[0-9][0-9 ().-]{4,}")
_NAME_AND_PHONE = re.compile(rf"(.*?)[ ,]+({_PHONE.pattern})")
_COUNTRY = re.compile(r"[A-Z]{2}")

ROOM_WORDS = {
    "master": RoomKind.BEDROOM,
    "bed": RoomKind.BEDROOM,
    "bath": RoomKind.BATH,
    "powder": RoomKind.BATH,
    "toilet": RoomKind.BATH,
    "kitchen": RoomKind.KITCHEN,
    "laundry": RoomKind.LAUNDRY,
    "mechanical": RoomKind.MECHANICAL,
    "furnace": RoomKind.MECHANICAL,
    "utility": RoomKind.MECHANICAL,
    "crawl": RoomKind.CRAWL_SPACE,
    "basement": RoomKind.BASEMENT,
    "cellar": RoomKind.BASEMENT,
    "garage": RoomKind.GARAGE,
    "attic": RoomKind.ATTIC,
    "loft": RoomKind.ATTIC,
    "shop": RoomKind.SHOP,
    "hall": RoomKind.HALL,
    "landing": RoomKind.HALL,
    "entry": RoomKind.HALL,
    "stair": RoomKind.HALL,
    "living": RoomKind.LIVING,
    "dining": RoomKind.LIVING,
    "family": RoomKind.LIVING,
    "den": RoomKind.LIVING,
}
"""Beginnings of words in a room's name that tell its kind; the first that fits wins."""


@dataclass(frozen=True, slots=True)
class Where:
    """Country, state and time zone of a site."""

    country: str
    state: str
    time_zone: str


@dataclass(frozen=True, slots=True)
class Room:
    """A room as it was named."""

    id: str
    name: str
    storey: str
    kind: RoomKind


@dataclass(frozen=True, slots=True)
class Firm:
    """A firm or person, and the number to call."""

    name: str
    phone: str = ""


def read_where(text: str) -> Where:
    """Return the place that `US OH America/New_York` names; a state is not always needed.

    Raises:
        MisreadError: The country has no known holidays, or there is no such zone.
    """
    words = text.replace(",", " ").split()
    zones = [word for word in words if "/" in word or word == "UTC"]
    rest = [word.upper() for word in words if word not in zones]
    if len(zones) != 1 or not 1 <= len(rest) <= 2:  # noqa: PLR2004  country, perhaps a state
        hint = "write e.g. US OH America/New_York or CA ON America/Toronto"
        raise MisreadError(shown(text), "country, state or province, time zone", hint)
    try:
        ZoneInfo(zones[0])
    except (LookupError, ValueError, OSError):
        hint = "zones are named like America/Denver; capitals count"
        raise MisreadError(zones[0], "a time zone", hint) from None
    country, state = rest[0], rest[1] if len(rest) > 1 else ""
    try:
        if not _COUNTRY.fullmatch(country):
            raise NotImplementedError  # noqa: TRY301  told as one with what the library refuses
        public_holidays(country, state, YEAR_TO_TRY)
    except NotImplementedError:
        hint = "two letters each, e.g. US OH; leave the state out if its holidays are not known"
        raise MisreadError(" ".join(rest), "a country and its state", hint) from None
    return Where(country, state, zones[0])


def read_firm(text: str) -> Firm:
    """Return the firm and number of `Corliss Foam, 555-0121`; a dash means not known yet.

    Raises:
        MisreadError: There is a number and no name.
    """
    said = checked_text(text)
    if said in {"", "-"}:
        return Firm("")
    match = _NAME_AND_PHONE.fullmatch(said)
    name, phone = match.groups() if match else (said, "")
    if not name or _PHONE.fullmatch(name):
        raise MisreadError(
            shown(text), "a name, then a number", "write e.g. Corliss Foam, 555-0121"
        )
    return Firm(name, phone)


def read_rooms(text: str) -> tuple[Room, ...]:
    """Return the rooms of `ground: hall, kitchen; upper: bath, bedroom 1`.

    Raises:
        MisreadError: A name is none, or two rooms have the same one.
    """
    rooms: dict[str, Room] = {}
    storeys = [part for part in text.split(";") if part.strip()]
    for number, part in enumerate(storeys, 1):
        label, colon, names = part.partition(":")
        storey = checked_words(label.strip()) if colon else _storey(number, len(storeys))
        for name in (names if colon else part).split(","):
            if name.strip():
                room = _room(name.strip(), storey, rooms)
                rooms[room.id] = room
    if not rooms:
        hint = "write e.g. ground: hall, kitchen; upper: bath, bedroom 1"
        raise MisreadError(shown(text), "rooms, storey by storey", hint)
    for room in rooms.values():
        if room.id in {each.storey for each in rooms.values()}:
            raise MisreadError(room.name, "a room", "a storey has that name; rename one of them")
    return tuple(rooms.values())


def _storey(number: int, count: int) -> str:
    return "ground" if count == 1 else f"storey {number}"


def _room(name: str, storey: str, taken: Mapping[str, Room]) -> Room:
    """Return a room by its name; the same name on another storey gets the storey with it."""
    said = checked_text(name)
    known = _id_of(said)
    if known in taken and taken[known].storey != storey:
        known = _id_of(f"{storey} {said}")
    if known in taken:
        raise MisreadError(shown(name), "a room by its own name", "number equal rooms: bedroom 1")
    kind = next(
        (
            kind
            for word in said.casefold().split()
            for start, kind in ROOM_WORDS.items()
            if word.startswith(start)
        ),
        RoomKind.OTHER,
    )
    return Room(checked_id(known), said[:1].upper() + said[1:], storey, kind)


def _id_of(name: str) -> str:
    """Return a name as an id: `Bedroom 1` becomes `bedroom-1`, accents left out."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode()
    return "-".join(re.findall(r"[a-z0-9]+", plain.casefold()))
