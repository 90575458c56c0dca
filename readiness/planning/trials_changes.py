"""What one more call or an earlier request could change, as changes to the trials.

Invariant: each change takes away one thing that may go wrong or moves one notice, nothing else.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from readiness.planning.trials import Change
from readiness.planning.trials_assumed import LOOK, MATERIAL, NO_SHOW
from readiness.schedule.notice import asking_of
from readiness.schedule.readings_of_days import started_at

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from datetime import date

    from readiness.planning.trials import Subject
    from readiness.schedule.outlook import Outlook
    from readiness.site.site import ApprovalTasks

MOST_CALLS, MOST_LOOKS = 4, 2
"""Of how many stays and approvals a change is tried: those most often on the driving chain."""


class Doing(StrEnum):
    """What is done about it."""

    CALL = "call"
    """Ask whether they come and have everything: then both are sure."""
    ASK_NOW = "ask now"
    """Ask for the look today instead of on the next working day."""
    LOOK_BEFORE = "look before"
    """Go through the work before the office does: then the look passes."""


@dataclass(frozen=True, slots=True)
class Trial:
    """One thing that could be done, and how the trials meet it."""

    doing: Doing
    about: str
    """Id of the stay or of the approval."""
    change: Change


def changes_worth_trying(
    outlook: Outlook, subject: Subject, groups: Sequence[str], tomorrow: date
) -> tuple[Trial, ...]:
    """Return what could be done about the groups, which come in the order of their shares."""
    may_delay = {delay.id for delay in subject.uncertain.delays}
    found: list[Trial] = []
    stays = [name for name in groups if {NO_SHOW + name, MATERIAL + name} & may_delay][:MOST_CALLS]
    for name in stays:
        ids = frozenset({NO_SHOW + name, MATERIAL + name})
        found.append(Trial(Doing.CALL, name, Change(never_happens=ids)))
    looks = [name.removeprefix("approval:") for name in groups if name.startswith("approval:")]
    for approval in looks[:MOST_LOOKS]:
        later = _asked_later(outlook, subject, approval, tomorrow)
        if later:
            found.append(Trial(Doing.ASK_NOW, approval, Change(notices=later)))
        failing = frozenset(
            repeat.id
            for repeat in subject.uncertain.repeats
            if repeat.id.startswith(f"{LOOK}{approval}:")
        )
        if failing:
            found.append(Trial(Doing.LOOK_BEFORE, approval, Change(never_happens=failing)))
    return tuple(found)


def _asked_later(
    outlook: Outlook, subject: Subject, approval: str, tomorrow: date
) -> dict[int, int]:
    """Return the notices of the looks nobody has asked for, if they are asked for tomorrow."""
    site, known = outlook.site, outlook.known
    asking = asking_of(site, approval)
    asked = any(
        look.requested is not None and look.result is None
        for look in outlook.seen.looks.get(approval, ())
    )
    if asked:
        return {}
    starts = asking.earliest(started_at(tomorrow, asking.office))
    return {
        look: starts
        for tasks in _of(site.approvals, approval)
        for look in tasks.looks.values()
        if look in subject.within and look in known.state.notices and look not in known.slots
    }


def _of(approvals: Iterable[ApprovalTasks], approval: str) -> list[ApprovalTasks]:
    return [tasks for tasks in approvals if tasks.id == approval]
