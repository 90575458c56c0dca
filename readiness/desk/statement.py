"""Who says what for the diary, before and after it is written.

Invariant: a writer has a name; a role that is not known stays unknown.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING, Any

from readiness.exchange.note_listener import NoteRefused
from readiness.facts.vocabulary import Role

if TYPE_CHECKING:
    from readiness.desk.desk import Desk
    from readiness.diary.entries import AnyEntry


@dataclass(frozen=True, slots=True)
class Writer:
    """Whoever writes: whose file, whose words, in which role."""

    name: str
    role: Role | None
    """None is unknown: may remark, and say what was seen, but never override."""
    trade: str = ""

    @property
    def file_name(self) -> str:
        """Return the name of their diary file."""
        plain = "".join(sign if sign.isalnum() else "-" for sign in self.name.casefold())
        return "-".join(piece for piece in plain.split("-") if piece) or "nobody"


CALLED = {"inspector": Role.OFFICE.value, "lead": Role.CREW_LEAD.value, "gc": Role.CONTRACTOR.value}
"""What people call a role, by the words that they say for it."""


def writer_of(text: str) -> Writer:
    """Return the writer of `NAME, ROLE`; the role may be a trade of the job.

    Raises:
        NoteRefused: There is no name.
    """
    name, _, role = (piece.strip() for piece in text.partition(","))
    if not name:
        message = "the writer has no name"
        raise NoteRefused(message, 'write it like: --writer "Dana Ruiz, contractor"')
    folded = CALLED.get(role.casefold(), role.casefold())
    if not role:
        return Writer(name, None)
    if folded in set(Role):
        return Writer(name, Role(folded))
    return Writer(name, Role.TRADE, folded)


@dataclass(frozen=True, slots=True)
class Statement:
    """What one line says, by whom, and when it was so."""

    fields: dict[str, Any]
    """As `note_fields` gives them."""
    author: Writer
    seen: date | datetime | None = None
    """None means now; for a correction, when the corrected entry was so."""
    how: str = ""
    """How it is known, where the line itself does not say."""
    replaces: str = ""
    """The entry it corrects, as `writer#number`, or `last` for the newest in the writer's file."""


@dataclass(frozen=True, slots=True)
class Noted:
    """What was written."""

    entries: tuple[AnyEntry, ...]
    desk: Desk
    """The job as it is now."""
