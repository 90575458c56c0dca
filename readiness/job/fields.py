"""What the fields of a job file hold: text, ids, places, days, words with two shapes.

Invariant: a field takes what its type in TOML says and converts nothing silently; `yes`, `1` and
`"true"` are not true.
"""

from __future__ import annotations

import re
import unicodedata
from datetime import date, datetime
from typing import Annotated, Literal

from pydantic import AfterValidator, BeforeValidator, Discriminator, Field, PlainValidator, Tag

from readiness.facts.vocabulary import Order
from readiness.job.dates import (
    clock_of_text,
    read_day,
    read_moment,
    read_plain_day,
)
from readiness.job.written import MisreadError, shown

LONGEST_TEXT = 1000
LONGEST_ID = 60

_ID = re.compile(r"[^\W_]+(?:[-_][^\W_]+)*")
_WORDS = re.compile(r"[^\W_]+(?:[-_ ][^\W_]+)*")
_COUNTRY = re.compile(r"[A-Z]{2}")
_KEY = re.compile(r"[A-Za-z0-9-]{4,64}")

ALL = "all"
ALL_BUT = "all but "


def checked_text(value: str) -> str:
    """Return the text without blanks at its ends.

    Raises:
        MisreadError: It is far too long or holds a sign that can't be seen.
    """
    hidden = next((sign for sign in value if not sign.isprintable()), None)
    if hidden is not None:
        raise MisreadError(
            shown(value),
            "text that can be seen on one line",
            f"it holds U+{ord(hidden):04X} ({_sign_name(hidden)})",
        )
    if len(value) > LONGEST_TEXT:
        raise MisreadError(shown(value), f"text of at most {LONGEST_TEXT} signs")
    return value.strip()


def _sign_name(sign: str) -> str:
    """Return what a sign is called, for signs nobody sees."""
    return {"\n": "a line break", "\t": "a tab"}.get(sign) or unicodedata.name(
        sign, "a control sign"
    ).lower()


def checked_note(value: str) -> str:
    """Return a text of several lines, each without blanks at its end.

    Raises:
        MisreadError: As for a text of one line.
    """
    return "\n".join(checked_text(line.replace("\t", " ")) for line in value.splitlines()).strip()


def checked_id(value: str) -> str:
    """Return the id.

    Raises:
        MisreadError: It is not letters and digits joined by single `-` or `_`, or it is reserved.
    """
    return _checked(value, _ID, 'an id: letters and digits joined by "-", e.g. bath-1')


def checked_words(value: str) -> str:
    """Return the name of a storey or group, which may be several words.

    Raises:
        MisreadError: It is not words of letters and digits, or it is reserved.
    """
    return _checked(value, _WORDS, "a name of letters and digits, e.g. outside walls")


def checked_surface_id(value: str) -> str:
    """Return the id of a surface, with the room before a dot if it is written in one.

    Raises:
        MisreadError: A part of it is no id.
    """
    room, dot, name = value.partition(".")
    return f"{checked_id(room)}.{checked_id(name)}" if dot else checked_id(value)


def _checked(value: str, pattern: re.Pattern[str], wanted: str) -> str:
    if len(value) > LONGEST_ID or not pattern.fullmatch(value):
        raise MisreadError(shown(value), wanted)
    if not unicodedata.is_normalized("NFC", value):
        raise MisreadError(
            shown(value), wanted, "it holds a sign that only looks like a letter; type it anew"
        )
    if value == ALL or value.startswith((ALL_BUT, "all-but-")):
        raise MisreadError(value, wanted, '"all" means every place and can name none')
    return value


def checked_key(value: str) -> str:
    """Return the key of a job.

    Raises:
        MisreadError: It is not 4 to 64 letters, digits and hyphens.
    """
    if not _KEY.fullmatch(value):
        raise MisreadError(shown(value), "a key of 4 to 64 letters and digits, e.g. c1b7d0a29e")
    return value


def checked_country(value: str) -> str:
    """Return the two letters of a country.

    Raises:
        MisreadError: It is not two capital letters.
    """
    if not _COUNTRY.fullmatch(value):
        raise MisreadError(shown(value), "a country as two letters", "write e.g. US, CA or DE")
    return value


def checked_clock(value: str) -> str:
    """Return a time of day as `15:00`, or the empty text.

    Raises:
        MisreadError: It is no time of day.
    """
    return clock_of_text(value).strftime("%H:%M") if value else value


def as_many(value: object) -> object:
    """Return one thing as a list of one, so that brackets round a single place are optional."""
    return value if isinstance(value, list | tuple) else (value,)


def read_done(value: object) -> bool | date | datetime:
    """Return whether or when something was done.

    Raises:
        MisreadError: It is neither true, false nor a day.
    """
    return value if isinstance(value, bool) else _day_or(value, "true or a day")


def _day_or(value: object, wanted: str) -> date | datetime:
    try:
        return read_day(value)
    except MisreadError as error:
        raise MisreadError(error.read, wanted, error.hint) from None


def shape(value: object) -> str:
    """Return which of two shapes a value has: a table, or something plain."""
    return "table" if isinstance(value, dict) else "plain"


def kept(value: object) -> str:
    """Return whether a line says something or, with `false`, removes the usual one."""
    return "removed" if value is False else "row"


Text = Annotated[str, Field(strict=True), AfterValidator(checked_text)]
Note = Annotated[str, Field(strict=True), AfterValidator(checked_note)]
Id = Annotated[str, Field(strict=True), AfterValidator(checked_id)]
Words = Annotated[str, Field(strict=True), AfterValidator(checked_words)]
SurfaceId = Annotated[str, Field(strict=True), AfterValidator(checked_surface_id)]
Key = Annotated[str, Field(strict=True), AfterValidator(checked_key)]
Country = Annotated[str, Field(strict=True), AfterValidator(checked_country)]
Clock = Annotated[Text, AfterValidator(checked_clock)]

Truth = Annotated[bool, Field(strict=True)]
Count = Annotated[int, Field(strict=True, ge=1, le=50)]
Weight = Annotated[float, Field(strict=True, gt=0, le=1_000_000, allow_inf_nan=False)]
Factor = Annotated[float, Field(strict=True, ge=0.2, le=10, allow_inf_nan=False)]
"""How many times as long; 1 is the open wall."""
Rating = Annotated[int, Field(strict=True, ge=0, le=2000)]
"""An index of a fire test."""
Money = Annotated[float, Field(strict=True, ge=0, le=10_000_000, allow_inf_nan=False)]
"""An amount in the currency of the job."""

Day = Annotated[
    date | datetime, PlainValidator(read_day, json_schema_input_type=date | datetime | str)
]
"""A day, or a moment of it; a day alone is read to the disadvantage of readiness."""

PlainDay = Annotated[date, PlainValidator(read_plain_day, json_schema_input_type=date | str)]
Moment = Annotated[datetime, PlainValidator(read_moment, json_schema_input_type=datetime | str)]
"""A wall-clock time at the site."""

Done = Annotated[
    bool | date | datetime,
    PlainValidator(read_done, json_schema_input_type=bool | date | datetime | str),
]

Places = Annotated[
    tuple[Text, ...], BeforeValidator(as_many, json_schema_input_type=str | list[str])
]
"""Ids of rooms, surfaces, storeys or groups, `all`, or one `all but NAME`."""

DaysByPlace = Annotated[
    Annotated[Places, Tag("plain")] | Annotated[dict[Text, Day], Tag("table")],
    Discriminator(shape),
]
"""Places, or the day of each place."""

OrderByPlace = Annotated[
    Annotated[Order, Tag("plain")] | Annotated[dict[Text, Order], Tag("table")],
    Discriminator(shape),
]
"""One foam order, or one per surface, group or kind of surface."""

Removed = Literal[False]
