"""What the board gate adds to the text of `check`: milestones, what is open by person, depths.

Invariant: what holds the board up stands by the person who clears it, each thing once.
"""

from __future__ import annotations

from textwrap import wrap
from typing import TYPE_CHECKING

from readiness.pages.marks import marked
from readiness.pages.moments import told

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.questions.check import CheckAnswer
    from readiness.telling.blocker_lines import BlockerLine
    from readiness.telling.board_lines import BoardPart, ItemLine
    from readiness.telling.depth_lines import DepthLine, ZoneLine

WIDTH = 96
MM_PER_INCH = 25.4
MOST_NAMES = 6


def milestone_lines(answer: CheckAnswer, board: BoardPart) -> Iterable[str]:
    """Yield the milestones, each with its instant and what decides it."""
    yield ""
    yield "Milestones, each for itself:"
    year = answer.instants.on.year
    for line in board.milestones:
        when = told(line.at, year) if line.at else "no date"
        mark = "seen" if line.seen else "expected"
        yield _wrapped(f"  {line.title:<36} {when} ({mark})", 4)
        hangs = line.says if line.seen or not line.driver else f"hangs on {line.driver}"
        if hangs:
            yield _wrapped(f"      {hangs}", 8)


def open_lines(answer: CheckAnswer, told_who: dict[str, str], *, why: bool) -> Iterable[str]:
    """Yield what holds the board up, person by person."""
    if not answer.blockers:
        return
    yield ""
    yield f"What holds the board up ({len(answer.blockers)}), by who clears it:"
    by_person: dict[str, list[BlockerLine]] = {}
    for line in answer.blockers:
        by_person.setdefault(line.who.id, []).append(line)
    for person, lines in by_person.items():
        shown = lines if why else [line for line in lines if line.follows is None]
        if shown:
            yield _wrapped(f"  {told_who[person]}", 4)
        for line in shown:
            yield from _open_line(line, why=why)
    waiting = [line.says for line in answer.blockers if line.follows is not None]
    if waiting and not why:
        told_first = "; ".join(waiting[:MOST_NAMES])
        more = f"; and {len(waiting) - MOST_NAMES} more" if len(waiting) > MOST_NAMES else ""
        yield _wrapped(f"  and then, waiting for one of these: {told_first}{more}", 4)


def _open_line(line: BlockerLine, *, why: bool) -> Iterable[str]:
    held = len(line.surfaces)
    holds = f"; holds {held} surfaces" if held > 1 else ""
    by = f"; {line.clears_says}" if line.clears is not None else ""
    yield _wrapped(f"    - {line.says}{holds}{by}", 6)
    if line.remedy and line.state in {"open", "contested"} and not line.chain:
        yield _wrapped(f"      remedy: {line.remedy}", 8)
    if not why:
        return
    if line.chain[1:]:
        yield _wrapped("      hangs on: " + " <- ".join(line.chain[1:]), 8)
    yield _wrapped(f"      why: {line.why}", 8)
    yield _wrapped(f"      from: {line.origin}", 8)
    if line.shown_by and line.shown_by != (line.origin,):
        yield _wrapped(f"      shown by: {'; '.join(line.shown_by)}", 8)
    may = f"may be waived by the {line.may_waive}" if line.may_waive else "nobody may waive it"
    yield f"      {may}"


def area_lines(answer: CheckAnswer, board: BoardPart) -> Iterable[str]:
    """Yield where board may start and where not, and the word of every surface."""
    yield ""
    year = answer.instants.on.year
    rooms = [line for line in board.areas if line.kind == "room"]
    free = sum(1 for line in rooms if line.released)
    yield f"Released for board: {free} of {len(rooms)} rooms."
    for line in board.areas:
        kind = "Storey" if line.kind == "storey" else "Room"
        if line.released:
            yield f"  {kind} {line.name}: released for board"
        else:
            when = f"not before {told(line.earliest, year)}" if line.earliest else "no date"
            yield f"  {kind} {line.name}: {when}"
    by_word: dict[str, list[str]] = {}
    for surface in answer.surfaces:
        by_word.setdefault(surface.word, []).append(surface.name)
    yield "Surfaces:"
    for word, names in by_word.items():
        yield _wrapped(f"  {marked(word)}: {', '.join(names)}", 6)


def depth_table(board: BoardPart, units: str, *, why: bool) -> Iterable[str]:
    """Yield what was read of the depth, perimeter and field apart."""
    read = [line for line in board.depths if line.field is not None or line.at is not None]
    if not read:
        return
    yield ""
    yield "Depth as read, field and perimeter apart:"
    for line in read:
        yield from _depth(line, units, why=why)
    yield f"  Interval of the mean: {read[0].interval_method}."


def _depth(line: DepthLine, units: str, *, why: bool) -> Iterable[str]:
    agreed = line.agreed or "no depth with its meaning is agreed"
    yield _wrapped(f"  {line.name}: {line.outcome or line.says} (agreed: {agreed})", 4)
    for name, zone in (("field", line.field), ("perimeter", line.perimeter)):
        if zone is not None:
            yield _wrapped(f"    {name:<9} {zone_words(zone, units)}", 14)
    if line.refill:
        yield _wrapped(f"    again     {line.refill}", 14)
    if why and line.origin:
        yield _wrapped(f"    from: {line.origin}, read by {line.by}", 6)


def zone_words(zone: ZoneLine, units: str) -> str:
    """Return the figures of one zone."""
    if not zone.readings:
        return "no reading"
    count = "1 reading" if zone.readings == 1 else f"{zone.readings} readings"
    parts = [count, f"mean {length_words(zone.mean_inches, units)}"]
    if zone.spread_inches is not None:
        low, high = (
            length_words(zone.mean_from_inches, units),
            length_words(zone.mean_to_inches, units),
        )
        parts += [
            f"(interval {low} to {high})",
            f"spread {length_words(zone.spread_inches, units)}",
        ]
    parts.append(f"smallest {length_words(zone.smallest_inches, units)}")
    parts.append(f"{zone.under_percent:g} % under the agreed depth")
    if zone.enough is False:
        parts.append("fewer than the job wants")
    if zone.uneven:
        parts.append("too uneven")
    if zone.fill_inches and not zone.uneven:
        spots = ", ".join(length_words(each, units) for each in zone.fill_inches)
        parts.append(f"fill where it read {spots}")
    return ", ".join(parts).replace(", (", " (")


def length_words(inches: float | None, units: str) -> str:
    """Return a depth in the units of the job."""
    if inches is None:
        return "-"
    return f"{inches * MM_PER_INCH:.0f} mm" if units == "metric" else f"{round(inches, 2):g} in"


def item_list(items: Iterable[ItemLine]) -> Iterable[str]:
    """Yield every item after the spray with who, what good looks like, and how it stands."""
    phase = ""
    for item in items:
        if item.phase != phase:
            phase = item.phase
            yield ""
            yield f"After the spray, {phase}:"
        yield _wrapped(f"  [{_STATE[item.state]}] {item.title} ({item.who.name})", 6)
        yield _wrapped(f"      good: {item.passes_when}", 8)
        if item.state == "failed":
            yield _wrapped(f"      else: {item.remedy}", 8)
        for part in item.parts:
            yield f"      . {part}"
        if item.open_at and item.state != "met":
            shown = ", ".join(item.open_at[:MOST_NAMES])
            more = f" and {len(item.open_at) - MOST_NAMES} more"
            extra = more if len(item.open_at) > MOST_NAMES else ""
            yield _wrapped(f"      open: {shown}{extra}", 8)
        yield _wrapped(f"      from: {item.source} ({item.status})", 8)


_STATE = {"met": "done", "open": "open", "failed": "FAIL", "later": "later"}


def _wrapped(text: str, hang: int) -> str:
    return "\n".join(wrap(text, WIDTH, subsequent_indent=" " * hang, break_on_hyphens=False))
