"""What is sent: bytes, their type, and the tag by which a reader knows that it has them already.

Invariant: equal bytes have the equal tag; packed ones have a tag of their own and unpack to them.
"""

from __future__ import annotations

import gzip
import re
from dataclasses import dataclass
from hashlib import sha256

HTML = b"text/html; charset=utf-8"
CALENDAR = b"text/calendar; charset=utf-8"

_TAG = re.compile(r'(?:W/)?("[\x21\x23-\x7e\x80-\xff]*")')
_WEIGHT = re.compile(r";\s*q\s*=\s*([01](?:\.[0-9]{0,3})?)\s*$", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Form:
    """One way to send a sheet."""

    body: bytes
    tag: str
    """Quoted, as the header has it."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """One page or one calendar."""

    kind: bytes
    """Its type, as the header has it."""
    plain: Form
    packed: Form


def sheet_of(kind: bytes, body: bytes) -> Sheet:
    """Return bytes ready to be sent."""
    name = sha256(body).hexdigest()[:32]
    packed = gzip.compress(body, mtime=0)
    return Sheet(kind, Form(body, f'"{name}"'), Form(packed, f'"{name}-gz"'))


def takes_packed(accepted: str) -> bool:
    """Say whether a reader takes gzip.

    Source: RFC 9110, section 12.5.3; a weight of 0 means that it does not.
    """
    weights: dict[str, float] = {}
    for part in accepted.split(","):
        name = part.partition(";")[0].strip().casefold()
        weight = _WEIGHT.search(part)
        weights[name] = float(weight[1]) if weight else 1.0
    return weights.get("gzip", weights.get("x-gzip", weights.get("*", 0.0))) > 0


def has_already(tag: str, known: str) -> bool:
    """Say whether a reader names what it would be sent.

    Args:
        tag: Of what it would be sent.
        known: Its header If-None-Match.

    Source: RFC 9110, section 13.1.2 (weak comparison; `*` stands for anything).
    """
    return known.strip() == "*" or tag in _TAG.findall(known)
