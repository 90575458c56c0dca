"""Text that people type, made plain enough to be read, and the error when it can't be read.

Invariant: nothing is guessed; what has no single reading raises `MisreadError`, which says what
was read, what is wanted and, where known, how to write it.
"""

from __future__ import annotations

import re
from fractions import Fraction
from typing import TYPE_CHECKING, Any, ClassVar, Self

if TYPE_CHECKING:
    from pydantic_core import CoreSchema

LONGEST_QUANTITY = 80
"""Characters; longer text is no quantity, whatever it holds."""

NUMBER = r"[0-9]{1,9}(?:\.[0-9]{1,9})?"
"""ASCII digits only: other digits look alike and are typed by nobody on purpose."""

MIXED = rf"(?:[0-9]{{1,9}}(?: | ?- ?)[0-9]{{1,4}}/[0-9]{{1,4}}|[0-9]{{1,4}}/[0-9]{{1,4}}|{NUMBER})"
"""A number with an optional fraction: `3 1/2`, `3-1/2`, `1/2`, `3.5`."""

_SAME_MARKS = str.maketrans(
    {
        "″": '"', "”": '"', "“": '"', "„": '"', "＂": '"',
        "′": "'", "’": "'", "‘": "'", "ʹ": "'",
        "−": "-", "–": "-", "—": "-", "‐": "-", "‑": "-",
        "\u00a0": " ", "\u2009": " ", "\u202f": " ", "\t": " ",
        "×": "x", "²": "2", "º": "°", "˚": "°", "⁄": "/",
        "½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅓": " 1/3", "⅔": " 2/3",
        "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8",
        "℃": "°C", "℉": "°F",
    }
)  # fmt: skip


class MisreadError(ValueError):
    """Text that can't be read as what its field wants."""

    def __init__(self, read: object, wanted: str, hint: str = "") -> None:
        """Keep the parts, so that each screen can build its own sentence."""
        self.read = str(read)
        self.wanted = wanted
        self.hint = hint
        super().__init__(f"{self.read!r} is not {wanted}" + (f"; {hint}" if hint else ""))


def plain(text: str) -> str:
    """Return the text in lower case with the marks of one keyboard and single spaces.

    People paste curly quotes, primes, dashes, narrow spaces and vulgar fractions; each has one
    reading in a quantity, so each becomes the sign that every keyboard has.
    """
    same = text.translate(_SAME_MARKS).replace("''", '"').lower()
    return " ".join(same.split())


def number(text: str) -> Fraction:
    """Return the exact value of a number that matches `MIXED`.

    Raises:
        ZeroDivisionError: The fraction has no value.
    """
    return sum((Fraction(part) for part in re.split(r"[ -]+", text)), Fraction(0))


def decimal_text(value: Fraction, digits: int = 2) -> str:
    """Return the value with at most so many decimals and no zeros at its end."""
    told = f"{float(value):.{digits}f}"
    return told.rstrip("0").rstrip(".") if "." in told else told


class FromText:
    """What every value has that is written as text in a job file and shown as it was written."""

    __slots__ = ()

    wanted: ClassVar[str] = ""
    """What the field wants, with its article, for sentences."""
    examples: ClassVar[tuple[str, ...]] = ()
    """How it is written, for hints and for the schema of the job file."""

    @classmethod
    def parse(cls, text: str) -> Self:
        """Return the value a text says.

        Raises:
            MisreadError: The text has no single reading.
        """
        raise NotImplementedError

    @classmethod
    def from_written(cls, value: object) -> Self:
        """Return the value of what stands in a file, whatever its type there.

        Raises:
            MisreadError: It is neither such a value nor text that says one.
        """
        if isinstance(value, cls):
            return value
        if isinstance(value, str):
            return cls.parse(value)
        raise MisreadError(shown(value), cls.wanted, f"write it as text, e.g. {cls.example()}")

    @classmethod
    def example(cls) -> str:
        """Return the first example as it would stand in the file."""
        return f'"{cls.examples[0]}"'

    @classmethod
    def __get_pydantic_core_schema__(cls, _source: object, _handler: object) -> CoreSchema:
        """Let a model read the value from text and give back the text."""
        from pydantic_core import core_schema

        return core_schema.no_info_plain_validator_function(
            cls.from_written,
            serialization=core_schema.plain_serializer_function_ser_schema(
                _as_written, return_schema=core_schema.str_schema()
            ),
        )

    @classmethod
    def __get_pydantic_json_schema__(cls, _schema: object, _handler: object) -> dict[str, Any]:
        """Describe the text for editors."""
        return {"type": "string", "description": cls.wanted, "examples": list(cls.examples)}


def _as_written(value: object) -> str:
    """Return what was written; every subclass keeps it beside its value."""
    written: str = getattr(value, "written", str(value))
    return written


def shown(value: object) -> str:
    """Return a value of a file as it would be typed there, cut to a length a sentence bears."""
    if isinstance(value, bool):
        told = "true" if value else "false"
    elif isinstance(value, dict):
        told = "{ ... }" if value else "{ }"
    elif isinstance(value, list | tuple):
        told = "[ ... ]" if value else "[ ]"
    else:
        told = "".join(
            mark if mark.isprintable() else f"<U+{ord(mark):04X}>" for mark in str(value)
        )
    return told if len(told) <= LONGEST_QUANTITY else f"{told[:LONGEST_QUANTITY]}..."
