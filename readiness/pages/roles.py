"""Whose page is whose: what a role is called, its page, and whose calendar belongs to it.

Invariant: every role that has a page is found here under every word that people say for it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.pages import paper_office, paper_outside, paper_site

if TYPE_CHECKING:
    from readiness.pages.paper import Answers, Paper

ROLES = ("contractor", "dispatcher", "crew lead", "inspector", "board crew", "owner")
"""Who gets a page, besides each trade of the job by its id."""

SAME = {
    "office": "inspector",
    "spray": "crew lead",
    "crew-lead": "crew lead",
    "board-crew": "board crew",
}
"""Other words for some of them."""

_MAKERS = {
    "contractor": paper_office.contractor_paper,
    "dispatcher": paper_office.dispatcher_paper,
    "crew lead": paper_site.crew_paper,
    "board crew": paper_site.board_paper,
    "inspector": paper_outside.inspector_paper,
    "owner": paper_outside.owner_paper,
}

_CALENDARS = {"crew lead": "spray", "dispatcher": "spray", "board crew": "drywall", "inspector": ""}


def role_named(words: str) -> str:
    """Return a role as it is known here, however it was said; other words come back plain."""
    said = " ".join(words.casefold().split())
    return SAME.get(said, said)


def paper_for(role: str, answers: Answers) -> Paper | None:
    """Return the page of a role by its plain name, or None if nobody of the job has it."""
    if role in _MAKERS:
        return _MAKERS[role](answers)
    if is_rig(role, answers):
        return paper_site.crew_paper(answers)
    trades = {who.id: who for who in answers.particulars.trades}
    return paper_site.trade_paper(answers, trades[role]) if role in trades else None


def roles_of(answers: Answers) -> tuple[str, ...]:
    """Return everybody who has a page in a job."""
    people = (*(who.id for who in answers.particulars.trades), *_rigs(answers))
    return tuple(dict.fromkeys((*ROLES, *people)))


def is_rig(role: str, answers: Answers) -> bool:
    """Say whether a role is a rig that a trip names; its crew lead's page is its page."""
    return role in _rigs(answers)


def _rigs(answers: Answers) -> tuple[str, ...]:
    who = (letter.who for letter in answers.letters.letters)
    return tuple(one.id for one in who if one.trade == "rig")


def calendar_of(role: str) -> str:
    """Return whose calendar a role reads, by the name of its file; empty if it has none."""
    return _CALENDARS.get(role, role)
