"""Why no set of changes works, as sentences: what is too early, shut, committed or not shown.

Invariant: each thing is told once, with the places that it holds up.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.planning.refusals import Why
from readiness.telling.case import Case
from readiness.telling.teller import Teller
from readiness.telling.window_lines import closer_words

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.planning.cuts import Cut
    from readiness.planning.trying import Trying

MOST_STEPS = 4
"""Steps of a chain that a proof tells."""

MOST_PLACES = 3
UNTOUCHED = " Nothing on the list of changes touches that."


def proof_words(trying: Trying, cuts: Iterable[Cut]) -> tuple[str, ...]:
    """Return what stands against the day, each thing once with its places, as sentences."""
    found: dict[str, dict[str, None]] = {}
    for cut in cuts:
        refusal = cut.refusal
        says = _refused(cut) + (UNTOUCHED if cut.is_empty else "")
        place = trying.outlook.site.places.name(refusal.surface) if refusal.surface else ""
        found.setdefault(says, {})[place] = None
    return tuple(f"{_told_places(list(places))}{says}" for says, places in found.items())


def _told_places(places: list[str]) -> str:
    """Return the places that a sentence begins with; a few names, then how many more."""
    if places == [""]:
        return ""
    more = f" and {len(places) - MOST_PLACES} more" if len(places) > MOST_PLACES else ""
    return f"{', '.join(places[:MOST_PLACES])}{more}: "


def _refused(cut: Cut) -> str:
    """Return one refusal as a sentence, without its place."""
    refusal, outlook = cut.refusal, cut.attempt.outlook
    if outlook is None:
        return "works would wait for each other if more surfaces were left to another trip."
    assert cut.attempt.judge is not None  # noqa: S101  a forecast has its judge
    told_by = Case(outlook, cut.attempt.judge, Teller(outlook))
    teller = told_by.teller
    if refusal.why is Why.STOPPED:
        return "stopped, and only the same role lifts a stop."
    if refusal.why is Why.KEPT_OUT:
        return f"shut by the keep-out of the {outlook.site.trips[refusal.other_trip].name} trip."
    if refusal.closer is not None:
        title, whose = closer_words(told_by, refusal.closer)
        verb = "stands or has begun since" if refusal.closer.begun else "is committed for"
        return f"{title} ({whose}) {verb} {teller.told(refusal.closer.commit)}."
    requirement = outlook.site.requirements[refusal.requirement or 0]
    if refusal.why is Why.EVIDENCE:
        who = teller.who(requirement.clears)
        phone = f", {who.phone}" if who.phone else ""
        return (
            f'"{requirement.title}" is not shown, and no change makes evidence: '
            f"only {who.name}{phone} can tell."
        )
    item = refusal.steps[0].task
    behind = teller.chain(item)[1:][-MOST_STEPS:]
    ends = teller.told(outlook.forecast.finish[item])
    says = f"too early, because {teller.task(item)} ends {ends}"
    return says + (f", after {'; after '.join(behind)}." if behind else ".")
