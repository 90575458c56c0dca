"""What stands around the blockers: whom to tell of a booking; keep-out, what still comes, cautions.

Invariant: nothing here can make the answer no.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.pages.check_text import (
    in_vain_sentences,
    keep_out_sentence,
    name_and_number,
    to_come_parts,
)
from readiness.pages.moments import told
from readiness.screens.lines import Entry, Line

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.questions.check import CheckAnswer

IN_VAIN = "in vain"
"""Id of the entry that says whom to tell that the rig is booked for nothing."""
MOST_TO_COME = 6
_INSIDE = 2


def further(answer: CheckAnswer, *, why: bool) -> list[Entry]:
    """Return the entries below what holds it up."""
    parts = (
        ("keep-out", _keep_out(answer)),
        ("still to come", _to_come(answer)),
        ("costs", _costs(answer)),
        ("worth knowing", _findings(answer, why=why)),
        ("cautions", [Line(f"Caution: {caution}") for caution in answer.cautions]),
    )
    return [
        Entry(f"further {name} {at}", (line,))
        for name, lines in parts
        for at, line in enumerate(lines)
    ]


def in_vain(answer: CheckAnswer) -> list[Entry]:
    """Return the entry above what holds it up: what is known of a booking that does not hold."""
    booked = answer.booked_in_vain
    if booked is None:
        return []
    sentences = in_vain_sentences(booked, answer.instants.as_of.year)
    # Whom to call before the rig leaves stands in the head as the next call
    shown = sentences[1:] if booked.is_about_to_leave else sentences
    return [Entry(IN_VAIN, (Line(" ".join(shown)),))] if shown else []


def _keep_out(answer: CheckAnswer) -> Iterable[Line]:
    keep_out = answer.keep_out
    if keep_out is None:
        return
    year = answer.instants.on.year
    yield Line(keep_out_sentence(answer), is_strong=True)
    if keep_out.usual_figure:
        yield Line(
            f"{keep_out.hours:g} h after the last foam is a usual planning figure;"
            " the product sheet decides.",
            indent=_INSIDE,
        )
    for line in answer.inside:
        when = told(line.from_, year) if line.from_ else "no date"
        phone = line.phone or "no phone written"
        yield Line(
            f"must stay out: {line.who}, {phone}: {line.title}, booked {when}", indent=_INSIDE
        )


def _to_come(answer: CheckAnswer) -> Iterable[Line]:
    for head, lines in to_come_parts(answer):
        yield Line(head, is_strong=True)
        for says, who in lines[:MOST_TO_COME]:
            yield Line(f"{says} ({name_and_number(who)})", indent=_INSIDE)
        if len(lines) > MOST_TO_COME:
            yield Line(f"and {len(lines) - MOST_TO_COME} more", indent=_INSIDE)


def _costs(answer: CheckAnswer) -> Iterable[Line]:
    costs = [line for line in answer.notes if line.effect == "costs money"]
    if costs:
        yield Line("Costs money", is_strong=True)
    for line in costs:
        yield Line(f"{line.title} ({line.state}; {line.who.name})", indent=_INSIDE)
    rest = len(answer.notes) - len(costs)
    if rest:
        yield Line(f"{rest} more not answered that stop nothing")


def _findings(answer: CheckAnswer, *, why: bool) -> Iterable[Line]:
    if answer.findings:
        yield Line("Worth knowing", is_strong=True)
    for line in answer.findings:
        origin = f" [{line.origin}]" if why and line.origin else ""
        yield Line(f"{line.says}{origin}", indent=_INSIDE)
