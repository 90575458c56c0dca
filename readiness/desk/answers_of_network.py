"""What the network of a job says to somebody who has none, as answers to their questions.

Invariant: a surface that the job holds up before the foam is held up on the card too, and no other
one is.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.facts.loader import load_questions
from readiness.facts.vocabulary import Gate
from readiness.site.answers import questions_of_things
from readiness.site.requirements import HIDDEN_WORK, looks_of_card
from readiness.site.task import TaskKind

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readiness.telling.case import Case


def answers_of_network(case: Case) -> Iterator[tuple[str, str, list[str]]]:
    """Yield `yes` or `no`, what it is about, and the surfaces it speaks for.

    Where no look is open any more, or none is asked for, its answer is yes; so is that of hidden
    work that is in, and that of things where none stands.
    """
    site = case.site
    held = _held(case)
    looks = dict(looks_of_card(site.job, site.facts))
    clear = questions_of_things()
    for name in (*looks, HIDDEN_WORK, *clear):
        if free := [s for s in site.trip_of if s not in held.get(name, ())]:
            yield "yes", name, free
    for name in load_questions():
        if blocked := [s for s in site.trip_of if s in held.get(name, ())]:
            yield "no", name, blocked


def _held(case: Case) -> dict[str, set[str]]:
    """Return the surfaces that each look, question, or hidden work holds up before the foam."""
    site = case.site
    standings = case.judge.ledger.standings(Gate.ROLL, case.outlook.seen.as_of)
    asks = {thing: name for name, kind in load_questions().items() for thing in kind.obstructions}
    found: dict[str, set[str]] = {}
    for requirement in site.requirements:
        if standings[requirement.index].passes or requirement.demands.due is Gate.BOARD:
            continue
        thing = site.job.obstructions.get(requirement.code)
        if thing is not None and thing.is_ in asks:
            name = asks[thing.is_]
        elif requirement.task is None:
            continue
        elif site.tasks[requirement.task].kind is TaskKind.APPROVAL:
            name = requirement.code
        else:
            name = HIDDEN_WORK
        found.setdefault(name, set()).update(requirement.surfaces)
    return found
