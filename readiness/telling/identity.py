"""The identity of a calendar entry: the same work has the same one for ever.

A receiver matches an update to what it has by this name alone, so it must not depend on dates,
titles, the order of the file or anything that a lost diary takes with it.

Invariant: equal job key, item and trade give the equal identity, on every machine; any other
three give another one.
"""

from __future__ import annotations

from hashlib import sha1

NAMESPACE = bytes.fromhex("5b0f3c7e9d1a4c6e8b27f04d6a91e3c2")
"""Our own name space; changing it would double every entry in every calendar."""

_SEPARATOR = "\x1f"
"""A sign that no key, id or trade can hold, so that three names never run into each other."""


def entry_uid(job_key: str, item: str, trade: str) -> str:
    """Return the identity of what a trade is told about one item of a job.

    Source: RFC 7986, section 5.3 (no host, no address, nothing that tells who made it).
    """
    return named_uuid(NAMESPACE, _SEPARATOR.join((job_key, item, trade)))


def named_uuid(namespace: bytes, name: str) -> str:
    """Return the UUID of a name in a name space, which is the same wherever it is worked out.

    Source: RFC 9562, sections 4.1, 4.2 and 5.5 (UUID version 5).
    """
    digest = bytearray(sha1(namespace + name.encode(), usedforsecurity=False).digest()[:16])
    digest[6] = digest[6] & 0x0F | 0x50
    digest[8] = digest[8] & 0x3F | 0x80
    text = digest.hex()
    return "-".join((text[:8], text[8:12], text[12:16], text[16:20], text[20:]))
