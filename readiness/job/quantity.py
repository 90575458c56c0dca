"""How a text that is no quantity is refused, so that all kinds of quantity refuse alike.

Invariant: every refusal is a `QuantityError` that says what is wanted and how to write it.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Literal

from readiness.job.written import LONGEST_QUANTITY, MisreadError, plain, shown

if TYPE_CHECKING:
    from readiness.job.written import FromText

Units = Literal["US", "metric"]
"""In which units a quantity is shown; it stays what was written."""


class QuantityError(MisreadError):
    """Text that is no quantity of the kind its field wants."""


def check_length_of(text: str, wanted: str) -> str:
    """Return the plain text of a quantity.

    Raises:
        QuantityError: It is far too long to be one.
    """
    if len(text) > LONGEST_QUANTITY:
        raise QuantityError(shown(text), wanted)
    return plain(text)


def refusal(text: str, said: str, kind: type[FromText]) -> QuantityError:
    """Return the error for a text that no pattern of its kind fits."""
    return QuantityError(shown(text), kind.wanted, _hint(said, kind))


def _hint(said: str, kind: type[FromText]) -> str:
    """Return how to write it, from the slip that is most likely."""
    example = kind.example()
    if not said:
        return f"write e.g. {example}"
    if re.search(r"[0-9],[0-9]", said):
        return "a comma has two readings; write 1200 or 1.2"
    if re.fullmatch(r"[+-]?[0-9./ ]+", said):
        return f"a number needs its unit, e.g. {example}"
    if re.fullmatch(r"[0-9.]+ ?' ?[0-9.]+", said):
        return 'say the unit of the second number too, e.g. "8 ft 6 in"'
    if said.startswith("-"):
        return "it can't be negative"
    return f"write e.g. {example}"
