"""What an answer speaks for: one requirement, or everything that one question asks about.

Invariant: a name that is both a requirement and a question means the requirement.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.facts.loader import load_questions

if TYPE_CHECKING:
    from readiness.facts.rows import QuestionKind
    from readiness.site.site import Site


def codes_of(name: str, kind: QuestionKind) -> frozenset[str]:
    """Return the requirements, approvals and works that a question asks about.

    Its own name is one of them: a site card knows of no things, so there the question about them
    stands for itself.
    """
    return frozenset((name, *kind.requirements, *kind.approvals, *kind.works))


def questions_of_things() -> dict[str, QuestionKind]:
    """Return the questions that ask about things in the way and about nothing else that is met."""
    return {
        name: kind
        for name, kind in load_questions().items()
        if kind.obstructions and not (kind.requirements or kind.approvals)
    }


def codes_answered(name: str, site: Site) -> frozenset[str]:
    """Return the requirements of a site that an answer to a name speaks for.

    The questions are read only for a name that is no requirement, since most are.
    """
    asked = {requirement.code for requirement in site.requirements}
    if name in asked:
        return frozenset({name})
    kind = load_questions().get(name)
    return codes_of(name, kind) & asked if kind is not None else frozenset()


def questions_of(site: Site) -> tuple[str, ...]:
    """Return the questions that ask about something only evidence can tell on this site."""
    told = {requirement.code for requirement in site.requirements if requirement.task is None}
    return tuple(
        name for name, kind in load_questions().items() if not told.isdisjoint(codes_of(name, kind))
    )
