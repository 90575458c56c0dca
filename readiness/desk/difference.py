"""What entries change: the verdicts before and after, in lines.

Invariant: the last line is the verdict as it is afterwards.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.pages.marks import marked
from readiness.questions.check import check

if TYPE_CHECKING:
    from readiness.desk.desk import Desk

MOST_NAMES = 5


def changed(before: Desk, after: Desk) -> list[str]:
    """Return what the verdicts say now, where they say something else than before."""
    was, now = check(before.case()), check(after.case())
    words = {line.surface: line.word for line in was.surfaces}
    moved: dict[tuple[str, str], list[str]] = {}
    for line in now.surfaces:
        if words.get(line.surface, line.word) != line.word:
            moved.setdefault((words[line.surface], line.word), []).append(line.name)
    lines = [
        f"  {marked(first)} -> {marked(then)}: {_names(names)}"
        for (first, then), names in moved.items()
    ]
    verdict = f"verdict: {marked(now.verdict)}: {now.sentence}"
    if was.verdict != now.verdict:
        verdict = f"verdict: {marked(was.verdict)} -> {marked(now.verdict)}: {now.sentence}"
    return [*lines, verdict]


def _names(names: list[str]) -> str:
    shown = ", ".join(names[:MOST_NAMES])
    return shown if len(names) <= MOST_NAMES else f"{shown} and {len(names) - MOST_NAMES} more"
