"""Mails that are ready to be sent: a readable text, and the invitation or cancellation beside it.

Nothing is sent here. The file is opened with a mail program, looked at and sent by a person.

Invariant: equal notices give equal bytes; each mail speaks of one entry to one person, and its
METHOD stands in the calendar and in the type of its part.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from email.headerregistry import Address
from email.message import EmailMessage
from email.policy import SMTP
from email.utils import format_datetime
from typing import TYPE_CHECKING

from readiness.exchange.calendar_file import Guest, calendar_of, event_lines, moments_of
from readiness.exchange.content_lines import line, quoted
from readiness.exchange.text import clean_line, clean_text
from readiness.telling.calendar_entries import CANCELLED
from readiness.telling.notices import REQUEST

if TYPE_CHECKING:
    from readiness.questions.letters import LettersAnswer
    from readiness.telling.notices import Notice
    from readiness.telling.teller import Who

_MARK = "X-Readiness-Entry"
_ADDRESS = re.compile(r"[^\s@<>\"(),:;\\]+@[A-Za-z0-9-]+(?:\.[A-Za-z0-9-]+)+")


@dataclass(frozen=True, slots=True)
class Organizer:
    """Who invites, and to whom answers go."""

    name: str
    address: str


def is_address(text: str) -> bool:
    """Say whether a text is one plain mail address."""
    return bool(_ADDRESS.fullmatch(text)) and text.isascii()


def mail_name(notice: Notice) -> str:
    """Return the file name of a mail: a later one about the same entry takes its place."""
    item = re.sub(r"[^0-9A-Za-z]+", "-", notice.entry.item).strip("-") or notice.entry.uid
    return f"{notice.to}-{item}{'-asked-no-more' if notice.leaves else ''}.eml"


def mail_bytes(notice: Notice, who: Who, organizer: Organizer, letters: LettersAnswer) -> bytes:
    """Return the mail of a notice.

    Source: RFC 6047, sections 2.3 to 2.5 and 4.2.
    """
    if notice.leaves:
        notice, who = _asked_no_more(notice), replace(who, name=notice.address)
    entry, method = notice.entry, notice.method.upper()
    invitation = invitation_bytes(notice, who, organizer, letters).decode()
    mail = EmailMessage(policy=SMTP)
    mail[_MARK] = entry.uid
    mail["From"] = Address(clean_line(organizer.name), addr_spec=organizer.address)
    mail["To"] = Address(clean_line(who.name), addr_spec=notice.address)
    mail["Date"] = format_datetime(entry.stamp.astimezone(UTC))
    mail["Subject"] = clean_line(entry.title)
    mail.set_content(_text(notice), cte="quoted-printable")
    mail.add_alternative(
        invitation,
        subtype="calendar",
        charset="utf-8",
        cte="base64",
        params={"method": method, "component": "VEVENT"},
    )
    mail.set_boundary(f"=_{entry.uid}_{entry.sequence}")
    return mail.as_bytes()


def _asked_no_more(notice: Notice) -> Notice:
    """Return what somebody is told whose entry now stands for somebody else, or for nobody."""
    entry = replace(
        notice.entry,
        title=f"{CANCELLED}{notice.entry.short}",
        says=("You are no longer asked for this. Take it out of your calendar.",),
        busy=False,
        ties=(),
    )
    return replace(notice, entry=entry)


def is_ours(head: bytes) -> bool:
    """Say by its beginning whether a mail was written here."""
    return head.startswith(f"{_MARK}: ".encode())


def _text(notice: Notice) -> str:
    entry = notice.entry
    same_day = entry.starts.date() == entry.ends.date()
    ends = f"{entry.ends:%H:%M}" if same_day else _told(entry.ends)
    lines = [
        clean_line(entry.title),
        "",
        f"When: {_told(entry.starts)} to {ends}",
        f"Where: {clean_line(entry.place)}",
        "",
        *(clean_text(line) for line in entry.says),
    ]
    return "\n".join(lines) + "\n"


def _told(moment: datetime) -> str:
    return f"{moment:%a} {moment.day} {moment:%b} {moment.year} {moment:%H:%M}"


def invitation_bytes(
    notice: Notice, who: Who, organizer: Organizer, letters: LettersAnswer
) -> bytes:
    """Return the calendar object of a notice: one entry, one attendee.

    Source: RFC 5546, sections 3.2.2 and 3.2.5; RFC 5545, section 3.8.4.
    """
    entry = notice.entry
    standing = "ROLE=REQ-PARTICIPANT"
    if notice.method == REQUEST:
        standing = f"PARTSTAT=NEEDS-ACTION;{standing};RSVP=TRUE"
    attendee = _person("ATTENDEE", who.name, notice.address, standing)
    invites = _person("ORGANIZER", organizer.name, organizer.address)
    return calendar_of(
        moments_of([entry]),
        letters.time_zone,
        [line("METHOD", notice.method.upper())],
        lambda zone: event_lines(entry, who, zone, Guest(attendee, invites, notice.leaves)),
    )


def _person(role: str, name: str, address: str, standing: str = "") -> str:
    """Return the line of a person."""
    parameters = [f"CN={quoted(clean_line(name))}", *([standing] if standing else [])]
    return line(f"{role};{';'.join(parameters)}", f"mailto:{address}")
