"""Text that may leave the house: free of signs that break a line, a property or a reader.

The library writes some properties as they come and lets control characters through, so everything
that people typed passes through here first.

Invariant: no control character is left but the newline, no half of a surrogate pair, and no sign
that makes a text read in another order than it is written.
"""

from __future__ import annotations

import re

_LINE_ENDS = re.compile("\r\n|[\r\n\v\f\x1c\x1d\x1e\x85\u2028\u2029]")
_CONTROLS = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f]")
_UNSEEN = re.compile("[\u200b\u200e\u200f\u202a-\u202e\u2066-\u2069\ufeff]")
"""Signs without a shape that turn the direction of what follows, or hide in a word."""
_SURROGATES = re.compile("[\ud800-\udfff]")


def clean_text(text: str) -> str:
    """Return a text whose lines end with a newline and that holds no other control character.

    Source: RFC 5545, section 3.1 (CONTROL may not occur) and 3.3.11.
    """
    text = _SURROGATES.sub("\ufffd", text)
    text = _LINE_ENDS.sub("\n", text).replace("\t", " ")
    return _UNSEEN.sub("", _CONTROLS.sub("", text))


def clean_line(text: str) -> str:
    """Return a text on one line, its white space single."""
    return " ".join(clean_text(text).split())


def plain_name(text: str) -> str:
    """Return a name without the signs that some readers show with a backslash."""
    return clean_line(re.sub(r"[,;\\]", " ", text))
