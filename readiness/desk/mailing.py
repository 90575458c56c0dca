"""Who of a job can be mailed, and in whose name.

Invariant: what is no plain address is never written into the head of a mail.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.exchange.mail_file import Organizer, is_address
from readiness.job.problems import JobFileError, Problem
from readiness.telling.recipients import CONTRACTOR

if TYPE_CHECKING:
    from readiness.desk.desk import Desk


def addresses_of(desk: Desk) -> dict[str, str]:
    """Return the plain mail addresses of the trades."""
    return {
        name: row.email
        for name, row in desk.case().site.job.trades.items()
        if is_address(row.email)
    }


def organizer_of(desk: Desk) -> Organizer:
    """Return who invites: the contractor.

    Raises:
        JobFileError: No mail address of the contractor is written, so no answer would come back.
    """
    address = addresses_of(desk).get(CONTRACTOR)
    if address is None:
        key = f"trades.{CONTRACTOR}.email"
        what = "is missing: invitations need an address that answers go to"
        hint = f'write {CONTRACTOR} = {{ email = "..." }} in [trades]; nothing was written'
        raise JobFileError([Problem(desk.file.name, None, key, what, hint=hint)])
    who = desk.case().teller.who(CONTRACTOR)
    return Organizer(who.name, address)
