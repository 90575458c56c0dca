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
EARLY = "too early"
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


def short_words(trying: Trying, cuts: Iterable[Cut]) -> tuple[str, ...]:
    """Return the proof with one sentence for each surface: what is left when the most is done.

    The whole proof may come back to a surface, each time with other changes; whoever only wants to
    know what stands against the day reads the last of it.
    """
    best: dict[str, Cut] = {}
    for cut in cuts:
        other = best.get(cut.refusal.surface)
        if other is None or len(cut.attempt.chosen) >= len(other.attempt.chosen):
            best[cut.refusal.surface] = cut
    found: dict[str, list[str]] = {}
    most: dict[str, int] = {}
    for surface, cut in best.items():
        says = _refused(cut, short=True) + (UNTOUCHED if cut.is_empty else "")
        found.setdefault(says, []).append(
            trying.outlook.site.places.name(surface) if surface else ""
        )
        most[says] = max(most.get(says, 0), len(cut.attempt.chosen))
    return tuple(
        f"{_told_places(places)}{_even_with(most[says], says)}" for says, places in found.items()
    )


def _even_with(count: int, says: str) -> str:
    """Return a sentence with how many changes did not help."""
    if not count or not says.startswith(EARLY):
        return says
    changes = "1 change" if count == 1 else f"{count} changes at once"
    return says.replace(EARLY, f"{EARLY} even with {changes}", 1)


def _told_places(places: list[str]) -> str:
    """Return the places that a sentence begins with; a few names, then how many more."""
    if places == [""]:
        return ""
    more = f" and {len(places) - MOST_PLACES} more" if len(places) > MOST_PLACES else ""
    return f"{', '.join(places[:MOST_PLACES])}{more}: "


def _refused(cut: Cut, *, short: bool = False) -> str:
    """Return one refusal as a sentence, without its place; `short` leaves out the steps behind."""
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
    behind = [] if short else teller.chain(item)[1:][-MOST_STEPS:]
    ends = teller.told(outlook.forecast.finish[item])
    row = outlook.site.tasks[item]
    what = row.title if short and row.place == refusal.surface else teller.task(item)
    says = f"{EARLY}, because {what} ends {ends}"
    return says + (f", after {'; after '.join(behind)}." if behind else ".")
