"""What a calendar of somebody would change, as text.

Invariant: every reply, every day and every time that is left out has a line of its own.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.questions.replies import RepliesAnswer


def replies_text(answer: RepliesAnswer, name: str) -> str:
    """Return the answer as text, each line with the name of its file."""
    lines = list(_lines(answer, name))
    return "\n".join(lines or [f"{name}: nothing in it concerns this job"]) + "\n"


def _lines(answer: RepliesAnswer, name: str) -> Iterable[str]:
    for reply in answer.replies:
        yield f"{name}:{reply.line}: {reply.says} ({reply.outcome})"
    for day in answer.days_off:
        yield f"{name}: day off: {day.says}"
    for own in answer.own:
        yield f"{name}: our own entry, left out: {own}"
    for note in answer.notes:
        yield f"{name}: {note}"
