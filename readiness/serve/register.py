"""Which token opens which share, as the file of shares stands at this request.

Invariant: a token is compared with every share, each in the same time whatever it holds, so the
time of a refusal tells nothing; a share that was taken back opens nothing from the next request on.
"""

from __future__ import annotations

from hmac import compare_digest
from typing import TYPE_CHECKING

from readiness.desk.shares import digest_of, read_shares
from readiness.desk.stamps import is_settled, stamp_of

if TYPE_CHECKING:
    from pathlib import Path

    from readiness.desk.shares import Share
    from readiness.desk.stamps import Stamp


class Register:
    """The shares of this user."""

    def __init__(self, file: Path) -> None:
        """Read nothing yet."""
        self._file = file
        self._stamp: Stamp | None = None
        self._shares: tuple[tuple[str, Share], ...] = ()

    def find(self, token: str) -> Share | None:
        """Return what a token opens, or None.

        Raises:
            JobFileError: The file of shares can't be used; then nothing is opened.
        """
        stamp = stamp_of(self._file)
        if self._stamp != stamp:
            self._stamp = None
            settled = is_settled(stamp)
            self._shares = tuple((share.digest, share) for share in read_shares(self._file))
            self._stamp = stamp if settled else None
        asked = digest_of(token)
        found = None
        for digest, share in self._shares:
            if compare_digest(digest, asked):
                found = share
        return found
