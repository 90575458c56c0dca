"""What can be answered about the board: for each thing that holds it up, the question and where.

What holds the board up is told once at its own place; an answer may be for one room or one wall of
it only, so every place stands by itself here.
Invariant: a line of the diary with this code and place is an answer to this and to nothing else.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from readiness.gates.due import CallKind
from readiness.site.board_requirements import RELEASE
from readiness.site.task import TaskKind

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.gates.blockers import Blocker
    from readiness.gates.verdict import Verdicts
    from readiness.site.site import Requirement
    from readiness.telling.case import Case


@dataclass(frozen=True, slots=True)
class AskedLine:
    """One question at one place, open before board may start there."""

    blocker: int
    """Position in `blockers` of what it is part of."""
    kind: str
    """What is asked: `question`, `will it be done` or `has it passed`."""
    code: str
    trip_id: str
    """As the job file calls it."""
    says: str
    """The question as it is asked."""
    where: tuple[str, ...]
    """Id of the place, as `note` takes it."""
    surfaces: tuple[str, ...]
    """What it holds up."""


def asked_lines(
    case: Case, verdicts: Verdicts, blockers: tuple[Blocker, ...]
) -> Iterable[AskedLine]:
    """Yield what can be answered about the board, in the order of what holds it up."""
    for number, blocker in enumerate(blockers):
        for index in blocker.requirements:
            requirement = case.site.requirements[index]
            kind = _kind(case, requirement)
            if kind is not None and not verdicts.standings[index].passes:
                yield AskedLine(
                    blocker=number,
                    kind=kind.value,
                    code=requirement.code,
                    trip_id=verdicts.trip,
                    says=_question(case, requirement, kind),
                    where=(requirement.place,),
                    surfaces=tuple(requirement.surfaces),
                )


def _kind(case: Case, requirement: Requirement) -> CallKind | None:
    """Return what is asked; None of what only follows from other answers."""
    if requirement.task is None or requirement.code == RELEASE:
        return CallKind.QUESTION
    kinds = {TaskKind.WORK: CallKind.WORK, TaskKind.APPROVAL: CallKind.LOOK}
    return kinds.get(case.site.tasks[requirement.task].kind)


def _question(case: Case, requirement: Requirement, kind: CallKind) -> str:
    title = case.teller.requirement(requirement)
    if kind is CallKind.WORK:
        return f"{title}: is it done?"
    if kind is CallKind.LOOK:
        return f"{title}: has it passed?"
    if requirement.code == RELEASE:
        return "Is it cleaned and aired, and may workers enter? A named person says so."
    return requirement.question or f"{title}: is it so?"
