"""What is asked between the last foam and the board: once per thing, and only what waits for none.

Most of what is open there hangs on the release, or on one another; asking about all of it at once
would bury the one call that moves anything. While the keep-out runs nobody can go and look, so
nobody is asked.

Invariant: clearing what is asked here leaves nothing at the board gate but what hung on it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.facts.vocabulary import Effect, Gate, Role
from readiness.gates.asked import all_sprayed, asked_instant
from readiness.gates.blockers import blockers_of
from readiness.gates.due import CallKind, DueCall, Heard, broken_promise, heard
from readiness.gates.due_looks import looks_after
from readiness.gates.release import release_gaps
from readiness.gates.standings import StandingState
from readiness.job.instants import NEVER
from readiness.site.board_requirements import RELEASE
from readiness.site.task import TaskKind
from readiness.telling.blocker_lines import followed, holders, remedy_of

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.gates.blockers import Blocker
    from readiness.gates.verdict import Verdicts
    from readiness.telling.case import Case

RELEASE_ASKED = "The hours of the keep-out are over: cleaned, aired, and who releases the place?"


def board_calls(case: Case, trip: str) -> Iterable[DueCall]:
    """Yield what is asked before board may start over a trip that is sprayed to its end."""
    if not all_sprayed(case.outlook, trip):
        return
    if not _is_released(case, trip):
        yield from _release(case, trip)
        return
    on = asked_instant(case.outlook, None, trip, Gate.BOARD)
    verdicts = case.judge.verdicts(Gate.BOARD, on, trip)
    blockers = blockers_of(case.outlook, verdicts)
    holder = holders(case, blockers)
    until = _board(case)
    for number, blocker in enumerate(blockers):
        if blocker.requirements and followed(case, number, blocker, holder) is None:
            if _is_look(case, blocker):
                yield from looks_after(case.outlook, blocker.code, blocker.surfaces, until)
            else:
                yield _asked(case, blocker, verdicts, trip, until)


def _board(case: Case) -> int:
    """Return when board is to start; `NEVER` without an agreed day."""
    agreed = case.outlook.agreed_board
    return NEVER if agreed is None else agreed


def _is_released(case: Case, trip: str) -> bool:
    return case.site.trips[trip].release in case.outlook.known.state.finished


def _release(case: Case, trip: str) -> Iterable[DueCall]:
    """Yield the call about the release, once the hours since the last foam are over."""
    tasks, as_of = case.site.trips[trip], case.outlook.seen.as_of
    gaps = release_gaps(case.outlook, trip, as_of)
    if any(gap.until is not None for gap in gaps):
        return
    until = _board(case)
    missing = "; ".join(gap.says for gap in gaps)
    yield DueCall(
        kind=CallKind.QUESTION,
        code=RELEASE,
        whom=Role.CREW_LEAD.value,
        about=f"{RELEASE_ASKED}{f' ({missing})' if missing else ''}",
        places=(),
        surfaces=tasks.surfaces,
        until=until,
        overdue=until < as_of,
        decides=Effect.STOPS_TRIP,
        trip=trip,
        task=tasks.release,
    )


def _is_look(case: Case, blocker: Blocker) -> bool:
    task = blocker.task
    return task is not None and case.site.tasks[task].kind is TaskKind.APPROVAL


def _asked(case: Case, blocker: Blocker, verdicts: Verdicts, trip: str, until: int) -> DueCall:
    """Return the call about one thing that holds the board up."""
    index = blocker.requirements[0]
    requirement, as_of = case.site.requirements[index], case.outlook.seen.as_of
    said = verdicts.standings[index].evidence
    task = blocker.task
    is_work = task is not None and case.site.tasks[task].kind is TaskKind.WORK
    about = requirement.question or f"{requirement.title}: since when?"
    if blocker.state is StandingState.OPEN and task is None:
        remedy = remedy_of(requirement)
        about = f"Not so: {requirement.title}: mended by when?" + (f" ({remedy})" if remedy else "")
    waits = said is not None and heard(said, (), as_of) is Heard.WAIT
    broken = broken_promise(said, as_of)
    last = min(until, NEVER if broken is None else broken)
    places = dict.fromkeys(case.site.requirements[one].place for one in blocker.requirements)
    return DueCall(
        kind=CallKind.WORK if is_work else CallKind.QUESTION,
        code=blocker.code,
        whom=requirement.clears,
        about=case.site.tasks[task].title if is_work and task is not None else about,
        places=tuple(places),
        surfaces=blocker.surfaces,
        until=last,
        overdue=not waits and last < as_of,
        decides=requirement.demands.effect,
        trip=trip,
        task=task,
        said=said,
        waits_until=said.promised_by if waits and said is not None else None,
    )
