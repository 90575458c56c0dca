"""What holds it up as entries: by what clears last, or by the person who clears it.

Each thing is told once, at its own place, with how many surfaces it holds.
Invariant: both orders tell the same things, and each names somebody to call and a number, or says
that none is written.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.pages.check_text import name_and_number, told_who
from readiness.pages.moments import told
from readiness.screens.lines import Entry, Line

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from readiness.questions.check import CheckAnswer
    from readiness.telling.blocker_lines import BlockerLine
    from readiness.telling.teller import Who

BLOCKER = "blocker "
"""An entry's id begins with this if it can be unfolded; its number follows."""
_INSIDE = 4

_MARK_WORDS = {"stop": "stopped"}


def holders_of(answer: CheckAnswer, surfaces: Sequence[str] | None) -> list[int]:
    """Return the numbers of what holds any of these surfaces; None means all that holds."""
    return [
        number
        for number, line in enumerate(answer.blockers)
        if surfaces is None or set(surfaces) & set(line.surfaces)
    ]


def by_clearing(
    answer: CheckAnswer, numbers: Sequence[int], unfolded: set[str], *, why: bool
) -> list[Entry]:
    """Return the entries in the order of the answer: what clears last comes first.

    What only waits for another thing in the list stands below that one, once it is unfolded.
    """
    entries: list[Entry] = []
    for number in numbers:
        if answer.blockers[number].follows in numbers:
            continue
        followers = [other for other in numbers if answer.blockers[other].follows == number]
        entries.extend(_blocker(answer, number, unfolded, why=why, waiting=len(followers)))
        if blocker_key(answer.blockers[number]) in unfolded:
            for other in followers:
                entries.extend(_blocker(answer, other, unfolded, why=why))
    return entries


def by_person(
    answer: CheckAnswer, numbers: Sequence[int], unfolded: set[str], *, why: bool
) -> list[Entry]:
    """Return the entries under whoever clears them; whose first is due soonest comes first."""
    people: dict[Who, list[int]] = {}
    for number in numbers:
        people.setdefault(answer.blockers[number].who, []).append(number)
    entries: list[Entry] = []
    for who, theirs in sorted(people.items(), key=lambda pair: _urgency(answer, pair)):
        theirs.reverse()
        entries.append(_person(answer, who, theirs))
        for number in theirs:
            entries.extend(_blocker(answer, number, unfolded, why=why, is_under_name=True))
    return entries


def _urgency(answer: CheckAnswer, pair: tuple[Who, list[int]]) -> tuple[bool, float, str, str]:
    who, numbers = pair
    dates = [clears for number in numbers if (clears := answer.blockers[number].clears)]
    first = min(dates, default=None)
    return first is None, first.timestamp() if first else 0.0, who.name, who.id


def _person(answer: CheckAnswer, who: Who, numbers: Sequence[int]) -> Entry:
    dates = [clears for number in numbers if (clears := answer.blockers[number].clears)]
    first = f"first by {told(min(dates), answer.instants.on.year)}" if dates else "no date yet"
    things = "1 thing" if len(numbers) == 1 else f"{len(numbers)} things"
    text = f"{told_who(who)}: {things}, {first}"
    return Entry(f"person {who.id}", (Line(text, is_strong=True),))


def _blocker(  # noqa: PLR0913  two say what is left out
    answer: CheckAnswer,
    number: int,
    unfolded: set[str],
    *,
    why: bool,
    is_under_name: bool = False,
    waiting: int = 0,
) -> Iterable[Entry]:
    line = answer.blockers[number]
    lines = [
        Line(line.says, word=_MARK_WORDS.get(line.holds, line.holds), is_strong=not is_under_name),
        Line(_clearing(answer, line, is_under_name=is_under_name), indent=_INSIDE),
    ]
    if waiting:
        lines.append(Line(f"and {waiting} more only wait for it", indent=_INSIDE))
    yield Entry(f"{BLOCKER}{number}", tuple(lines))
    if blocker_key(line) in unfolded:
        for at, detail in enumerate(_details(line, why=why)):
            yield Entry(f"detail {number} {at}", (detail,))
    elif why:
        yield Entry(f"detail {number} why", tuple(_sources(line)))


def _clearing(answer: CheckAnswer, line: BlockerLine, *, is_under_name: bool) -> str:
    """Return who clears a blocker, when, whose work comes first, and how much it holds up."""
    clears = line.clears_says
    if line.clears is not None:
        clears = f"by {told(line.clears, answer.instants.on.year)}"
    parts = [clears] if is_under_name else [name_and_number(line.who), clears]
    if line.call.id != line.who.id:
        parts.append(f"first {name_and_number(line.call)}")
    if len(line.surfaces) > 1:
        parts.append(f"holds {len(line.surfaces)} surfaces")
    return "; ".join(parts)


def blocker_key(line: BlockerLine) -> str:
    """Return what tells one blocker from another, whatever day is asked about."""
    return f"{line.holds} {line.code} {line.place}"


def _details(line: BlockerLine, *, why: bool) -> Iterable[Line]:
    """Yield what clearing brings, what it hangs on, what to ask, its caution, who may waive it."""
    if line.clears is not None:
        yield Line(line.clears_says, indent=_INSIDE + 2)
    if line.entails:
        yield Line(f"brings along: {', '.join(line.entails)}", indent=_INSIDE + 2)
    for step in line.chain[1:]:
        yield Line(f"waits for {step}", indent=_INSIDE + 2)
    if line.call.id == line.who.id and line.call_about not in line.says:
        yield Line(f"ask about {line.call_about}", indent=_INSIDE + 2)
    if line.caution:
        yield Line(f"Caution: {line.caution}", indent=_INSIDE + 2)
    if why:
        yield from _sources(line)
    else:
        yield _waiver(line)


def _waiver(line: BlockerLine) -> Line:
    text = f"may be waived by the {line.may_waive}" if line.may_waive else "nobody may waive it"
    return Line(text, indent=_INSIDE + 2)


def _sources(line: BlockerLine) -> Iterable[Line]:
    if line.why:
        yield Line(f"why: {line.why}", indent=_INSIDE + 2)
    yield Line(f"from: {line.origin}", indent=_INSIDE + 2)
    yield _waiver(line)
