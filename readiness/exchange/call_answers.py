"""What can be answered on a call, each as a line for the diary.

Invariant: every line that is whole is one that `note` takes; one that lacks something ends where
that has to be typed.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from readiness.gates.due import CallKind
from readiness.site.board_requirements import RELEASE

if TYPE_CHECKING:
    from readiness.questions.calls import CallLine

WHOLE_SITE = "site"
"""A place that a line names by saying nothing."""


@dataclass(frozen=True, slots=True)
class CallAnswer:
    """One thing that somebody may say on a call."""

    id: str
    """Stable: keys are bound to it."""
    words: tuple[str, ...]
    """The line in words."""
    lacks: str = ""
    """What has to be typed behind it, e.g. a day; empty if the line is whole."""
    behind: tuple[str, ...] = ()
    """What stands behind that."""

    @property
    def line(self) -> str:
        """Return the line as it stands before what it lacks is typed."""
        return " ".join(self.words) + (" " if self.lacks else "")


def call_answers(line: CallLine) -> tuple[CallAnswer, ...]:
    """Return what can be answered to one question of a call."""
    return answers_to(CallKind(line.kind), line.code, line.where, line.trip_id)


def answers_to(
    kind: CallKind, code: str, places: tuple[str, ...], trip: str
) -> tuple[CallAnswer, ...]:
    """Return what can be answered to a question.

    Args:
        kind: What is asked.
        code: Id of the requirement, work, approval or thing that is asked about.
        places: Ids of the places it is asked about.
        trip: Id of the trip.
    """
    where = () if WHOLE_SITE in places else places
    inside = ("--in", " ".join(where)) if where else ()
    promised = CallAnswer("promised", ("promised", code), "a day", inside)
    match kind:
        case CallKind.QUESTION if code == RELEASE:
            # A yes alone would not say who lets people in again
            return (
                CallAnswer("cleaned", ("cleaned", trip)),
                CallAnswer("ventilated", ("ventilated", trip)),
                CallAnswer("may-enter", ("release", trip)),
            )
        case CallKind.QUESTION:
            return (*_yes_or_no(code, where), promised)
        case CallKind.NOT_REPORTED:
            return (
                CallAnswer("done", ("done", code, *where)),
                CallAnswer("not-done", ("not-done", code, *where)),
                promised,
            )
        case CallKind.WORK:
            done = CallAnswer("done", ("done", code, *where))
            return (*_yes_or_no(code, where), done, promised)
        case CallKind.REQUEST:
            return (CallAnswer("asked-for", ("requested", code, *where)),)
        case CallKind.LOOK:
            return (
                CallAnswer("passed", ("passed", code, *where)),
                CallAnswer("failed", ("failed", code, *where)),
            )
        case CallKind.CLEAR:
            return (
                CallAnswer("pulled", ("pulled", code)),
                CallAnswer("will-be-pulled", ("pull", code), "a day"),
            )
        case CallKind.CONFIRM:
            return (
                CallAnswer("confirmed", ("confirmed", trip)),
                CallAnswer("refused", ("refused", trip), "why"),
            )


def _yes_or_no(code: str, where: tuple[str, ...]) -> tuple[CallAnswer, ...]:
    return (
        CallAnswer("yes", ("yes", code, *where)),
        CallAnswer("no", ("no", code, *where)),
        CallAnswer("unknown", ("unknown", code, *where)),
    )
