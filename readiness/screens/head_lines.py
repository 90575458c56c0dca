"""The five lines the screen begins with, and the two that say what was asked.

Invariant: there are always five, each fits the width, and what is cut is never the verdict, a name
or a number to call.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.pages.check_text import head_lines
from readiness.pages.columns import columns_of, cut
from readiness.pages.marks import marked
from readiness.pages.moments import day_told, told

if TYPE_CHECKING:
    from readiness.questions.check import CheckAnswer
    from readiness.screens.asker import Answered

COUNT = 5

GATE_QUESTIONS = {
    "promise": "may we name the day?",
    "roll": "may the rig leave?",
    "gun": "may it be sprayed?",
    "board": "may it be covered?",
}
ANSWERS = {
    "promise": ("yes, this day works", "no, this day does not work"),
    "roll": ("yes, the rig may leave", "no, the rig may not leave"),
    "gun": ("yes, it may be sprayed", "no, it may not be sprayed"),
    "board": ("yes, it may be covered", "no, it may not be covered"),
}
"""What a gate answers, by whether it says yes."""


def five_lines(answer: CheckAnswer, columns: int) -> list[str]:
    """Return the verdict, what clears last, who clears it, when, and the next call."""
    lines = [_verdict(answer), *head_lines(answer)[1:COUNT]]
    lines += [""] * (COUNT - len(lines))
    return [cut(line, columns) for line in lines]


def _verdict(answer: CheckAnswer) -> str:
    """Return the word, yes or no to what the gate asks, and how many surfaces are held up."""
    says = ANSWERS[answer.instants.gate][not answer.is_yes]
    asked = [line for line in answer.surfaces if line.trip == answer.trip]
    held = sum(1 for line in asked if line.blockers)
    of = f"{held} of {len(asked)} surfaces held up" if held else "nothing holds it up"
    is_only_trip = len(asked) == len(answer.surfaces)
    trip = "" if is_only_trip else f"{answer.trip_name} trip, "
    return f"{marked(answer.verdict)}: {says}; {trip}{of}."


def asked_day(answered: Answered) -> str:
    """Return the day asked about, and whether it is the booked one."""
    on = answered.answer.instants.on
    told_day = told(on, answered.answer.instants.as_of.year)
    booked = answered.booked
    if booked is None:
        return f"{told_day}, nothing booked"
    if booked.date() == on.date():
        return f"{told_day}, booked"
    return f"{told_day} (booked: {day_told(booked, on.year)})"


def asked_gate(answer: CheckAnswer, columns: int) -> str:
    """Return the gate that answers, with its question where that fits."""
    gate = answer.instants.gate
    whole = f"{gate}: {GATE_QUESTIONS[gate]}"
    return whole if columns_of(whole) <= columns else gate


def known_as_of(answer: CheckAnswer) -> str:
    """Return the moment whose knowledge the answer stands on."""
    instants = answer.instants
    return f"as of {told(instants.as_of, instants.on.year)} ({instants.time_zone})"
