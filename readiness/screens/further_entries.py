"""What stands below the blockers: keep-out, what still comes, costs, notes, cautions.

Invariant: nothing here can make the answer no.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.pages.moments import told
from readiness.screens.lines import Entry, Line

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.questions.check import CheckAnswer

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


def _keep_out(answer: CheckAnswer) -> Iterable[Line]:
    keep_out = answer.keep_out
    if keep_out is None:
        return
    year = answer.instants.on.year
    not_before = told(keep_out.not_before, year) if keep_out.not_before else "no date"
    yield Line(
        f"Keep out from {told(keep_out.from_, year)} until a named person releases it,"
        f" not before {not_before}.",
        is_strong=True,
    )
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
    if not answer.to_come:
        return
    yield Line(f"Still to come ({len(answer.to_come)})", is_strong=True)
    year = answer.instants.on.year
    for line in answer.to_come[:MOST_TO_COME]:
        by = f"by {told(line.by, year)}" if line.by else "no date"
        phone = line.who.phone or "no phone written"
        yield Line(f"{line.title}: {line.place}, {by} ({line.who.name}, {phone})", indent=_INSIDE)
    if len(answer.to_come) > MOST_TO_COME:
        yield Line(f"and {len(answer.to_come) - MOST_TO_COME} more", indent=_INSIDE)


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
