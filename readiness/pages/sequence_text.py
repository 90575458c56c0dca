"""The answer of `sequence` as text: every open step after those it waits for.

Invariant: a step that is not told directly below another is still numbered after it, so every
number that a line refers to stands above it or is what it holds up.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.pages.columns import wrapped
from readiness.pages.moments import told

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import datetime

    from readiness.questions.sequence import SequenceAnswer, StepLine, Wait

WIDTH = 96
BELOW = " " * 5
MOST_NAMED = 3
"""Steps that a line names; the others are counted."""


def sequence_text(answer: SequenceAnswer, *, of: str = "", why: bool = False) -> str:
    """Return the answer as text.

    Args:
        answer: The answer.
        of: Tell only the step of this work, approval or trip, with all that touches it.
        why: Tell the reason of every wait, where each step comes from, and what was left out.
    """
    year = answer.instants.as_of.year
    lines = [f"{answer.job}: as of {told(answer.instants.as_of)} ({answer.instants.time_zone})"]
    shown = [(n, step) for n, step in enumerate(answer.steps) if not of or of in step.ids]
    if not of:
        trades = len({step.who.name for step in answer.steps})
        lines.append(f"{len(answer.steps)} steps are open, of {trades} firms and offices.")
        lines.append("A step marked * is on the chain that sets the start of board.")
    for number, step in shown:
        lines.append("")
        lines += _step(number, step, year, whole=bool(of), why=why)
    if why and not of:
        lines.append("")
        for text in answer.left_out:
            lines += wrapped(f"left out: {text}", WIDTH, "  ", "")
    return "\n".join(lines) + "\n"


def _step(number: int, step: StepLine, year: int, *, whole: bool, why: bool) -> Iterable[str]:
    mark = "*" if step.drives_board else " "
    phone = f", {step.who.phone}" if step.who.phone else ""
    head = f"{number + 1:>3}{mark} "
    yield from wrapped(f"{step.title} ({step.who.name}{phone})", WIDTH, BELOW, head)
    yield BELOW + _when(step, year)
    yield from _waits("waits for", step.waits_for, whole=whole, why=why)
    yield from _waits("holds up", step.holds_up, whole=whole, why=why)
    if step.behind_steps > len(step.holds_up):
        firms = len(step.behind_trades)
        of = ", ".join(step.behind_trades) if whole else f"{firms} firm{'s' if firms > 1 else ''}"
        yield from _below(f"behind it wait {step.behind_steps} steps of {of}")
    if why:
        yield from _below(f"from: {'; '.join(step.origins)}")


def _when(step: StepLine, year: int) -> str:
    if step.ends is None:
        return "no date: something it needs has none"
    if step.kind == "board":
        return f"as things stand {told(step.ends, year)}"
    start = "begun" if step.begun else _or_none(step.starts, year)
    return f"as things stand {start} to {told(step.ends, year)}"


def _or_none(moment: datetime | None, year: int) -> str:
    return told(moment, year) if moment else "no date"


def _waits(word: str, waits: tuple[Wait, ...], *, whole: bool, why: bool) -> Iterable[str]:
    if not waits:
        return
    shown = waits if whole or why else waits[:MOST_NAMED]
    if why or whole:
        for wait in shown:
            reason = f", because {wait.reason}" if wait.reason else ""
            yield from _below(f"{word} {wait.step + 1} {wait.title}{reason}")
        return
    names = "; ".join(f"{wait.step + 1} {wait.title}" for wait in shown)
    more = f"; and {len(waits) - MOST_NAMED} more" if len(waits) > MOST_NAMED else ""
    yield from _below(f"{word} {names}{more}")


def _below(text: str) -> list[str]:
    """Return a sentence about a step, below its title."""
    return wrapped(text, WIDTH, BELOW + "  ", BELOW)
