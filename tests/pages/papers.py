"""Pages of a job whose text is at hand.

Invariant: the answers of a text are worked out once, since nobody can change them; every page is
written anew.
"""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

from readiness.cli.page import paper_of
from readiness.desk.desk import desk_of
from readiness.desk.papers import answers_of
from readiness.pages.form import Form, form_of
from readiness.pages.paper import Answers, Paper
from readiness.pages.paper_html import paper_html
from readiness.pages.paper_phone import Subscription, phone_paper
from readiness.pages.roles import ROLES

__all__ = ["ROLES", "form_for", "page_of", "page_on_a_phone", "page_with_form", "paper_for"]


@lru_cache(maxsize=32)
def answers_for(job: str) -> Answers:
    """Return what the pages of a job are written from."""
    return answers_of(desk_of(job, Path("job.toml")).case())


def paper_for(job: str, role: str) -> Paper:
    """Return the page of a role, before it is drawn."""
    return paper_of(role, answers_for(job))


def page_of(job: str, role: str) -> str:
    """Return the page of a role as HTML."""
    return paper_html(paper_for(job, role))


def form_for(job: str, role: str) -> Form:
    """Return the form of a role."""
    return form_of(answers_for(job), role)


def page_with_form(job: str, role: str) -> str:
    """Return the page of a role with its form."""
    return paper_html(paper_for(job, role), form_for(job, role))


def page_on_a_phone(job: str, role: str) -> str:
    """Return the page of a role as `serve` shows it, under an invented address."""
    from readiness.serve.qr_code import qr_code

    answers = answers_for(job)
    address = "https://pages.example.com/an-address-that-nobody-guesses"
    way_back = Subscription(
        f"{address}.ics", f"webcal{address.removeprefix('https')}.ics", qr_code(address)
    )
    return paper_html(phone_paper(paper_of(role, answers), role, answers), None, way_back)
