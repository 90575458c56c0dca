"""An address as a square that a camera reads.

Invariant: what a reader takes out is the address, sign by sign.
Source: ISO/IEC 18004 asks for a light margin of four fields (from memory).
"""

from __future__ import annotations

import segno

from readiness.pages.paper_phone import QrCode

MARGIN = 4


def qr_code(address: str) -> QrCode:
    """Return the code of an address, which a smudge on the glass does not spoil."""
    rows = segno.make(address, error="m", micro=False).matrix
    path = []
    for y, row in enumerate(rows):
        x = 0
        while x < len(row):
            length = 1
            while x + length < len(row) and row[x + length] == row[x]:
                length += 1
            if row[x]:
                path.append(f"M{x + MARGIN} {y + MARGIN}h{length}v1h-{length}z")
            x += length
    return QrCode(len(rows) + 2 * MARGIN, "".join(path))
