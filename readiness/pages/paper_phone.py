"""A page as somebody opens it on a phone day by day: today and next stand first.

The page itself stays what it is for its role; a phone adds what is lost on paper, a calendar that
asks again by itself and the way to a second phone.
Invariant: what a role is spared on its page, it is spared here too.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from readiness.pages.moments import told
from readiness.pages.paper import Point, phone_of, stays_told
from readiness.pages.paper_site import asked_of
from readiness.pages.roles import ROLES, calendar_of, is_rig

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.pages.paper import Answers, Paper
    from readiness.telling.calendar_entries import Entry

MOST_TOLD = 3
KEEP_OUT = "keep-out"
LEADS = "crew lead"
"""Who is inside during a keep-out; a named rig is led by one too."""


@dataclass(frozen=True, slots=True)
class QrCode:
    """A square of dark and light fields."""

    fields: int
    """Along one side, with the light margin that readers need."""
    path: str
    """The dark ones, as the path of a drawing with one unit for a field."""


@dataclass(frozen=True, slots=True)
class Subscription:
    """How to get back to a page, and to the calendar that belongs to it."""

    calendar: str
    """Address of the calendar; empty if the role has none."""
    webcal: str
    """The same as telephones want it in order to subscribe instead of taking it in once."""
    code: QrCode
    """The address of the page."""


def phone_paper(paper: Paper, role: str, answers: Answers) -> Paper:
    """Return the page of a role with today, next and what holds it up at its head."""
    entries = [
        entry
        for letter in answers.letters.letters
        if letter.who.id == calendar_of(role)
        for entry in letter.entries
        if entry.kind != KEEP_OUT and not entry.cancelled
    ]
    as_of = answers.check.instants.as_of
    today = [entry for entry in entries if _is_today(entry, answers)]
    later = [entry for entry in entries if entry.starts > as_of and entry not in today]
    leads = role == LEADS or is_rig(role, answers)
    out = () if leads else tuple(_out(answers))
    dated = []
    if calendar_of(role):
        said = [*out, *(f"{one.starts:%H:%M} {one.title.partition(';')[0]}" for one in today)]
        dated.append(Point("Today", _list(said) or "nothing"))
    if entries:
        dated.append(Point("Next", _next(later, answers)))
    return replace(paper, first=(*dated, *_held(LEADS if leads else role, answers), *paper.first))


def _is_today(entry: Entry, answers: Answers) -> bool:
    as_of = answers.check.instants.as_of
    return entry.starts.date() <= as_of.date() and entry.ends > as_of


def _out(answers: Answers) -> Iterable[str]:
    """Yield that nobody comes in, if that holds today; only a release ends it."""
    keep_out, as_of = answers.check.keep_out, answers.check.instants.as_of
    if keep_out is None or answers.particulars.trip.released is not None:
        return
    if keep_out.from_.date() <= as_of.date():
        since = f"{keep_out.from_:%H:%M}"
        if keep_out.from_.date() < as_of.date():
            since = told(keep_out.from_, as_of.year)
        yield f"keep out from {since} until a named person has released the place"


def _next(later: list[Entry], answers: Answers) -> str:
    """Return the first stay that is still to come, all its days together."""
    as_of = answers.check.instants.as_of
    for when, title, _, standing in stays_told(later, as_of):
        return f"{when}: {title.partition(';')[0]} ({standing})"
    return "nothing that has a date"


def _list(said: list[str]) -> str:
    more = len(said) - MOST_TOLD
    return "; ".join(said[:MOST_TOLD]) + (f"; and {more} more" if more > 0 else "")


def _held(role: str, answers: Answers) -> Iterable[Point]:
    """Yield what holds the foam up, where the page does not begin with it anyway.

    A trade is told what is its own and hears nothing of the others.
    """
    blockers = answers.check.blockers
    if role == LEADS:
        yield Point("Held up by", blockers[0].says if blockers else "nothing")
    if role in ROLES:
        return
    mine = asked_of(answers, role)
    if mine:
        yield Point("Held up by", "; ".join(line.call_about for line in mine))
    elif blockers:
        whom = phone_of(answers.particulars.contractor)
        yield Point("Held up by", f"nothing of yours; {whom}, knows more")
    else:
        yield Point("Held up by", "nothing")
